// What a job may have, and what could be checked: the causes with their weight before any check,
// and the checks of all their tips, each once.
#pragma once

#include <cstddef>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "diagnosis/strength.h"
#include "shop/tip.h"

namespace baylore::diagnosis {

// Something known before the first check that speaks for or against a cause: a code, the words of
// the complaint, how the tip fits the vehicle, what the shop has recorded.
struct Known {
  std::string what;   // "code P0128", "words", "vehicle", "records"
  std::string words;  // "stored on this car and listed by the tip"
  double ratio = 1;   // how many times likelier with this cause; 1 says nothing
};

struct Cause {
  std::string tip;  // its id; empty for "something not in the book"
  std::string title;
  std::string path;
  std::string system;
  std::string component;
  double repair_minutes = 0;  // working time; an assumption when `minutes_assumed`
  bool minutes_assumed = false;
  double share = 0;          // of the records alone: how often it was this, 0 .. 1
  std::vector<Known> known;  // in the order they are told
  double prior = 0;          // weight before any check: share times the ratios, normalised
  [[nodiscard]] bool not_in_book() const { return tip.empty(); }
};

// What one check says about one cause.
struct Effect {
  std::size_t cause = 0;
  Strength outside = Strength::kSaysNothing;
  Strength inside = Strength::kSaysNothing;
  std::optional<trade::Expectation> expect;  // as this cause's tip has it; nothing: as shown
  std::string correct;
  // The tip expects what excludes the first tip's range or answer: outside there is inside here.
  bool turned = false;
  // The tip expects an answer of another kind or in other words: what is answered to the check says
  // nothing about this cause.
  bool other_answer = false;
};

// One check, however many tips ask for it. Tips name one check by its `check:` key or by the same
// words.
struct Check {
  std::string id;
  std::string name;
  std::string fact;    // two checks of one fact are not counted twice
  double minutes = 0;  // without access; an assumption when `minutes_assumed`
  bool minutes_assumed = false;
  std::vector<shop::Access> access;
  std::vector<std::string> tools;  // one each
  std::string valid;
  std::optional<trade::Expectation> expect;  // as the check is shown
  std::string correct;
  std::string expect_words;  // "95 kPa or more", "no play"; empty when no tip says
  std::string text;
  std::string why;
  std::string tip;  // id of the tip these words are from: the likeliest one that asks for it
  std::vector<Effect> effects;     // by cause, ascending; a cause without one says nothing about it
  std::vector<double> outside;     // P(outside | cause), one a cause, inside 0 .. 1
  double outside_elsewhere = 0.5;  // the same where no tip says anything
  [[nodiscard]] bool by_hand() const { return tools.empty() && access.empty(); }
};

// A case: never changes while answers come in. The last cause is always "something not in the
// book".
struct Case {
  std::vector<Cause> causes;
  std::vector<Check> checks;  // by the tips' order of weight, then as written
  [[nodiscard]] const Check* check(std::string_view id) const;
  [[nodiscard]] std::size_t beyond() const { return causes.size() - 1; }  // the one not in the book
};

// What is assumed where nobody said. All minutes; common practice, no source.
inline constexpr double kCheckMinutes = 5;
inline constexpr double kRepairMinutes = 60;
// A part fitted for nothing costs more than the work: the part, ordering, returning, explaining.
inline constexpr double kPartForNothingMinutes = 60;
// Looking for what nobody has written down, before it has a name.
inline constexpr double kBeyondMinutes = 60;

// "Something not in the book" starts with at least this weight and never falls below kLeastBeyond.
inline constexpr double kLeastBeyondPrior = 0.05;
inline constexpr double kLeastBeyond = 0.01;

// A tip that may be the cause, with what speaks for it. `share` is of the records (experience.h).
struct Candidate {
  shop::Tip tip;
  double share = 0;
  std::vector<Known> known;
};

// Sets `outside` and `outside_elsewhere` of a check from its effects' words; make_case does.
void fill_outside(Check& check, std::size_t causes);

// Joins candidates to a case. `beyond` is the share of "something not in the book" before evidence,
// raised to kLeastBeyondPrior. Candidates may be none: then all weight is beyond the book. Every
// tip counts once: of two with one id the first stays. Pure.
Case make_case(const std::vector<Candidate>& candidates, double beyond);

}  // namespace baylore::diagnosis
