// A tip as the ranking sees it, and its bytes: what the tail of changes keeps in a row and what a
// part of the postings is built from.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "shop/tip.h"
#include "store/areas.h"
#include "store/stems.h"

namespace baylore::store {

// Longer words are cut: a file's bytes pasted into a tip are no words.
inline constexpr std::size_t kLongestWord = 48;
// What stands behind so many words of an area is not ranked.
inline constexpr std::size_t kMostWords = 65'535;

struct SpreadFit {
  std::string_view make;
  std::string_view model;
  std::int32_t first_year = 0;
  std::int32_t last_year = 0;
  std::string_view engine;
};

// Views into the bytes it was read from.
struct Spread {
  std::string_view id;
  std::string_view path;
  bool withdrawn = false;
  Language language = Language::english;
  std::vector<SpreadFit> fits;
  std::vector<std::string_view> codes;  // as in trade::text, P0420-1A
  std::vector<std::uint16_t> whens;     // words of each condition in the area `when`
  std::array<std::vector<std::string_view>, kAreas> words;  // folded
};

// The word of Language::code that stands for a code's base, whatever failure type a tip lists it
// with: "P0420*" for P0420-1A and for P0420.
std::string base_key(std::string_view code);
inline bool is_base_key(std::string_view code) { return code.ends_with('*'); }

using AreaTexts = std::array<std::string, kAreas>;

// The folded text of each area of a tip; `whens` gets the words of each condition.
AreaTexts areas_of_tip(const shop::Tip& tip);

// The bytes of a tip with those areas.
std::string spread_bytes(const shop::Tip& tip, const AreaTexts& areas);

// False when the bytes are none of spread_bytes'.
bool read_spread(std::string_view bytes, Spread& into);

}  // namespace baylore::store
