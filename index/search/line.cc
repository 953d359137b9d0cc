#include "search/line.h"

#include "shop/fold.h"

namespace baylore::search {
namespace {

// Bytes of the blank that starts at `at`, 0 when there is none: ASCII blanks and the no-break
// space.
std::size_t blank_at(std::string_view line, std::size_t at) {
  const char c = line[at];
  if (c == ' ' || (c >= '\t' && c <= '\r')) return 1;
  if (c == '\xC2' && at + 1 < line.size() && line[at + 1] == '\xA0') return 2;
  return 0;
}

bool edge(char c) {
  constexpr std::string_view kPunctuation = "!\"#$%&()*+,-./:;<=>?@[\\]^_`{|}~";
  return kPunctuation.find(c) != std::string_view::npos;
}

}  // namespace

std::vector<Piece> pieces_of(std::string_view line) {
  std::vector<Piece> pieces;
  std::size_t at = 0;
  while (at < line.size()) {
    if (const std::size_t blank = blank_at(line, at); blank > 0) {
      at += blank;
      continue;
    }
    std::size_t end = at;
    while (end < line.size() && blank_at(line, end) == 0) ++end;
    Piece piece;
    piece.from = piece.begin = at;
    piece.to = piece.end = end;
    at = end;
    while (piece.from < piece.to && edge(line[piece.from])) ++piece.from;
    while (piece.from < piece.to && (edge(line[piece.to - 1]) || line[piece.to - 1] == '\'')) {
      --piece.to;
    }
    piece.typed = std::string(line.substr(piece.from, piece.to - piece.from));
    piece.words = shop::words_of(piece.typed);
    if (piece.words.empty()) continue;
    for (const std::string& word : piece.words) piece.joined += word;
    pieces.push_back(std::move(piece));
  }
  return pieces;
}

}  // namespace baylore::search
