// What a shop folder holds, and what of it is not as the store has it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "files/disk.h"
#include "files/result.h"
#include "store/readers.h"
#include "store/sql.h"

namespace baylore::store {

// The files that matter, in path order.
struct Listing {
  std::vector<Candidate> candidates;
  std::vector<std::string> closed;  // folders we may not look into: what is known of them stays
};

files::Result<Listing> list_shop(files::Disk& disk, const std::string& shop);
// Of these files alone, relative to the shop. Nothing when one is not there, or is a folder: then
// only a look at the whole shop tells what became of it.
std::optional<Listing> list_these(files::Disk& disk, const std::string& shop,
                                  std::vector<std::string> paths);

struct Difference {
  std::vector<Candidate> read;  // new, or not as it was, or too young to tell: the hash decides
  std::vector<std::string> removed;
  std::int64_t unchanged = 0;
};

// The folder against the table `files`, both sorted by path and walked side by side.
files::Result<Difference> compare(const Database& database, Listing listing);
// Some files against their rows; nothing is said of the others.
files::Result<Difference> compare_these(const Database& database, Listing listing);

}  // namespace baylore::store
