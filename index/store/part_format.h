// The bytes of a part of the postings: sections one behind the other, each aligned to 8 bytes, then
// a checksum for each block of what stands before it, then the footer. FORMAT.md describes it for
// readers of the file; part_builder.cc writes it, part.cc reads it. Numbers are the machine's own:
// the file is a cache of this machine.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

namespace baylore::store {

// W words, S stems, T tips. Words are numbered by how many tips hold them, the commonest first.
enum class Section : std::uint8_t {
  word_text,      // the words' bytes, in their order
  word_at,        // u32 x (W + 1): where in word_text each begins
  word_count,     // u32 x W: tips that hold it
  word_language,  // u8 x W
  word_stem,      // u32 x W: number of its stem, kNoStem for a code
  by_text,        // u32 x W: the words in order of text, then language
  stem_text,      // the stems' bytes, in order of language, then text
  stem_at,        // u32 x (S + 1)
  stem_language,  // u8 x S
  stem_first,     // u32 x (S + 1): where in stem_words those of each begin
  stem_words,     // u32: the words of each stem, ascending
  postings_at,    // u64 x (W + 1): where in postings each word's begin
  postings,     // for each tip that holds the word, ascending: how many tips were skipped (LEB128)
                // and posting_weight()
  forward_at,   // u64 x (T + 1): where in forward each tip begins, counted in u16
  forward,      // u16, for each tip: words in each area; count of conditions and the words in each;
                // count of code words and two for each, low half first; the words in order, one
                // each below kEscape, else kEscape and two halves
  tip_doc,      // i64 x T, ascending: tips.doc
  tip_name_at,  // u32 x (2 T + 1): where in tip_name each tip's id and its path begin
  tip_name,
  tip_hash,   // u64 x T: of id and path; orders tips that score alike
  tip_flags,  // u8 x T: kWithdrawn, the Language above it
  fit_at,     // u32 x (T + 1): where in fits each tip's begin
  fits,       // u32: numbers of fit_line
  fit_line,   // FitLine, each different one once
  name_at,    // u32 x (N + 1): where in name_text each begins
  name_text,  // makes, models and engines as authored, each different one once
};
inline constexpr std::size_t kSections = 25;

inline constexpr std::uint32_t kNoStem = 0xFFFFFFFFU;
inline constexpr std::uint16_t kEscape = 0xFFFFU;
inline constexpr std::uint8_t kWithdrawn = 1;
inline constexpr std::size_t kPartBlock = 16 * 1024;  // bytes under one checksum
inline constexpr std::uint64_t kPartMagic = 0x31307374726f6479U;

struct FitLine {
  std::uint32_t make = 0;  // numbers of names
  std::uint32_t model = 0;
  std::uint32_t engine = 0;
  std::int32_t first_year = 0;
  std::int32_t last_year = 0;
};

struct Place {
  std::uint64_t at = 0;
  std::uint64_t size = 0;  // bytes
};

struct Footer {
  std::array<Place, kSections> sections{};
  std::uint64_t words = 0;
  std::uint64_t stems = 0;
  std::uint64_t tips = 0;
  std::uint64_t fit_lines = 0;
  std::uint64_t names = 0;
  std::uint64_t blocks = 0;
  std::uint64_t sum = 0;  // over the block checksums and the footer with this field 0
  std::uint64_t magic = kPartMagic;
};

}  // namespace baylore::store
