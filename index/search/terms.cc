#include "search/terms.h"

#include <algorithm>
#include <array>
#include <map>
#include <set>
#include <string_view>

#include "shop/fold.h"

namespace baylore::search {
namespace {

// What an occurrence counts when it is not the word as typed.
constexpr double kPrefix = 0.8;    // `heat` found `heater` while typing
constexpr double kEnding = 0.8;    // `heatin` found `heating`
constexpr double kSynonym = 0.45;  // `no heat` found `heater`

// The index is asked for the beginning of a word from two letters on: one letter is nearly every
// tip.
constexpr std::size_t kShortestPrefix = 2;

// English words that carry no fault: a tip need not have them to have "all words". `no`, `not`,
// `off` and `on` stay out of this list: they turn a complaint round.
bool function_word(std::string_view word) {
  static const std::set<std::string, std::less<>> kWords = {
      "a",  "an",   "and",   "are",  "as",    "at",    "be",    "been", "but",  "by", "can", "d",
      "do", "does", "doesn", "don",  "for",   "from",  "has",   "have", "how",  "i",  "if",  "in",
      "is", "isn",  "it",    "its",  "ll",    "m",     "me",    "my",   "of",   "or", "re",  "s",
      "so", "t",    "than",  "that", "the",   "then",  "there", "they", "this", "to", "ve",  "was",
      "we", "were", "what",  "when", "which", "while", "why",   "will", "with", "you"};
  return kWords.find(word) != kWords.end();
}

// The stemmer knows whole English endings only: while `heating` is being typed, `heati` and
// `heatin` are no beginning of its stem `heat`. These are the words it could be about to become.
std::vector<std::string> finished(const std::string& word) {
  static constexpr std::array<std::string_view, 9> kEndings = {"ing",  "ed",   "er", "ion", "ation",
                                                               "ness", "ment", "ly", "ies"};
  std::vector<std::string> words;
  for (const std::string_view ending : kEndings) {
    for (std::size_t have = 1; have < ending.size(); ++have) {
      if (word.size() < have + 3) continue;
      if (word.compare(word.size() - have, have, ending.substr(0, have)) != 0) continue;
      words.push_back(word.substr(0, word.size() - have) + std::string(ending));
    }
  }
  std::sort(words.begin(), words.end());
  words.erase(std::unique(words.begin(), words.end()), words.end());
  return words;
}

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : " ") + word;
  return text;
}

// Groups of words that mean one thing: synonyms, and the names of a component.
std::vector<std::vector<std::vector<std::string>>> groups_of(const shop::Vocabulary& vocabulary) {
  std::vector<std::vector<std::vector<std::string>>> groups;
  const auto add = [&](const std::vector<std::string>& phrases) {
    std::vector<std::vector<std::string>> group;
    for (const std::string& phrase : phrases) {
      std::vector<std::string> words = shop::words_of(phrase);
      if (!words.empty()) group.push_back(std::move(words));
    }
    if (group.size() > 1) groups.push_back(std::move(group));
  };
  for (const std::vector<std::string>& synonyms : vocabulary.synonyms) add(synonyms);
  for (const shop::Component& component : vocabulary.components) {
    std::vector<std::string> names = component.also;
    names.insert(names.begin(), component.name);
    add(names);
  }
  return groups;
}

}  // namespace

Terms terms_of(const Understood& understood, const shop::Vocabulary& vocabulary,
               bool last_is_prefix) {
  Terms result;
  std::map<std::string, std::size_t> known;  // folded word -> index in terms
  std::vector<std::string> words;            // the line's words that became terms

  // As typed, word by word: a token such as `seal-kit` holds several.
  std::vector<std::string> typed;
  for (const Token& token : understood.tokens) {
    if (token.kind != Token::Kind::word) continue;
    const std::vector<std::string> inside = shop::words_of(token.from);
    for (const std::string& word : inside) {
      typed.push_back(inside.size() == 1 ? token.from : word);
    }
  }
  for (std::size_t i = 0; i < understood.words.size(); ++i) {
    const std::string& word = understood.words[i];
    const bool growing =
        last_is_prefix && understood.last_word_open && i + 1 == understood.words.size();
    if (growing && word.size() < kShortestPrefix) continue;
    const auto found = known.find(word);
    if (found != known.end() && !growing) {
      ++result.terms[found->second].count;
      result.order.push_back(found->second);
      words.push_back(word);
      continue;
    }
    if (result.terms.size() == kMostTerms) continue;
    Term term;
    term.word = word;
    term.typed = i < typed.size() ? typed[i] : word;
    term.required = !function_word(word);
    term.phrases.push_back({word, false, 1, false});
    if (growing) {
      term.required = true;
      term.phrases.push_back({word, true, kPrefix, false});
      for (std::string& whole : finished(word)) {
        term.phrases.push_back({std::move(whole), false, kEnding, false});
      }
    }
    known.emplace(word, result.terms.size());
    result.order.push_back(result.terms.size());
    words.push_back(word);
    result.terms.push_back(std::move(term));
  }

  // Synonyms: where the line has one wording of a group, each of its words may be answered by any
  // other wording.
  for (const auto& group : groups_of(vocabulary)) {
    for (const std::vector<std::string>& wording : group) {
      const auto at = std::search(words.begin(), words.end(), wording.begin(), wording.end());
      if (at == words.end()) continue;
      for (std::size_t i = 0; i < wording.size(); ++i) {
        Term& term = result.terms[result.order[static_cast<std::size_t>(at - words.begin()) + i]];
        for (const std::vector<std::string>& other : group) {
          const std::string text = joined(other);
          const bool there =
              std::any_of(term.phrases.begin(), term.phrases.end(),
                          [&](const Phrase& phrase) { return phrase.words == text; });
          if (other != wording && !there) term.phrases.push_back({text, false, kSynonym, true});
        }
      }
    }
  }

  for (const std::string& code : understood.codes) {
    Term term;
    term.typed = code;
    term.word = joined(shop::words_of(code.substr(0, code.find('-'))));
    term.code = true;
    term.required = false;
    term.phrases.push_back({term.word, false, 1, false});
    if (result.terms.size() < kMostTerms) result.terms.push_back(std::move(term));
  }

  const bool none_required = std::none_of(result.terms.begin(), result.terms.end(),
                                          [](const Term& term) { return term.required; });
  if (none_required) {
    for (Term& term : result.terms) term.required = !term.code;
  }
  return result;
}

std::string quoted(const Phrase& phrase) {
  std::string text = "\"";
  for (const char c : phrase.words) {
    if (c == '\0') continue;  // SQLite reads the expression as a C string
    text += c;
    if (c == '"') text += c;
  }
  text += '"';
  if (phrase.prefix) text += " *";
  return text;
}

std::string match_expression(const std::vector<Term>& terms, bool all_words) {
  std::string expression;
  for (const Term& term : terms) {
    if (all_words && !term.required) continue;
    if (!expression.empty()) expression += all_words ? " AND " : " OR ";
    expression += '(';
    for (std::size_t i = 0; i < term.phrases.size(); ++i) {
      if (i > 0) expression += " OR ";
      expression += quoted(term.phrases[i]);
    }
    expression += ')';
  }
  return expression;
}

}  // namespace baylore::search
