// How much a word counts by where it stands. The postings keep this folded into one byte a tip and
// word, so it belongs to the store's format: a change raises kParserEpoch. The ranking of the layer
// above uses the same numbers.
#pragma once

#include <array>
#include <cmath>
#include <cstdint>

#include "store/schema.h"

namespace baylore::store {

inline constexpr std::size_t kColumns = kFtsColumns.size();

// How much one occurrence counts, by column, and how far a long column is held against a tip (0 not
// at all, 1 in full). The title is the author's own summary and the symptom is what the complaint
// sounds like; steps and parts mention many things in passing.
struct ColumnWeight {
  double weight = 1;
  double length = 0.75;
  // Words in a column of usual length, measured on the demo shop's tips; in between for the
  // symptom, where judged collections of longer texts want more. Fixed, so that a change of one tip
  // changes nothing about the others.
  double pivot = 1;
};
inline constexpr std::array<ColumnWeight, kColumns> kColumnWeights = {{
    {6.0, 0.60, 9},    // title
    {3.0, 0.75, 90},   // symptom
    {1.2, 0.75, 200},  // checks
    {0.9, 0.75, 50},   // location
    {0.8, 0.75, 150},  // repair
    {1.2, 0.60, 35},   // parts
    {0.7, 0.75, 30},   // finish
    {2.5, 0.40, 18},   // names: codes, vehicles, component, system, when
    {1.0, 0.75, 150},  // other
}};

// How soon more occurrences of a word stop counting, in weighted occurrences: BM25's k1, which is
// this over the column's weight, so 1 in the title and 2 in the symptom.
inline constexpr double kSaturation = 6.0;

// What one occurrence counts in a column of `words` words, 1 being an occurrence of weight 1 in a
// column of the pivot's length.
inline double occurrence_weight(std::size_t column, double words) {
  const ColumnWeight& of = kColumnWeights[column];
  return of.weight / (1 - of.length + of.length * words / of.pivot);
}

// The byte of a posting: the saturated sum of weighted occurrences, 1 .. 255.
inline std::uint8_t posting_weight(double sum) {
  const double saturated = sum / (sum + kSaturation);
  return static_cast<std::uint8_t>(std::lround(1 + 254 * saturated));
}

}  // namespace baylore::store
