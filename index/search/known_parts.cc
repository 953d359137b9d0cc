#include "search/known_parts.h"

#include <algorithm>
#include <optional>
#include <vector>

#include "search/line.h"

namespace baylore::search {
namespace {

constexpr std::size_t kMostKnown = 4096;
// A number is written in at most so many pieces: `88 214 A`.
constexpr std::size_t kMostNumberPieces = 3;
// Of the tips that have the word, so many are looked into.
constexpr std::size_t kMostTips = 8;

// Whether one of the tip's words in the area is this one.
bool stands_in(const store::Forward& tip, std::uint32_t word, store::Area area) {
  std::size_t at = 0;
  for (std::size_t each = 0; each < static_cast<std::size_t>(area) && each < tip.sizes.size();
       ++each) {
    for (std::size_t i = 0; i < tip.sizes[each] && at < tip.words.size(); ++i) {
      at += tip.words[at] == store::kEscape ? 3U : 1U;
    }
  }
  for (std::size_t i = 0; i < tip.sizes[static_cast<std::size_t>(area)]; ++i) {
    if (at >= tip.words.size()) return false;
    std::uint32_t number = tip.words[at++];
    if (number == store::kEscape) {
      if (at + 1 >= tip.words.size()) return false;
      number = tip.words[at] | static_cast<std::uint32_t>(tip.words[at + 1]) << 16U;
      at += 2;
    }
    if (number == word) return true;
  }
  return false;
}

// The number as a heading of third level writes it.
std::string in_headings(std::string_view text, std::string_view joined) {
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    const std::string_view line = text.substr(at, end - at);
    at = end + 1;
    if (!line.starts_with("### ")) continue;
    const std::vector<Piece> pieces = pieces_of(line);
    for (std::size_t first = 0; first < pieces.size(); ++first) {
      std::string together;
      for (std::size_t i = first; i < pieces.size() && i < first + kMostNumberPieces; ++i) {
        together += pieces[i].joined;
        if (together != joined) continue;
        return std::string(line.substr(pieces[first].from, pieces[i].to - pieces[first].from));
      }
    }
  }
  return {};
}

}  // namespace

std::string KnownParts::find(const store::Store& store, const store::Words& words,
                             std::string_view joined) {
  if (version_ != words.version() || known_.size() >= kMostKnown) {
    known_.clear();
    version_ = words.version();
  }
  if (const auto known = known_.find(joined); known != known_.end()) return known->second;
  std::string shown;
  for (const store::Words::Piece& piece : words.pieces()) {
    std::size_t looked = 0;
    for (const store::Language language : store::kSpoken) {
      const std::optional<std::uint32_t> word = piece.part.find(joined, language);
      if (!word) continue;
      for (store::Postings at = piece.part.postings(*word);
           at.more() && shown.empty() && looked < kMostTips; at.next()) {
        if (piece.is_dead(at.tip())) continue;
        ++looked;
        if (!stands_in(piece.part.forward(at.tip()), *word, store::Area::parts)) continue;
        const std::optional<std::string> bytes = store.bytes(piece.part.doc(at.tip()));
        if (bytes) shown = in_headings(*bytes, joined);
      }
    }
    if (!shown.empty()) break;
  }
  known_.emplace(joined, shown);
  return shown;
}

}  // namespace baylore::search
