// Three-way merging of texts. Pure; nothing here reads or writes a file.
#pragma once

#include <cstddef>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace baylore::pack {

// A place where two texts say different things.
struct Difference {
  std::string where;  // "title", "Checks", "Fasteners / Pump bolts"
  std::string base;   // what both started from; empty when it is not known, or was not there
  std::string ours;   // empty: not there
  std::string theirs;
  bool operator==(const Difference&) const = default;
};

// Section by section, what differs. Places that say the same but for blank lines are left out.
std::vector<Difference> differences(std::string_view ours, std::string_view theirs);

// Ours, with their side in the places whose index in differences(ours, theirs) is in `taken`: a
// person has gone through them. None taken gives the very bytes of ours, all of them theirs.
std::string combine(std::string_view ours, std::string_view theirs,
                    const std::set<std::size_t>& taken);

struct Merged {
  std::string text;  // with our side where there is a conflict
  std::vector<Difference> conflicts;
};

// Merges two texts that started from `base`. The unit is what a person takes in as one statement:
//   - a value of the front matter; a list there is merged item by item, as a set
//   - the prose of a section, line by line: changes to different lines go together, list items and
//     table rows that both added at one place are both kept, anything else is a conflict
//   - an entry (`### Pump bolts` and what belongs to it) as a whole: a thread from one side and a
//     torque from the other would make a bolt that nobody has seen
//   - sections and entries may come and go; one that a side took out and the other changed is a
//     conflict, and stays
// Without conflict the result is the same with the sides exchanged, except where both put the
// sections in another order. A side that changed nothing gives the other side's very bytes.
enum class InConflict {
  ours,  // our side stands in the text
  both,  // both stand in it between the marks that version control sets, for a person to choose
};
Merged merge_texts(std::string_view base, std::string_view ours, std::string_view theirs,
                   InConflict show = InConflict::ours);

// Merges lines where each is a statement of its own, as in records: ours, then what only theirs
// has. Nothing is ever taken out.
std::string merge_records(std::string_view ours, std::string_view theirs);

}  // namespace baylore::pack
