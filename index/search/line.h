// The typed line in pieces: what stands between blanks, without the punctuation around it.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace baylore::search {

struct Piece {
  std::size_t from = 0;  // byte offsets into the line
  std::size_t to = 0;
  std::size_t begin = 0;  // the same with the punctuation around it
  std::size_t end = 0;
  std::string typed;               // "'14", "seal-kit", "3.6l"
  std::vector<std::string> words;  // folded runs of letters and digits: "seal", "kit"
  std::string joined;              // the same without gaps: "sealkit"
  bool taken = false;              // by the vehicle, a part, a reading
};

// Pieces without a letter or digit are left out.
std::vector<Piece> pieces_of(std::string_view line);

}  // namespace baylore::search
