// Records that stand for one thing: an outcome, a comeback or a bad part with what corrects it and
// what takes it back.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "shop/records.h"

namespace baylore::shop {

// Times that are believed, in milliseconds since 1970, both ends included.
struct Times {
  std::int64_t from = 0;
  std::int64_t until = 0;
};
// What is left aside: the record, what is wrong, and what to do.
using Aside = std::function<void(const Record&, std::string why, std::string remedy)>;

// Of these records the ones that say what became of a job, a part or such a record, and can be
// right; the others are told to `aside`, which may be empty:
//   an outcome whose result is no result
//   a bad part without the part
//   a comeback that refers to no outcome among them
//   a correction of a record of another kind, a withdrawal that names no record
//   with `times`: a time that cannot be read or lies outside them
// So a damaged correction leaves standing what it would have corrected, and a good correction or a
// withdrawal of what is wrong is the end of it. Records of other kinds are left out and not told,
// but for one whose kind is nearly one of these. The pointers are those given.
std::vector<const Record*> sound_records(const std::vector<const Record*>& records,
                                         const std::optional<Times>& times, const Aside& aside);

// Records of one kind joined by `corrects`, in any order and with any rings: each group stands for
// what its latest record says. Withdrawals belong to every kind; a record never joins those of
// another. The records must outlive the groups.
class RecordGroups {
 public:
  RecordGroups(const std::vector<const Record*>& records, std::string_view kind);

  // The group of an id; nothing when no record has or names it.
  [[nodiscard]] std::optional<std::size_t> of(std::string_view id) const;
  [[nodiscard]] std::size_t count() const { return members_.size(); }
  // By time, then id; a withdrawal too. nullptr for what is no group of its own.
  [[nodiscard]] const Record* latest(std::size_t group) const { return members_[group].latest; }
  // The one that was written first, by its time; no withdrawal. nullptr when there is none.
  [[nodiscard]] const Record* first(std::size_t group) const { return members_[group].first; }

 private:
  struct Member {
    std::size_t parent;
    const Record* latest = nullptr;  // of roots
    const Record* first = nullptr;
  };
  std::size_t place(std::string_view id);
  std::size_t root(std::size_t place);
  void join(std::size_t a, std::size_t b);

  std::unordered_map<std::string_view, std::size_t> places_;
  std::vector<Member> members_;
};

}  // namespace baylore::shop
