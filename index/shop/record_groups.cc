#include "shop/record_groups.h"

#include <algorithm>
#include <array>
#include <unordered_set>
#include <utility>

#include <fmt/format.h>

#include "shop/notes.h"
#include "shop/outcome.h"
#include "shop/part_record.h"

namespace baylore::shop {
namespace {

constexpr std::array<std::string_view, 4> kJoined = {kOutcome, kComeback, kDeadOnArrival,
                                                     kWithdrawn};

bool is_joined(std::string_view kind) {
  return std::find(kJoined.begin(), kJoined.end(), kind) != kJoined.end();
}

bool earlier(const Record& a, const Record& b) {
  const auto at_a = instant_of(a.when).value_or(0);
  const auto at_b = instant_of(b.when).value_or(0);
  return at_a != at_b ? at_a < at_b : a.id < b.id;
}

struct Fault {
  std::string why;
  std::string remedy;
};

// What is wrong with a record by itself.
std::optional<Fault> fault_of(const Record& record, const std::optional<Times>& times) {
  if (times) {
    const auto at = instant_of(record.when);
    if (!at) {
      return Fault{fmt::format("its time `{}` cannot be read", excerpt(record.when)),
                   "correct it, with a time such as 2026-03-14T10:47:03+01:00"};
    }
    if (*at > times->until) {
      return Fault{fmt::format("{} lies in the future", record.when.substr(0, 10)),
                   "look at the terminal's clock, and correct the record"};
    }
    if (*at < times->from) {
      return Fault{fmt::format("{} is too long ago to be right", record.when.substr(0, 10)),
                   "look at the terminal's clock, and correct the record"};
    }
  }
  if (record.kind == kOutcome && !read_result(record.fields["result"])) {
    return Fault{fmt::format("`{}` is no result", excerpt(record.fields["result"])),
                 "correct it: fixed, not fixed, part ordered or declined"};
  }
  if (record.kind == kDeadOnArrival && record.fields["part"].empty())
    return Fault{"it names no part", "correct it, with brand and number"};
  return std::nullopt;
}

// A kind that a slip of the pen made, of a record that would count otherwise.
std::string_view meant_kind(const Record& record) {
  if (record.fields["part"].empty() && record.fields["refers"].empty()) return {};
  static const std::vector<std::string> kKinds(kJoined.begin(), kJoined.end());
  return nearest(record.kind, kKinds);
}

}  // namespace

// 1. Each record by itself.
// 2. With the ids and kinds of all: what refers to nothing, or corrects another kind. An outcome
//    that is named by a correction counts as known though it is not here yet.
// 3. What is wrong is told, unless a sound record has put it right since.
std::vector<const Record*> sound_records(const std::vector<const Record*>& records,
                                         const std::optional<Times>& times, const Aside& aside) {
  struct Known {
    std::string_view kind;  // empty: named only
    bool outcome = false;   // a sound one, or named by one
  };
  std::vector<std::pair<const Record*, Fault>> faults;
  std::vector<const Record*> sound;
  std::unordered_map<std::string_view, Known> known;
  sound.reserve(records.size());
  known.reserve(records.size());
  for (const Record* record : records) {
    if (!is_joined(record->kind)) {
      if (const std::string_view meant = meant_kind(*record); !meant.empty()) {
        faults.push_back({record,
                          {fmt::format("`{}` is no kind of record", excerpt(record->kind)),
                           fmt::format("did you mean `{}`? write the record anew", meant)}});
      }
      continue;
    }
    Known& own = known[record->id];
    own.kind = record->kind;
    if (auto fault = fault_of(*record, times)) {
      faults.emplace_back(record, std::move(*fault));
      continue;
    }
    sound.push_back(record);
    if (record->kind != kOutcome) continue;
    own.outcome = true;
    if (const std::string_view old = record->fields["corrects"]; !old.empty())
      known[old].outcome = true;
  }
  const auto joins = [&](const Record& record) -> std::optional<Fault> {
    if (record.kind == kComeback) {
      const std::string_view refers = record.fields["refers"];
      const auto at = known.find(refers);
      if (at == known.end() || !at->second.outcome) {
        return Fault{
            fmt::format("it refers to `{}`, which is no outcome that counts", excerpt(refers)),
            "correct it, with the id of the job that came back"};
      }
    }
    const std::string_view old = record.fields["corrects"];
    if (old.empty() && record.kind != kWithdrawn) return std::nullopt;
    const auto at = known.find(old);
    const std::string_view kind = at == known.end() ? std::string_view() : at->second.kind;
    if (record.kind == kWithdrawn) {
      if (!kind.empty()) return std::nullopt;
      return Fault{fmt::format("it withdraws `{}`, which is not here", excerpt(old)),
                   "nothing to do if that record is yet to come; else look at the id"};
    }
    if (kind.empty() || kind == record.kind || kind == kWithdrawn) return std::nullopt;
    return Fault{fmt::format("it corrects `{}`, which is of another kind: {}", excerpt(old), kind),
                 "write the record anew, with the id it takes the place of"};
  };
  std::unordered_set<std::string_view> put_right;
  sound.erase(std::remove_if(sound.begin(), sound.end(),
                             [&](const Record* record) {
                               auto fault = joins(*record);
                               if (!fault) {
                                 if (const auto old = record->fields["corrects"]; !old.empty())
                                   put_right.insert(old);
                                 return false;
                               }
                               faults.emplace_back(record, std::move(*fault));
                               return true;
                             }),
              sound.end());
  if (!aside) return sound;
  for (auto& [record, fault] : faults) {
    if (put_right.count(record->id) == 0)
      aside(*record, std::move(fault.why), std::move(fault.remedy));
  }
  return sound;
}

RecordGroups::RecordGroups(const std::vector<const Record*>& records, std::string_view kind) {
  for (const Record* record : records) {
    if (record->kind != kind && record->kind != kWithdrawn) continue;
    const std::size_t own = place(record->id);
    const std::string_view corrected = record->fields["corrects"];
    if (!corrected.empty()) join(own, place(corrected));
    Member& group = members_[root(own)];
    if (group.latest == nullptr || earlier(*group.latest, *record)) group.latest = record;
    if (record->kind == kind && (group.first == nullptr || earlier(*record, *group.first)))
      group.first = record;
  }
  // Every place points at its root, so that looking up changes nothing.
  for (std::size_t i = 0; i < members_.size(); ++i) members_[i].parent = root(i);
}

std::optional<std::size_t> RecordGroups::of(std::string_view id) const {
  const auto at = places_.find(id);
  if (at == places_.end()) return std::nullopt;
  return members_[at->second].parent;
}

std::size_t RecordGroups::place(std::string_view id) {
  const auto [at, added] = places_.emplace(id, members_.size());
  if (added) members_.push_back({at->second, nullptr, nullptr});
  return at->second;
}

// Halves the way while walking it: a hundred thousand corrections in a row are no long walk.
std::size_t RecordGroups::root(std::size_t place) {
  while (members_[place].parent != place) {
    members_[place].parent = members_[members_[place].parent].parent;
    place = members_[place].parent;
  }
  return place;
}

void RecordGroups::join(std::size_t a, std::size_t b) {
  a = root(a);
  b = root(b);
  if (a == b) return;
  Member& from = members_[a];
  Member& to = members_[b];
  from.parent = b;
  if (from.latest != nullptr && (to.latest == nullptr || earlier(*to.latest, *from.latest)))
    to.latest = from.latest;
  if (from.first != nullptr && (to.first == nullptr || earlier(*from.first, *to.first)))
    to.first = from.first;
  from.latest = nullptr;
  from.first = nullptr;
}

}  // namespace baylore::shop
