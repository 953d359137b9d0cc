#include "language.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <utility>

#include "shop/fold.h"

namespace baylore::benchmark {
namespace {

// How often a sentence goes on as another one that has the same word there.
constexpr std::size_t kCrossing = 5;
constexpr std::size_t kLongest = 60;  // words of a sentence
// Words this frequent, and those with fewer letters, are the language's own: no name or slip stands
// for them.
constexpr std::size_t kCommon = 100;
constexpr std::size_t kShort = 4;

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }

bool is_number(std::string_view text) {
  return std::any_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

// Splits at line breaks and after a full stop, question mark or exclamation mark that a blank
// follows.
template <typename Visit>
void each_sentence(std::string_view text, Visit visit) {
  std::size_t from = 0;
  for (std::size_t at = 0; at <= text.size(); ++at) {
    const bool end = at == text.size() || text[at] == '\n' ||
                     (at > from && is_blank(text[at]) &&
                      (text[at - 1] == '.' || text[at - 1] == '?' || text[at - 1] == '!'));
    // `1.` numbers what follows it.
    if (!end || (at < text.size() && text[at] != '\n' && at - from < 4 &&
                 is_number(text.substr(from, at - from))))
      continue;
    const std::string_view sentence = text.substr(from, at - from);
    if (sentence.find_first_not_of(" \t\r#-*|") != std::string_view::npos) visit(sentence);
    from = at + 1;
  }
}

std::vector<std::string_view> blank_separated(std::string_view text) {
  std::vector<std::string_view> out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find_first_of(" \t\r\n", at), text.size());
    if (end > at) out.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  return out;
}

bool is_prose(Part part) {
  switch (part) {
    case Part::symptom:
    case Part::caution:
    case Part::check_text:
    case Part::location:
    case Part::step:
    case Part::fastener_text:
    case Part::part_text:
    case Part::finish:
    case Part::background:
      return true;
    default:
      return false;
  }
}

bool is_letter(char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; }

}  // namespace

std::size_t Language::sentences_in(std::string_view text) {
  std::size_t count = 0;
  each_sentence(text, [&](std::string_view) { ++count; });
  return count;
}

void Language::learn_text(Part part, std::string_view text, const shop::Tip& tip) {
  each_sentence(text, [&](std::string_view sentence) {
    // Pictures are looked at elsewhere.
    if (sentence.find("](") != std::string_view::npos || sentence.starts_with("- mark ")) return;
    while (!sentence.empty() && (is_blank(sentence.front()) || sentence.front() == '-')) {
      sentence.remove_prefix(1);
    }
    const std::size_t step = sentence.find(". ");
    if (step < 3 && is_number(sentence.substr(0, step))) sentence.remove_prefix(step + 2);
    learn_line(part, sentence, tip);
  });
}

void Language::learn_line(Part part, std::string_view line, const shop::Tip& tip) {
  const std::vector<std::string_view> words = blank_separated(line);
  const std::vector<std::string> component = shop::words_of(tip.component);
  std::vector<Token> sentence;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const std::vector<std::string> folded = shop::words_of(words[i]);
    Token token;
    // The component's name: all its words in a row, or the last of them by itself.
    std::size_t matched = 0;
    while (matched < component.size() && i + matched < words.size() &&
           shop::words_of(words[i + matched]) == std::vector<std::string>{component[matched]}) {
      ++matched;
    }
    token.component = matched > 0 && matched == component.size();
    std::string_view shown = words[i];
    if (token.component) {
      // Only what follows the last of its words is kept: a comma, say.
      shown = words[i + matched - 1];
      while (!shown.empty() && is_letter(shown.front())) shown.remove_prefix(1);
      i += matched - 1;
    }
    const std::string key = token.component      ? std::string("{component}")
                            : folded.size() == 1 ? folded[0]
                            : folded.empty()     ? std::string("{mark}")
                                                 : folded[0] + ' ' + folded.back();
    token.word =
        numbers_.try_emplace(key, static_cast<std::uint32_t>(numbers_.size())).first->second;
    token.prose = is_prose(part);
    token.number = !token.component && is_number(words[i]);
    token.common =
        token.component || token.number || folded.size() != 1 || folded[0].size() < kShort;
    token.at = static_cast<std::uint32_t>(text_.size());
    token.size = static_cast<std::uint16_t>(shown.size());
    text_ += shown;
    counts_.resize(numbers_.size());
    ++counts_[token.word];
    sentence.push_back(token);
  }
  if (sentence.empty()) return;
  sentence.back().last = true;
  const auto first = static_cast<std::uint32_t>(tokens_.size());
  Sentences& all = sentences_.at(static_cast<std::size_t>(part));
  all.all.push_back(first);
  all.by_system[tip.system].push_back(first);
  tokens_.insert(tokens_.end(), sentence.begin(), sentence.end());
}

void Language::learn(const shop::Tip& tip) {
  learn_line(Part::title, tip.title, tip);
  for (const shop::MistakenFor& link : tip.mistaken_for) learn_line(Part::note, link.note, tip);
  for (const shop::Prose& section : tip.sections) {
    if (section.key == "symptom") {
      learn_text(Part::symptom, section.body, tip);
    } else if (section.key == "cautions") {
      learn_text(Part::caution, section.body, tip);
    } else if (section.key == "location") {
      learn_text(Part::location, section.text, tip);
    } else if (section.key == "repair") {
      learn_text(Part::step, section.body, tip);
    } else if (section.key == "finish") {
      learn_text(Part::finish, section.body, tip);
    } else if (section.key == "background") {
      learn_text(Part::background, section.body, tip);
    }
  }
  for (const shop::Check& check : tip.checks) {
    learn_line(Part::check_name, check.name, tip);
    learn_line(Part::tools, check.tools, tip);
    learn_line(Part::valid, check.valid, tip);
    if (!check.expect) learn_line(Part::answer, check.expect_text, tip);
    learn_text(Part::check_text, check.text, tip);
  }
  for (const shop::Picture& picture : tip.pictures) {
    learn_line(Part::caption, picture.caption, tip);
    for (const shop::Mark& mark : picture.marks) learn_line(Part::mark, mark.text, tip);
  }
  for (const shop::Fastener& fastener : tip.fasteners) {
    learn_line(Part::fastener_name, fastener.name, tip);
    learn_text(Part::fastener_text, fastener.text, tip);
  }
  for (const shop::PartRef& part : tip.parts) learn_text(Part::part_text, part.text, tip);
  grown_.emplace_back(tokens_.size(), numbers_.size());
}

// Learns from the whole: which words are common, how fast new ones appear (Heaps' exponent, from
// half of the text to all of it), and how often the next word is one that never was before, which
// Good and Turing put at the share of words seen once.
void Language::finish(std::vector<std::string> dictionary) {
  places_.resize(numbers_.size());
  for (std::size_t i = 0; i < tokens_.size(); ++i) {
    places_[tokens_[i].word].push_back(static_cast<std::uint32_t>(i));
  }
  std::vector<std::pair<std::uint32_t, std::string>> ordered;
  for (const auto& [word, number] : numbers_) ordered.emplace_back(counts_[number], word);
  std::sort(ordered.begin(), ordered.end(), [](const auto& a, const auto& b) {
    return a.first != b.first ? a.first > b.first : a.second < b.second;
  });
  std::vector<bool> common(numbers_.size());
  for (std::size_t i = 0; i < std::min(kCommon, ordered.size()); ++i) {
    common[numbers_.at(ordered[i].second)] = true;
  }
  std::size_t replaceable = 0;
  std::size_t once = 0;
  for (Token& token : tokens_) {
    token.common = token.common || common[token.word];
    if (token.common) continue;
    ++replaceable;
    if (counts_[token.word] == 1) ++once;
  }
  std::vector<std::string> known;
  for (const auto& [count, word] : ordered) {
    const bool letters = std::all_of(word.begin(), word.end(), is_letter);
    if (letters && word.size() >= kShort) known.push_back(word);
  }
  double growth = 0.5;
  if (grown_.size() > 1) {
    const auto& [half_read, half_words] = grown_[grown_.size() / 2 - 1];
    const auto& [all_read, all_words] = grown_.back();
    growth = std::log(static_cast<double>(all_words) / static_cast<double>(half_words)) /
             std::log(static_cast<double>(all_read) / static_cast<double>(half_read));
  }
  std::erase_if(dictionary, [&](const std::string& word) { return numbers_.count(word) > 0; });
  rare_.emplace(std::move(known), std::move(dictionary), std::clamp(growth, 0.3, 0.8));
  rare_share_ = replaceable == 0 ? 0 : static_cast<double>(once) / static_cast<double>(replaceable);
}

void Language::emit(std::string& out, const Token& token, const std::string& component,
                    Random& random) const {
  const std::string_view shown(text_.data() + token.at, token.size);
  if (token.component) {
    // By its full name, or as people do by the last word of it.
    const std::size_t blank = component.rfind(' ');
    out += random.one_in(2) || blank == std::string::npos ? component : component.substr(blank + 1);
    out += shown;
  } else if (token.number && random.one_in(3)) {
    // Another number of as many digits.
    bool first = true;
    for (const char c : shown) {
      const bool digit = c >= '0' && c <= '9';
      out += !digit              ? c
             : first && c != '0' ? static_cast<char>('1' + random.below(9))
             : c == '0'          ? c
                                 : static_cast<char>('0' + random.below(10));
      first = first && !digit;
    }
  } else if (!token.common && random.chance(rare_share_)) {
    std::size_t from = 0;
    while (from < shown.size() && !is_letter(shown[from])) ++from;
    std::size_t to = shown.size();
    while (to > from && !is_letter(shown[to - 1])) --to;
    out += shown.substr(0, from);
    out += rare_->draw(random);
    out += shown.substr(to);
  } else {
    out += shown;
  }
}

// From the first word of a sentence on; at every fifth word the walk may cross over to another
// place where that word stands, from prose to prose and from name to name. So two words in a row
// were written by a person, and a whole sentence seldom.
void Language::write(std::string& out, Part part, const std::string& system,
                     const std::string& component, Random& random) const {
  const Sentences& known = sentences_.at(static_cast<std::size_t>(part));
  if (known.all.empty()) return;
  const auto own = known.by_system.find(system);
  const std::vector<std::uint32_t>& firsts =
      own != known.by_system.end() && !random.one_in(3) ? own->second : known.all;
  std::size_t at = firsts[random.below(firsts.size())];
  for (std::size_t words = 1;; ++words) {
    emit(out, tokens_[at], component, random);
    if (tokens_[at].last || words >= kLongest) return;
    if (random.one_in(kCrossing)) {
      const std::vector<std::uint32_t>& places = places_[tokens_[at].word];
      const std::size_t other = places[random.below(places.size())];
      if (!tokens_[other].last && tokens_[other].prose == tokens_[at].prose) at = other;
    }
    ++at;
    out += ' ';
  }
}

void Language::write(std::string& out, Part part, const std::string& system,
                     const std::string& component, Random& random, std::size_t count) const {
  for (std::size_t i = 0; i < count; ++i) {
    if (i > 0) out += ' ';
    write(out, part, system, component, random);
  }
}

}  // namespace baylore::benchmark
