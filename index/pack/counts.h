// How often a tip was right and a part held, as bare numbers: what may leave the shop of its
// records. No record, no vehicle, no day and no name is in them.
#pragma once

#include <cstdint>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "files/disk.h"
#include "files/result.h"

namespace baylore::pack {

struct Count {
  std::string kind;          // "tip" or "part"
  std::string name;          // a tip's id; a part's brand and number
  std::uint32_t used = 0;    // a tip: jobs it was the cause of and fixed; a part: times fitted
  std::uint32_t failed = 0;  // of these: came back against it
  std::uint32_t dead = 0;    // a part: bad before it went in; not among `used`
  bool operator==(const Count&) const = default;
};

// This shop's own counts of the given tips, and of the parts of the given families (by id), by kind
// and name; what counts as what is said in quality/history.h. `today` in milliseconds since 1970.
files::Result<std::vector<Count>> count_outcomes(files::Disk& disk, const std::string& shop_folder,
                                                 const std::set<std::string>& tips,
                                                 const std::set<std::string>& families,
                                                 std::int64_t today);

// counts.csv: `kind,name,used,failed,dead`, one count a line.
std::string counts_text(const std::vector<Count>& counts);
// Lines that cannot be, or say more failures than uses, are left out and counted in `refused`.
std::vector<Count> read_counts(std::string_view bytes, int& refused);

}  // namespace baylore::pack
