// The part numbers of a shop's tips, as the tips write them.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <unordered_map>

#include "search/phrases.h"
#include "store/store.h"
#include "store/words.h"

namespace baylore::search {

// Looks a number up in the words of all tips, and in the headings of `## Parts` of the tips that
// have it. Remembers what it found while the words stay the same. One thread at a time.
class KnownParts {
 public:
  // `joined`: folded letters and digits without gaps, "88214". Gives "88-214", or nothing when no
  // tip has such a part.
  std::string find(const store::Store& store, const store::Words& words, std::string_view joined);

 private:
  std::unordered_map<std::string, std::string, TextHash, std::equal_to<>> known_;
  std::uint64_t version_ = 0;
};

}  // namespace baylore::search
