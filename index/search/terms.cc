#include "search/terms.h"

#include <algorithm>
#include <array>
#include <map>

#include "search/everyday.h"
#include "shop/fold.h"

namespace baylore::search {
namespace {

// What an occurrence counts of a word that a growing one may be about to become, though it does not
// begin with it: `rattli` will be `rattling`, whose other form `rattle` the tip has.
constexpr double kEnding = 0.8;

// What an occurrence counts of a word that another one was probably meant to be.
constexpr double kMeant = 0.8;

// A word may be the beginning of another from two letters on: one letter is nearly every tip.
constexpr std::size_t kShortestPrefix = 2;

// While `rattling` is being typed, `rattli` and `rattlin` are no beginning of another form of the
// word. These are the words it could be about to become.
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

}  // namespace

// `no`, `not`, `off` and `on` stay out of this list: they turn a complaint round. Sorted.
const std::vector<std::string_view>& function_words() {
  static const std::vector<std::string_view> kWords = {
      "a",     "al",   "an",   "and",    "are", "as",   "at",   "be",   "been", "but",   "by",
      "can",   "como", "con",  "cuando", "d",   "de",   "del",  "do",   "does", "doesn", "don",
      "el",    "en",   "es",   "esta",   "for", "from", "has",  "have", "hay",  "how",   "i",
      "if",    "in",   "is",   "isn",    "it",  "its",  "la",   "las",  "ll",   "lo",    "los",
      "m",     "me",   "my",   "o",      "of",  "or",   "para", "pero", "por",  "que",   "re",
      "s",     "se",   "so",   "su",     "t",   "than", "that", "the",  "then", "there", "they",
      "this",  "to",   "un",   "una",    "ve",  "was",  "we",   "were", "what", "when",  "which",
      "while", "why",  "will", "with",   "y",   "you"};
  return kWords;
}

bool function_word(std::string_view word) {
  return std::binary_search(function_words().begin(), function_words().end(), word);
}

Terms terms_of(const Understood& understood, const Phrases& vocabulary, bool last_is_prefix) {
  Terms result;
  std::map<std::string_view, std::size_t> known;  // folded word -> index in terms
  std::vector<std::string> words;                 // the line's words that became terms

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
    term.required = growing || !function_word(word);
    term.says_little = !growing && says_little(word);
    term.phrases.push_back({{word}, 1, false, false});
    if (growing) {
      term.phrases.push_back({{word}, kPrefix, true, false});
      for (std::string& whole : finished(word)) {
        term.phrases.push_back({{std::move(whole)}, kEnding, false, false});
      }
    }
    known.emplace(word, result.terms.size());
    result.order.push_back(result.terms.size());
    words.push_back(word);
    result.terms.push_back(std::move(term));
  }

  // Each word of a wording may be answered by any other wording.
  for (const Wording& other : vocabulary.others(words)) {
    for (std::size_t i = other.first; i < other.first + other.count && i < words.size(); ++i) {
      std::vector<Phrase>& phrases = result.terms[result.order[i]].phrases;
      const bool there = std::any_of(phrases.begin(), phrases.end(), [&](const Phrase& phrase) {
        return !phrase.prefix && phrase.words == other.words;
      });
      if (!there) phrases.push_back({other.words, other.weight, false, true});
    }
  }

  // What hardly any tip has as it was typed, and very many have as it was probably meant.
  for (const Slip& slip : understood.slips) {
    if (!slip.keeps || slip.words.empty()) continue;
    const auto found = known.find(slip.typed);
    if (found == known.end()) continue;
    result.terms[found->second].phrases.push_back({slip.words, kMeant, false, true});
  }

  // A part number stands in a tip as the shop writes it, and without its gaps.
  for (const PartNumber& part : understood.parts) {
    if (result.terms.size() == kMostTerms) break;
    Term term;
    term.typed = part.shown;
    const std::vector<std::string> apart = shop::words_of(part.shown);
    for (const std::string& word : apart) term.word += word;
    if (term.word.empty()) continue;
    term.phrases.push_back({{term.word}, 1, false, false});
    if (apart.size() > 1) term.phrases.push_back({apart, 1, false, false});
    result.terms.push_back(std::move(term));
  }
  // A reading is rarely written in a tip as it was taken: good when it is, nothing lost when not.
  for (const Reading& reading : understood.readings) {
    if (result.terms.size() == kMostTerms || reading.wordings.empty()) continue;
    Term term;
    term.typed = reading.typed;
    term.word = shop::fold(reading.typed);
    term.reading = true;
    term.required = false;
    for (const std::vector<std::string>& words_of_it : reading.wordings) {
      term.phrases.push_back({words_of_it, 1, false, false});
    }
    result.terms.push_back(std::move(term));
  }

  for (const std::string& code : understood.codes) {
    Term term;
    term.typed = code;
    const std::vector<std::string> in_prose = shop::words_of(code.substr(0, code.find('-')));
    if (in_prose.empty() || result.terms.size() == kMostTerms) continue;
    term.word = in_prose.front();
    term.code = true;
    term.required = false;
    term.phrases.push_back({in_prose, 1, false, false});
    result.terms.push_back(std::move(term));
  }

  const bool none_required = std::none_of(result.terms.begin(), result.terms.end(),
                                          [](const Term& term) { return term.required; });
  if (none_required) {
    for (Term& term : result.terms) term.required = !term.code && !term.reading;
  }
  return result;
}

}  // namespace baylore::search
