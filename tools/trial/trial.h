// The parts that tools/trial-sync plays. Each is a process of its own, as at the bays.
//
// A bay's work folder is outside the shop:
//   texts/HASH.md   every text the bay wrote, by files::hash_hex of its bytes
//   records.csv     every record it appended, as it stands in the shop
//   answers         what its store said at the end (follow)
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace baylore::trial {

struct Bay {
  std::string shop;
  std::string work;
  std::string name;  // its folder in records/
};

// Makes a shop of so many tips. False, and said why, as everywhere here, when it fails.
bool seed(const std::string& shop, int tips);

// So many random actions: most edit one of the tips, some add one under a name that the other bay
// may choose too, some append a record.
bool work(const Bay& bay, int actions, std::uint64_t dice);

// Settles every copy that a file sync left, as a lead would who takes the offered text, and ours
// where there is a conflict. Prints how many, with how many conflicts.
bool settle(const Bay& bay);

// Takes the marks of a merge out of the named texts, so that both sides stay.
bool resolve(const Bay& bay, const std::vector<std::string>& paths);

// A running store: follows the folder until SIGTERM, then asks it, and a store built from scratch
// beside it, the same lines, and writes what they say. False when they differ.
bool follow(const Bay& bay);

// Whether two shops are equal and complete: the same files with the same bytes, no copies left, and
// every text and record that a bay wrote still there. Texts that are in neither shop are left in
// `missing`, a path a line, for git's own history to be asked. Prints a line for each figure.
bool judge(const Bay& one, const Bay& two, const std::string& missing);

}  // namespace baylore::trial
