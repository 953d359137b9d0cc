// Finds texts that are nearly the same without comparing each with each.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

namespace baylore::shop::checking {

// A sketch of the set of a text's shingles (runs of three words), after Broder, "On the
// resemblance and containment of documents" (1997): the share of equal places in two sketches
// estimates the Jaccard index of the two sets, with a standard error of about 0.05.
struct Sketch {
  static constexpr std::size_t kSize = 96;
  std::array<std::uint32_t, kSize> least{};
  std::uint32_t shingles = 0;  // below kFewest the text is too short to say anything
  static constexpr std::uint32_t kFewest = 24;
};

Sketch sketch_of(std::string_view text);

// 0 .. 1, the estimated share of shingles the two have in common; 0 when either is too short.
double likeness(const Sketch& a, const Sketch& b);

// Two texts of one shop that say nearly the same.
struct Alike {
  std::size_t one = 0;
  std::size_t other = 0;
  double likeness = 0;
};

inline constexpr double kNearlyTheSame = 0.72;

// Pairs at or above kNearlyTheSame: each text with the likest of the earlier ones it meets.
// Locality-sensitive hashing (Indyk and Motwani 1998): sketches are cut into 24 bands of four, and
// texts that agree in a whole band are compared, so that a pair 0.8 alike is met in all but one of
// a million cases. Linear in the number of texts even when all are alike: a band keeps at most 8
// texts.
std::vector<Alike> alike(const std::vector<const Sketch*>& sketches);

}  // namespace baylore::shop::checking
