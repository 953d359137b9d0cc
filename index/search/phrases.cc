#include "search/phrases.h"

#include <algorithm>
#include <array>

#include "shop/fold.h"

namespace baylore::search {
namespace {

// Left out when wordings are compared, in the two languages a crew is likeliest to mix.
bool article(std::string_view word) {
  static constexpr std::array<std::string_view, 9> kArticles = {"a",   "an",  "the", "el", "la",
                                                                "los", "las", "un",  "una"};
  return std::find(kArticles.begin(), kArticles.end(), word) != kArticles.end();
}

std::string spaced(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : " ") + word;
  return text;
}

// Without gaps, and without the articles inside: `a c` keeps its first word.
std::string joined_without_articles(const std::vector<std::string>& words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i == 0 || !article(words[i])) text += words[i];
  }
  return text;
}

}  // namespace

Phrases::Phrases(const shop::Vocabulary& vocabulary) {
  for (const std::vector<std::string>& group : vocabulary.abbreviations) {
    add_group(group, kAbbreviationWeight);
  }
  for (const std::vector<std::string>& group : vocabulary.synonyms)
    add_group(group, kSynonymWeight);
  for (const shop::Component& component : vocabulary.components) {
    std::vector<std::string> names{component.name};
    names.insert(names.end(), component.also.begin(), component.also.end());
    add_group(names, kSynonymWeight);
  }
  for (const shop::OneWay& line : vocabulary.one_way) {
    for (const std::string& from : line.from) {
      for (const std::string& to : line.to) {
        const std::vector<std::string> left = shop::words_of(from);
        const std::vector<std::string> right = shop::words_of(to);
        if (!left.empty() && !right.empty()) add(place_of(left), place_of(right), kOneWayWeight);
      }
    }
  }
}

std::uint32_t Phrases::place_of(const std::vector<std::string>& words) {
  const auto [at, fresh] =
      by_text_.try_emplace(spaced(words), static_cast<std::uint32_t>(known_.size()));
  if (fresh) {
    by_joined_[joined_without_articles(words)].push_back(at->second);
    longest_ = std::max(longest_, words.size());
    known_.push_back({words, {}});
  }
  return at->second;
}

void Phrases::add(std::uint32_t from, std::uint32_t to, double weight) {
  if (from == to) return;
  auto& others = known_[from].others;
  const auto same = std::find_if(others.begin(), others.end(),
                                 [to](const auto& other) { return other.first == to; });
  if (same == others.end()) {
    others.emplace_back(to, weight);
  } else {
    same->second = std::max(same->second, weight);
  }
}

void Phrases::add_group(const std::vector<std::string>& wordings, double weight) {
  std::vector<std::uint32_t> places;
  for (const std::string& wording : wordings) {
    const std::vector<std::string> words = shop::words_of(wording);
    if (!words.empty()) places.push_back(place_of(words));
  }
  for (const std::uint32_t from : places) {
    for (const std::uint32_t to : places) add(from, to, weight);
  }
}

std::vector<Wording> Phrases::others(const std::vector<std::string>& words) const {
  struct Match {
    std::size_t first;
    std::size_t count;
    const std::vector<std::uint32_t>* places;
  };
  std::vector<Match> matches;
  // Written apart takes more words than the wording has, up to twice as many here: `won t turn
  // over`, `a c`.
  const std::size_t most = 2 * longest_;
  std::string text;
  for (std::size_t first = 0; first < words.size(); ++first) {
    text.clear();
    for (std::size_t count = 1; count <= most && first + count <= words.size(); ++count) {
      const std::string& last = words[first + count - 1];
      if (count > 1 && article(last)) {
        // An article may also be a letter of an abbreviation: only the whole stretch tells.
        text += last;
        if (const auto found = by_joined_.find(text); found != by_joined_.end()) {
          matches.push_back({first, count, &found->second});
        }
        text.resize(text.size() - last.size());
        continue;
      }
      text += last;
      auto found = by_joined_.find(text);
      if (found == by_joined_.end() && text.size() > 3 && text.back() == 's') {
        found = by_joined_.find(std::string_view(text).substr(0, text.size() - 1));
      }
      if (found != by_joined_.end()) matches.push_back({first, count, &found->second});
    }
  }

  std::vector<Wording> all;
  for (const Match& match : matches) {
    const bool inside = std::any_of(matches.begin(), matches.end(), [&](const Match& other) {
      return other.count > match.count && other.first <= match.first &&
             match.first + match.count <= other.first + other.count;
    });
    if (inside) continue;
    const std::vector<std::string> typed(
        words.begin() + static_cast<std::ptrdiff_t>(match.first),
        words.begin() + static_cast<std::ptrdiff_t>(match.first + match.count));
    const std::size_t start = all.size();
    const auto take = [&](const std::vector<std::string>& other, double weight) {
      if (other == typed) return;
      const auto same = std::find_if(all.begin() + static_cast<std::ptrdiff_t>(start), all.end(),
                                     [&](const Wording& known) { return known.words == other; });
      if (same == all.end()) {
        all.push_back({match.first, match.count, other, weight});
      } else {
        same->weight = std::max(same->weight, weight);
      }
    };
    for (const std::uint32_t place : *match.places) {
      take(known_[place].words, kWrittenOtherwiseWeight);
      for (const auto& [other, weight] : known_[place].others) take(known_[other].words, weight);
    }
    std::stable_sort(all.begin() + static_cast<std::ptrdiff_t>(start), all.end(),
                     [](const Wording& a, const Wording& b) { return a.weight > b.weight; });
  }
  return all;
}

const std::vector<std::string>& Phrases::apart(std::string_view joined_words) const {
  static const std::vector<std::string> kNone;
  const auto found = by_joined_.find(joined_words);
  if (found == by_joined_.end()) return kNone;
  for (const std::uint32_t place : found->second) {
    if (known_[place].words.size() > 1) return known_[place].words;
  }
  return kNone;
}

}  // namespace baylore::search
