// What a text comes to when several versions of it are known. Pure: the same versions give the same
// text in whatever order they came.
#pragma once

#include <functional>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace baylore::pack {

struct Version {
  std::string hash;  // files::hash_hex of the bytes
  std::string bytes;
  std::set<std::string> ancestry;  // hashes of the versions it was made from, all the way back
};

struct Standing {
  bool there = false;  // false: no version at all
  std::string hash;
  std::string bytes;
  bool merged = false;            // the bytes are of several versions, put together here
  std::set<std::string> taken;    // versions that the text is or includes
  std::vector<std::string> open;  // versions kept beside it, for a person to settle; by hash
};

// The bytes of a version by its hash, or nullptr.
using FindBytes = std::function<const std::string*(const std::string& hash)>;

// A version that is an ancestor of another is done with. Of those left, the own one comes first, or
// what was made from it, and is never replaced by one that does not descend from it; the others
// follow by hash. Each next one
// is merged into the text when an ancestor of both is known and the merge has no conflict; else it
// stays open, whole. Of several common ancestors the one that is nearest to both counts.
Standing stand(const std::optional<Version>& own, const std::vector<Version>& received,
               const FindBytes& find);

}  // namespace baylore::pack
