// The quick score, term at a time over the postings, a stretch of tips at a time so that what is
// added up stays in the processor's cache:
//
//   1. what each term can bring is scaled so that the sum of all fits 15 bits
//   2. for each stretch of tips, for each term: the weights of its postings, a byte each, times
//   what
//      the term can bring; of several forms of a word in one tip the best counts
//   3. tips with every required term and tips that fit the vehicle are lifted as in rank.cc
//   4. the best are kept; what the others have is only counted
//
// Integers throughout, and nothing depends on where in which part a tip lies: the same tips are
// chosen whatever happened to the store before.
#include "search/candidates.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <functional>
#include <span>

#include "search/rank.h"

namespace baylore::search {
namespace {

constexpr std::uint32_t kStretch = 8192;
constexpr std::size_t kSeedsForEach = 4;
// The most that all terms together can bring.
constexpr double kFullScore = 28'000;
// Tips that are not withdrawn have this bit above their score.
constexpr std::uint32_t kCurrent = 1U << 26U;
// The lift of rank.cc in parts of 256.
constexpr double kLiftUnit = 256;
// Every tip about the vehicle, when the line says nothing else.
constexpr std::int16_t kVehicleScore = 1024;

// Best first; of one key, by the hash of id and path.
struct Better {
  const store::Words& words;
  bool operator()(const Candidate& a, const Candidate& b) const {
    if (a.key != b.key) return a.key > b.key;
    const auto& pieces = words.pieces();
    return pieces[a.piece].part.hash(a.tip) < pieces[b.piece].part.hash(b.tip);
  }
};

// Scores are gone through in blocks of kRows rows of eight: the highest of a column is one wide
// instruction a row, and a column is all that is looked at where one is high enough.
constexpr std::uint32_t kColumns = 8;
constexpr std::uint32_t kRows = 8;
constexpr std::uint32_t kBlock = kColumns * kRows;
using Lanes = std::int16_t __attribute__((vector_size(2 * kColumns)));

Lanes lanes_at(const std::int16_t* scores) {
  Lanes lanes;
  std::memcpy(&lanes, scores, sizeof lanes);
  return lanes;
}

// The highest of every column of every block; how many have a score.
std::uint32_t highest_of_columns(const std::int16_t* scores, std::int16_t* highest) {
  Lanes counts{};
  for (std::uint32_t at = 0; at < kStretch; at += kBlock) {
    Lanes high{};
    for (std::uint32_t row = 0; row < kRows; ++row) {
      const Lanes lanes = lanes_at(scores + at + row * kColumns);
      high = lanes > high ? lanes : high;
      counts -= lanes > 0;  // a comparison that holds is -1
    }
    std::memcpy(highest + at / kRows, &high, sizeof high);
  }
  std::uint32_t count = 0;
  for (std::uint32_t i = 0; i < kColumns; ++i) count += static_cast<std::uint32_t>(counts[i]);
  return count;
}

// Counted in blocks so short that a small number holds the count: that is what the compiler makes
// wide instructions of.
constexpr std::uint32_t kCounted = 128;

template <class Holds>
std::uint32_t count_where(const Holds& holds) {
  std::uint32_t count = 0;
  for (std::uint32_t block = 0; block < kStretch; block += kCounted) {
    std::uint8_t some = 0;
    for (std::uint32_t i = block; i < block + kCounted; ++i) {
      some = static_cast<std::uint8_t>(some + (holds(i) ? 1 : 0));
    }
    count += some;
  }
  return count;
}

}  // namespace

struct Gatherer::List {
  store::Postings postings;
  std::int32_t bring = 0;  // for a weight of 256
};

struct Gatherer::Group {
  std::vector<List> lists;
  bool required = false;
};

// What choose() needs beside the scores.
struct Gatherer::Asked {
  const store::Words& words;
  std::uint32_t number = 0;
  std::span<const std::uint8_t> flags;
  std::span<const std::uint8_t> verdicts;  // empty without a vehicle
  std::uint8_t required = 0;
  std::size_t most = 0;
  // By verdict, without and with all words.
  std::array<std::array<std::uint32_t, 2>, 8> lift{};
  std::uint32_t highest_lift = 0;
  std::uint32_t lowest_lift = 0xFFFFFFFFU;
  bool withdrawn = false;  // some tip is
};

Gatherer::Gatherer()
    : scores_(kStretch),
      term_(kStretch),
      terms_(kStretch),
      verdicts_(kStretch),
      highest_(kStretch / kRows) {}

template <bool kRequired>
void Gatherer::add_up(Group& group, std::uint32_t begin, std::uint32_t end) {
  std::int16_t* const scores = scores_.data();
  [[maybe_unused]] std::uint8_t* const terms = terms_.data();
  // Never nothing: whoever has the word is counted.
  const auto brought = [](std::uint8_t weight, std::int32_t bring) {
    return static_cast<std::int16_t>(((weight * bring) >> 8) + 1);
  };
  if (group.lists.size() == 1) {
    store::Postings postings = group.lists[0].postings;
    const std::int32_t bring = group.lists[0].bring;
    for (; postings.more() && postings.tip() < end; postings.next()) {
      const std::uint32_t at = postings.tip() - begin;
      scores[at] = static_cast<std::int16_t>(scores[at] + brought(postings.weight(), bring));
      if constexpr (kRequired) terms[at] = static_cast<std::uint8_t>(terms[at] + 1);
    }
    group.lists[0].postings = postings;
    return;
  }
  // Of several lists a tip gets the highest: what a further one brings is what it has more.
  std::int16_t* const term = term_.data();
  bool met = false;
  for (List& list : group.lists) {
    store::Postings postings = list.postings;
    const std::int32_t bring = list.bring;
    met = met || (postings.more() && postings.tip() < end);
    for (; postings.more() && postings.tip() < end; postings.next()) {
      const std::uint32_t at = postings.tip() - begin;
      const std::int16_t before = term[at];
      const std::int16_t now = std::max(before, brought(postings.weight(), bring));
      scores[at] = static_cast<std::int16_t>(scores[at] + now - before);
      if constexpr (kRequired) {
        terms[at] = static_cast<std::uint8_t>(terms[at] + (before == 0 ? 1 : 0));
      }
      term[at] = now;
    }
    list.postings = postings;
  }
  if (met) std::fill(term_.begin(), term_.end(), std::int16_t{0});
}

void Gatherer::choose(const Asked& asked, std::uint32_t begin, std::uint32_t end) {
  const std::uint32_t size = end - begin;
  const std::int16_t* const scores = scores_.data();
  const std::uint8_t* const terms = terms_.data();
  const std::uint8_t required = asked.required;
  std::int16_t* const highest = highest_.data();
  const std::uint32_t any = highest_of_columns(scores, highest);
  if (any == 0) return;
  // Whoever has all the terms has a score; with no term required, whoever has a score has them all.
  const std::uint32_t all =
      required > 0 ? count_where([&](std::uint32_t at) { return terms[at] == required; }) : any;
  std::uint32_t any_fitting = any;
  std::uint32_t all_fitting = all;
  if (!asked.verdicts.empty()) {
    // Behind the last tip nothing has a score.
    std::copy_n(asked.verdicts.data() + begin, size, verdicts_.data());
    const std::uint8_t* const verdicts = verdicts_.data();
    constexpr auto kFitting = static_cast<std::uint8_t>(FitVerdict::fits_all);
    any_fitting = count_where(
        [&](std::uint32_t at) { return (scores[at] > 0) & (verdicts[at] <= kFitting); });
    all_fitting = required == 0 ? any_fitting : count_where([&](std::uint32_t at) {
      return (terms[at] == required) & (verdicts[at] <= kFitting);
    });
  }
  result_.any.fitting += any_fitting;
  result_.any.others += any - any_fitting;
  result_.all.fitting += all_fitting;
  result_.all.others += all - all_fitting;

  if (least_ == 0) least_ = seed(asked);
  const auto least_score = [&] {
    if (least_ < kCurrent) return 1;
    return std::max(1, static_cast<int>((least_ - kCurrent) / asked.highest_lift));
  };
  int least = least_score();
  for (std::uint32_t column = 0; column < kStretch / kRows; ++column) {
    if (highest[column] < least) continue;
    const std::uint32_t first = column / kColumns * kBlock + column % kColumns;
    for (std::uint32_t row = 0; row < kRows; ++row) {
      const std::uint32_t at = first + row * kColumns;
      if (scores[at] < least) continue;
      const std::uint32_t tip = begin + at;
      const std::size_t verdict = asked.verdicts.empty() ? 0 : asked.verdicts[tip] % 8U;
      const bool all_words = terms[at] == required;
      const bool withdrawn = (asked.flags[tip] & store::kWithdrawn) != 0;
      const std::uint32_t key =
          static_cast<std::uint32_t>(scores[at]) * asked.lift[verdict][all_words ? 1 : 0] +
          (withdrawn ? 0 : kCurrent);
      if (key < least_) continue;
      pool_.push_back({key, tip, asked.number, withdrawn});
      if (pool_.size() < 2 * asked.most) continue;
      std::nth_element(pool_.begin(), pool_.begin() + static_cast<std::ptrdiff_t>(asked.most) - 1,
                       pool_.end(), Better{asked.words});
      pool_.resize(asked.most);
      least_ = std::max(least_, pool_.back().key);
      least = least_score();
    }
  }
}

void Gatherer::look_for_withdrawn(const store::Words& words) {
  if (version_ == words.version() && withdrawn_.size() == words.pieces().size()) return;
  version_ = words.version();
  withdrawn_.clear();
  for (const store::Words::Piece& piece : words.pieces()) {
    const std::span<const std::uint8_t> flags = piece.part.flags();
    withdrawn_.push_back(std::any_of(flags.begin(), flags.end(), [](std::uint8_t flag) {
      return (flag & store::kWithdrawn) != 0;
    }));
  }
}

// A key that so many candidates of this stretch reach as are asked for, so that the first ones met
// need not be kept: as many columns have a tip of that score at least. Withdrawn tips, whose keys
// are below all others, might be those: then nothing is known.
std::uint32_t Gatherer::seed(const Asked& asked) {
  if (asked.withdrawn || asked.most > highest_.size()) return 0;
  seeds_ = highest_;
  // Of two columns the higher one, as long as there are many: as good, and sooner sorted.
  while (seeds_.size() / 2 >= kSeedsForEach * asked.most) {
    const std::size_t half = seeds_.size() / 2;
    for (std::size_t i = 0; i < half; ++i) seeds_[i] = std::max(seeds_[i], seeds_[half + i]);
    seeds_.resize(half);
  }
  const auto wanted = seeds_.begin() + static_cast<std::ptrdiff_t>(asked.most) - 1;
  std::nth_element(seeds_.begin(), wanted, seeds_.end(), std::greater<>());
  return *wanted > 0 ? kCurrent + static_cast<std::uint32_t>(*wanted) * asked.lowest_lift : 0;
}

Gathered Gatherer::gather(const store::Words& words, const Plan& plan, const Standings& standings,
                          bool by_vehicle, std::size_t most) {
  look_for_withdrawn(words);
  result_ = {};
  pool_.clear();
  least_ = 0;
  double full = 0;
  for (const PlannedTerm& term : plan.terms) full += term.worth;
  for (const PlannedCode& code : plan.codes) {
    full += kCodeExact * code.rarity;
  }
  const double scale = full > 0 ? kFullScore / full : 0;
  const auto bring = [&](double worth) {
    return static_cast<std::int32_t>(std::lround(worth * scale));
  };
  for (std::uint32_t number = 0; number < words.pieces().size(); ++number) {
    const store::Words::Piece& piece = words.pieces()[number];
    Asked asked{words, number, piece.part.flags(), standings.of(number), 0, most, {}};
    asked.required = static_cast<std::uint8_t>(plan.required);
    if (asked.flags.size() < piece.part.tips()) continue;  // damage
    asked.withdrawn = withdrawn_[number];
    for (std::size_t verdict = 0; verdict < asked.lift.size(); ++verdict) {
      const double lift = 1 + vehicle_share(static_cast<FitVerdict>(verdict));
      const double whole = plan.required > 1 ? kAllWords : 1;
      asked.lift[verdict] = {static_cast<std::uint32_t>(std::lround(lift * kLiftUnit)),
                             static_cast<std::uint32_t>(std::lround(lift * whole * kLiftUnit))};
      const bool met = asked.verdicts.empty()
                           ? verdict == static_cast<std::size_t>(FitVerdict::no_vehicle)
                           : verdict != static_cast<std::size_t>(FitVerdict::no_vehicle);
      if (!met) continue;
      asked.highest_lift = std::max(asked.highest_lift, asked.lift[verdict][1]);
      asked.lowest_lift = std::min(asked.lowest_lift, asked.lift[verdict][0]);
    }

    std::vector<Group> groups;
    for (const PlannedTerm& term : plan.terms) {
      Group group;
      group.required = term.required;
      for (const Answering& each : term.ways) {
        const std::uint32_t word = each.way->numbers[number];
        if (word == Way::kAbsent) continue;
        group.lists.push_back({piece.part.postings(word), bring(term.worth * each.weight)});
      }
      for (const PlannedPhrase& phrase : term.phrases) {
        const std::string& bytes = phrase.postings->bytes[number];
        const auto* at = reinterpret_cast<const std::uint8_t*>(bytes.data());
        if (!bytes.empty()) {
          group.lists.push_back(
              {store::Postings(at, at + bytes.size()), bring(term.worth * phrase.weight)});
        }
      }
      if (!group.lists.empty()) groups.push_back(std::move(group));
    }
    for (const PlannedCode& code : plan.codes) {
      Group group;
      const auto add = [&](std::uint32_t found, double weight) {
        if (found == Way::kAbsent) return;
        group.lists.push_back({piece.part.postings(found), bring(code.rarity * weight)});
      };
      for (const std::uint32_t near : code.near[number]) add(near, kCodeNear);
      add(code.base[number], kCodeBase);
      add(code.exact[number], kCodeExact);
      if (!group.lists.empty()) groups.push_back(std::move(group));
    }
    if (groups.empty() && !by_vehicle) continue;

    auto dead = piece.dead.begin();
    for (std::uint32_t begin = 0; begin < piece.part.tips(); begin += kStretch) {
      const std::uint32_t end = std::min(piece.part.tips(), begin + kStretch);
      std::fill(scores_.begin(), scores_.end(), std::int16_t{0});
      std::fill(terms_.begin(), terms_.end(), std::uint8_t{0});
      for (Group& group : groups) {
        if (group.required) {
          add_up<true>(group, begin, end);
        } else {
          add_up<false>(group, begin, end);
        }
      }
      if (by_vehicle && !asked.verdicts.empty()) {
        for (std::uint32_t tip = begin; tip < end; ++tip) {
          const auto verdict = static_cast<FitVerdict>(asked.verdicts[tip]);
          if (verdict != FitVerdict::fits_all && verdict != FitVerdict::other_model) {
            scores_[tip - begin] = kVehicleScore;
          }
        }
      }
      for (; dead != piece.dead.end() && *dead < end; ++dead) {
        scores_[*dead - begin] = 0;
        terms_[*dead - begin] = 0;
      }
      choose(asked, begin, end);
    }
  }
  std::sort(pool_.begin(), pool_.end(), Better{words});
  if (pool_.size() > most) pool_.resize(most);
  result_.best = std::move(pool_);
  return std::move(result_);
}

}  // namespace baylore::search
