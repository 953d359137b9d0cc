// What a tip's strength words are worth: each stands for a likelihood ratio, how many times
// likelier the answer is when this cause is at fault than when it is not.
#pragma once

#include <array>
#include <optional>
#include <string_view>

namespace baylore::diagnosis {

enum class Strength {
  kRulesOut,
  kSuggestsAgainst,
  kHintsAgainst,
  kSaysNothing,
  kHints,
  kSuggests,
  kProves,
};

struct StrengthRow {
  Strength strength;
  std::string_view word;  // as tips write it
  double ratio;
  std::string_view why;
};

// The sizes follow the steps that medicine found readers of ratios to tell apart (Jaeschke, Guyatt
// and Sackett, "Users' Guides to the Medical Literature III", JAMA 271 (1994) 703: 2 to 5 small, 5
// to 10 moderate, above 10 large and often conclusive): about the geometric middle of each step.
inline constexpr std::array<StrengthRow, 7> kStrengths = {{
    {Strength::kRulesOut, "rules out", 0.01, "the inverse of proves"},
    {Strength::kSuggestsAgainst, "suggests against", 1.0 / 7, "the inverse of suggests"},
    {Strength::kHintsAgainst, "hints against", 1.0 / 3, "the inverse of hints"},
    {Strength::kSaysNothing, "says nothing", 1, "as likely with this cause as without it"},
    {Strength::kHints, "hints", 3, "a small change, 2 to 5: alone it decides nothing"},
    {Strength::kSuggests, "suggests", 7, "a moderate change, 5 to 10: two of them nearly decide"},
    {Strength::kProves, "proves", 100,
     "large and conclusive, yet one reading in a hundred is taken at the wrong place or written to "
     "the wrong car (common practice, no source)"},
}};

// The row of a word as a tip writes it; nullptr when it is none of them.
const StrengthRow* strength_row(std::string_view word);
double ratio_of(Strength strength);

// The word nearest to a ratio, for telling what an answer came to. Ratios are compared by their
// logarithm.
Strength nearest_strength(double ratio);

// How often an answer outside of what is expected is seen: with this cause, and with others.
struct Rates {
  double with = 0.5;
  double without = 0.5;
};

// The rates that two words imply. `outside` and `inside` are ratios of the two answers of one
// check, and both answers' probabilities must sum to 1 with the cause and without it, which leaves
// one solution:
//   without = (1 - inside) / (outside - inside),  with = outside * without.
// Words that cannot both hold are read as follows:
//   - one says nothing: an answer that speaks for a cause makes its absence speak a little against
//     it, so "nothing" is read as a quarter of a factor of two the other way: 2^(-1/4) or 2^(1/4);
//   - both speak in one direction: no check can do that; the stronger word counts, the other says
//     nothing, and two equal words say nothing at all.
// Both rates lie inside 0.001 .. 0.999.
Rates rates_of(double outside, double inside);

}  // namespace baylore::diagnosis
