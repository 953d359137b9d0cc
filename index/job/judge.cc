#include "job/judge.h"

namespace baylore::job {
namespace {

std::string condition_words(const trade::Correction& correction, const std::string& measured) {
  if (correction.kind == trade::Correction::Kind::kCopper) {
    return "for " + measured + " instead of " +
           trade::authored_number(correction.written_for_celsius) + " °C";
  }
  return "for a barometer of " + measured;
}

std::string meaning(const shop::Check& check, bool inside) {
  const std::string& strength = inside ? check.inside : check.outside;
  return strength_words(strength, "this cause");
}

}  // namespace

std::string strength_words(const std::string& strength, const std::string& what) {
  if (strength.empty()) return {};
  if (strength == "hints") return "hints at " + what;
  if (strength == "says nothing") return "says nothing about " + what;
  return strength + " " + what;
}

Judged judge(const shop::Check& check, const Reading* reading, double doubt) {
  Judged out;
  out.expect = check.expect;
  if (reading == nullptr) return out;
  if (reading->result == "not showing now") {
    out.kind = Judged::Kind::not_showing;
    out.words = "The fault is away just now: a good reading counts for nothing.";
    return out;
  }
  if (reading->result == "could not check") {
    out.kind = Judged::Kind::could_not;
    return out;
  }
  if (reading->result == "yes" || reading->result == "no") {
    const bool inside = reading->result == "yes";
    out.kind = inside ? Judged::Kind::yes : Judged::Kind::no;
    out.means = meaning(check, inside);
    return out;
  }

  out.kind = Judged::Kind::not_read;
  if (!check.expect || !check.expect->is_range()) {
    out.words = "this check has no range to hold a number against";
    return out;
  }
  const auto parsed = trade::parse_reading(reading->value, *check.expect->unit);
  if (const trade::Refusal* refusal = trade::refusal_in(parsed)) {
    out.words = refusal->what + (refusal->remedy.empty() ? "" : ": " + refusal->remedy);
    return out;
  }
  out.quantity = *trade::value_in(parsed);

  // The range as it should read under the condition it was measured in.
  if (!check.correct.empty() && !reading->measured.empty()) {
    const auto correction = trade::parse_correction(check.correct);
    const auto measured = trade::parse_quantity(reading->measured);
    if (const trade::Refusal* refusal = trade::refusal_in(measured)) {
      out.words = refusal->what + ": " + refusal->remedy;
      return out;
    }
    if (trade::refusal_in(correction) == nullptr) {
      const auto corrected =
          trade::corrected(*check.expect, *trade::value_in(correction), *trade::value_in(measured));
      if (const trade::Refusal* refusal = trade::refusal_in(corrected)) {
        out.words = refusal->what + ": " + refusal->remedy;
        return out;
      }
      out.expect = *trade::value_in(corrected);
      out.reason = condition_words(*trade::value_in(correction), reading->measured);
    }
  }
  const auto verdict = trade::judge(*out.expect, *out.quantity, doubt);
  if (const trade::Refusal* refusal = trade::refusal_in(verdict)) {
    out.words = refusal->what + ": " + refusal->remedy;
    return out;
  }
  out.kind = Judged::Kind::judged;
  out.verdict = *trade::value_in(verdict);
  out.words = trade::in_words(*out.expect, *out.verdict);
  // On the edge the meter cannot tell: neither strength word is earned.
  if (out.verdict->standing != trade::Standing::kOnTheEdge)
    out.means = meaning(check, out.verdict->inside);
  return out;
}

std::string word(const Judged& judged) {
  switch (judged.kind) {
    case Judged::Kind::none:
      return {};
    case Judged::Kind::judged:
      return std::string(trade::standing_word(judged.verdict->standing));
    case Judged::Kind::yes:
      return "yes";
    case Judged::Kind::no:
      return "no";
    case Judged::Kind::not_showing:
      return "not showing now";
    case Judged::Kind::could_not:
      return "could not check";
    case Judged::Kind::not_read:
      return "not read";
  }
  return {};
}

}  // namespace baylore::job
