#include "quality/note.h"

#include <algorithm>
#include <array>
#include <optional>
#include <vector>

#include <fmt/format.h>

#include "shop/fold.h"
#include "words/words.h"

namespace baylore::quality {
namespace {

constexpr std::array<std::string_view, 6> kAvoid = {
    "never again", "does not last", "stay away", "comes back", "came back", "not recommended"};
constexpr std::array<std::string_view, 9> kPraise = {
    "lasts",           "the best", "best one", "take this one", "never had one back",
    "never came back", "holds up", "good one", "recommended"};
// "Avoid this one." is of the part; "avoid touching the ceramic" is of the work.
constexpr std::array<std::string_view, 7> kAfterAvoid = {
    "this", "these", "it", "them", "the brand", "at all", "where you can"};
// "Do not fit." is of the part; "do not fit without the spacer" and "never fit it dry" are of the
// work: nothing may stand behind, or one of these alone.
constexpr std::array<std::string_view, 4> kDoNot = {"do not fit", "do not use", "never fit",
                                                    "never use"};
constexpr std::array<std::string_view, 9> kIt = {"",      "it",   "this",  "this one", "this brand",
                                                 "these", "them", "again", "at all"};
// "Lasts only a year" is no praise.
constexpr std::array<std::string_view, 5> kNotLong = {"only", "barely", "hardly", "less", "not"};
constexpr std::array<std::string_view, 5> kDenials = {"not", "no longer", "never", "nothing",
                                                      "hardly"};

// Each clause's folded words with one blank between and around.
std::vector<std::string> clauses_of(std::string_view text) {
  std::vector<std::string> out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find_first_of(".,:;!?()\n", at), text.size());
    std::string clause = " ";
    for (const std::string& word : shop::words_of(text.substr(at, end - at))) clause += word + " ";
    if (clause.size() > 1) out.push_back(std::move(clause));
    at = end + 1;
  }
  return out;
}

// Where the words begin in a clause of padded words.
std::size_t place_of(const std::string& clause, std::string_view words, std::size_t from = 0) {
  return clause.find(" " + std::string(words) + " ", from);
}

bool denied(const std::string& clause, std::size_t at) {
  return std::any_of(kDenials.begin(), kDenials.end(), [&](std::string_view denial) {
    return std::string_view(clause).substr(0, at).ends_with(" " + std::string(denial));
  });
}

template <class Words>
bool says(const std::string& clause, const Words& all) {
  return std::any_of(all.begin(), all.end(), [&](std::string_view words) {
    const std::size_t at = place_of(clause, words);
    return at != std::string::npos && !denied(clause, at);
  });
}

// What stands behind these words in the clause, without the blank at its end; nothing when they are
// not there, or denied.
std::optional<std::string_view> behind(const std::string& clause, std::string_view words) {
  const std::size_t at = place_of(clause, words);
  if (at == std::string::npos || denied(clause, at)) return std::nullopt;
  const std::string_view after = std::string_view(clause).substr(at + words.size() + 2);
  return after.substr(0, after.empty() ? 0 : after.size() - 1);
}

bool begins(std::string_view text, std::string_view words) {
  return text.starts_with(words) && (text.size() == words.size() || text[words.size()] == ' ');
}

bool says_avoid(const std::string& clause) {
  if (const auto after = behind(clause, "avoid")) {
    if (after->empty()) return true;
    for (const std::string_view it : kAfterAvoid) {
      if (begins(*after, it)) return true;
    }
  }
  return std::any_of(kDoNot.begin(), kDoNot.end(), [&](std::string_view words) {
    const auto after = behind(clause, words);
    return after && std::find(kIt.begin(), kIt.end(), *after) != kIt.end();
  });
}

bool says_praise(const std::string& clause) {
  const auto lasts = behind(clause, "lasts");
  const bool not_long =
      lasts && std::any_of(kNotLong.begin(), kNotLong.end(),
                           [&](std::string_view word) { return begins(*lasts, word); });
  return !not_long && says(clause, kPraise);
}

}  // namespace

Leaning leaning_of(std::string_view note) {
  bool avoid = false, praise = false;
  for (const std::string& clause : clauses_of(note)) {
    avoid |= says(clause, kAvoid) || says_avoid(clause);
    praise |= says_praise(clause);
  }
  if (avoid == praise) return Leaning::none;
  return avoid ? Leaning::avoid : Leaning::praise;
}

std::string contradiction(std::string_view note, const Rival& rival) {
  const Leaning leaning = leaning_of(note);
  const Judged& judged = rival.judged;
  const std::string count = say("{0} of {1} came back", rival.all.failed, rival.all.fitted);
  if (leaning == Leaning::avoid && judged.verdict == Verdict::no_clear_difference &&
      judged.window.of >= kEnoughToClear &&
      (judged.lives.observed_a == 0 || judged.chance_worse <= kHardlyWorse)) {
    return say("note says avoid; {0}", count);
  }
  if (leaning == Leaning::praise && judged.verdict >= Verdict::likely_worse)
    return say("note praises it; {0}, {1}", count, verdict_word(judged.verdict));
  return {};
}

}  // namespace baylore::quality
