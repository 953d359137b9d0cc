// Invents what became of a demo shop's parts: outcomes, comebacks and dead-on-arrivals over three
// years, in the records' format. Some effects are planted, so that there is something to be found;
// everything else is chance.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "shop/part_book.h"

namespace baylore::history {

// A file of records, relative to the shop.
struct MadeFile {
  std::string path;  // "records/bay-1-7K2QF9/2024-03.csv", "received/hexley-road/records/..."
  std::string text;
};

// What is planted. Shares are of comebacks within 12 months; the usual ones are 4 % and a shape
// of 1.2.
struct Planted {
  std::string_view brand;   // empty: any
  std::string_view family;  // slug; empty: any
  std::string_view lot;     // empty: any
  double share;
  double shape;  // of the Weibull life: below 1 early, above 1 late
  const char* what;
};
const std::vector<Planted>& planted();
// Comes back often, and never because of the part: it only looks bad.
inline constexpr std::string_view kLooksBad = "Pellworth SL 219";
// So new that two of four say nothing.
inline constexpr std::string_view kTooNew = "Eskdon SM 14";
// Often bad in the box, and as good as the others on the car.
inline constexpr std::string_view kBadInTheBox = "Ardmoor CP-12";

// The day up to which records reach, and how many outcomes there are.
inline constexpr std::string_view kLastDay = "2026-10-31";
inline constexpr int kOutcomes = 4000;
// Of the records that lie in content/: chosen among a few so that the demo shows each planted
// effect and no chance find beside it. How often that is so the test with other seeds tells.
inline constexpr std::uint64_t kSeed = 20261036;

// The same book and seed give the same bytes on every machine.
std::vector<MadeFile> make_history(const shop::PartBook& parts, std::uint64_t seed);

}  // namespace baylore::history
