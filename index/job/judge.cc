#include "job/judge.h"

#include "diagnosis/reading.h"
#include "words/words.h"

namespace baylore::job {
namespace {

std::string meaning(const shop::Check& check, bool inside) {
  const std::string& strength = inside ? check.inside : check.outside;
  return strength_words(strength, tr("this cause"));
}

}  // namespace

std::string strength_words(const std::string& strength, const std::string& what) {
  if (strength.empty()) return {};
  if (strength == "hints") return say("hints at {0}", what);
  if (strength == "says nothing") return say("says nothing about {0}", what);
  return tr(strength) + " " + what;
}

Judged judge(const shop::Check& check, const Reading* reading, double doubt) {
  Judged out;
  out.expect = check.expect;
  if (reading == nullptr) return out;
  if (reading->result == "not showing now") {
    out.kind = Judged::Kind::not_showing;
    out.words = tr("The fault is away just now: a good reading counts for nothing.");
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

  const diagnosis::Held held =
      diagnosis::hold(check.expect, check.correct, reading->value, reading->measured, doubt);
  out.quantity = held.quantity;
  out.expect = held.expect;
  out.reason = held.reason;
  if (!held.verdict) {
    out.kind = Judged::Kind::not_read;
    out.words = held.trouble;
    return out;
  }
  out.kind = Judged::Kind::judged;
  out.verdict = held.verdict;
  out.words = held.words;
  // On the edge the meter cannot tell: neither strength word is earned.
  if (out.verdict->standing != trade::Standing::kOnTheEdge)
    out.means = meaning(check, out.verdict->inside);
  return out;
}

std::string said(const Judged& judged) {
  switch (judged.kind) {
    case Judged::Kind::judged:
      return judged.verdict->inside ? kInside : kOutside;
    case Judged::Kind::yes:
      return kInside;
    case Judged::Kind::no:
      return kOutside;
    case Judged::Kind::none:
    case Judged::Kind::not_showing:
    case Judged::Kind::could_not:
    case Judged::Kind::not_read:
      break;
  }
  return {};
}

std::string word(const Judged& judged) {
  switch (judged.kind) {
    case Judged::Kind::none:
      return {};
    case Judged::Kind::judged:
      return tr(trade::standing_word(judged.verdict->standing));
    case Judged::Kind::yes:
      return tr_in("an answer", "yes");
    case Judged::Kind::no:
      return tr_in("an answer", "no");
    case Judged::Kind::not_showing:
      return tr("not showing now");
    case Judged::Kind::could_not:
      return tr("could not check");
    case Judged::Kind::not_read:
      return tr("not read");
  }
  return {};
}

}  // namespace baylore::job
