#include <fmt/format.h>

#include <memory>
#include <nlohmann/json.hpp>

#include "opened.h"
#include "trade/quantity.h"
#include "trade/thread.h"
#include "trade/torque_spec.h"
#include "trade/torque_window.h"

namespace baylore::cli {
namespace {

using trade::UnitId;

struct TorqueAsked {
  std::string thread;
  std::string strength;
  std::string check;
  std::string unit = "N\xC2\xB7m";
  std::string set_for;
  std::string set_to;
  std::string length;
  std::string reach = "0";
  std::string angle = "0";
};

constexpr std::string_view kAdvice =
    "Advice for spotting a slip, from bolt mechanics with usual nut factors (0.15 oiled, 0.20 dry, "
    "25 to 30 % either way). It is no specification: the vehicle maker's value always wins. It "
    "says nothing about aluminium threads, studs, plugs, banjo bolts, wheel fasteners, or a bolt "
    "tightened by angle.";
constexpr std::string_view kInside =
    "That proves nothing: lbf\xC2\xB7"
    "ft taken for N\xC2\xB7m mostly stays inside as well.";
constexpr std::string_view kAdapter =
    "Hold the wrench at the middle of its grip. Length: from there to the drive; reach: from the "
    "drive to the fastener; angle: 0 in line outward, 90 square, 180 pointing back.";

// Reads an option with a reader of trade/, or says which option is wrong.
template <class T>
std::optional<T> taken_from(const char* option, const std::string& text,
                            const trade::Parsed<T>& parsed) {
  if (const T* value = trade::value_in(parsed)) return *value;
  complain(option, text, trade::reason_in(parsed));
  return std::nullopt;
}

std::optional<trade::Quantity> torque_from(const char* option, const std::string& text) {
  return taken_from(option, text, trade::parse_reading(text, trade::unit(UnitId::kNewtonMetre)));
}

std::string_view place_word(trade::TorqueOpinion::Place place) {
  switch (place) {
    case trade::TorqueOpinion::Place::kBelow:
      return "below";
    case trade::TorqueOpinion::Place::kInside:
      return "inside";
    case trade::TorqueOpinion::Place::kAbove:
      return "above";
  }
  return "inside";
}

int window(const TorqueAsked& asked, bool json) {
  const auto thread = taken_from("--thread", asked.thread, trade::parse_thread(asked.thread));
  const auto strength = taken_from("--class", asked.strength, trade::parse_class(asked.strength));
  const auto unit = taken_from("--unit", asked.unit, trade::read_unit(asked.unit));
  if (!thread || !strength || !unit) return kCouldNotRun;
  if ((*unit)->dimension != trade::Dimension::kTorque) {
    complain(
        fmt::format("--unit: {} is no torque: write N\xC2\xB7m, lbf\xC2\xB7"
                    "ft or lbf\xC2\xB7in",
                    (*unit)->symbol));
    return kCouldNotRun;
  }
  const auto computed = trade::torque_window(*thread, **strength);
  if (trade::value_in(computed) == nullptr) {
    const trade::Refusal refusal = trade::reason_in(computed);
    complain(fmt::format("{} {}: {}: {}", thread->text, (*strength)->name, refusal.what,
                         refusal.remedy));
    return kCouldNotRun;
  }
  const trade::TorqueWindow& inside = *trade::value_in(computed);
  const trade::Unit& nm = trade::unit(UnitId::kNewtonMetre);
  const auto in_unit = [&](double value) { return trade::convert(value, nm, **unit); };
  const auto shown = [&](double value) { return trade::shown_number(in_unit(value)); };

  std::optional<trade::TorqueSpec> spec;
  std::optional<trade::TorqueOpinion> opinion;
  std::string said;
  if (!asked.check.empty()) {
    spec = taken_from("--check", asked.check, trade::parse_torque(asked.check));
    if (!spec) return kCouldNotRun;
    opinion = trade::judge_torque(*spec, inside);
    const std::string text = trade::authored(*spec);
    if (!opinion) {
      said = text + ": no window applies to a bolt tightened by angle or by hand.";
    } else if (opinion->place == trade::TorqueOpinion::Place::kInside) {
      said = fmt::format("{} is inside. {}", text, kInside);
    } else {
      said = fmt::format("{} is {} the window.", text, place_word(opinion->place));
      if (opinion->did_you_mean != nullptr) {
        said += fmt::format(" The same number in {} would be inside: did you mean that?",
                            opinion->did_you_mean->symbol);
      }
    }
  }

  if (json) {
    nlohmann::json out = {{"low", in_unit(inside.low)},
                          {"oiled", in_unit(inside.oiled)},
                          {"dry", in_unit(inside.dry)},
                          {"high", in_unit(inside.high)},
                          {"unit", std::string((*unit)->symbol)},
                          {"thread", thread->text},
                          {"class", std::string((*strength)->name)},
                          {"standard_thread", thread->standard},
                          {"advice", std::string(kAdvice)}};
    if (spec) {
      nlohmann::json checked = {{"torque", trade::authored(*spec)},
                                {"place", nullptr},
                                {"did_you_mean", nullptr},
                                {"said", said}};
      if (opinion) checked["place"] = std::string(place_word(opinion->place));
      if (opinion && opinion->did_you_mean != nullptr) {
        checked["did_you_mean"] = std::string(opinion->did_you_mean->symbol);
      }
      out["checked"] = checked;
    }
    print(out);
  } else {
    fmt::print("{}, {}: plausible {} to {} {} (oiled {}, dry {})\n", thread->text,
               (*strength)->name, shown(inside.low), shown(inside.high), (*unit)->symbol,
               shown(inside.oiled), shown(inside.dry));
    if (!thread->standard) fmt::print("Not a usual pair of diameter and pitch: look again.\n");
    if (!said.empty()) fmt::print("{}\n", said);
    fmt::print("{}\n", kAdvice);
  }
  const bool outside = opinion && opinion->place != trade::TorqueOpinion::Place::kInside;
  return outside ? kFindings : kDone;
}

// What to set for a torque through an adapter, or what a setting applies.
int adapter(const TorqueAsked& asked, bool json) {
  const bool wanted = !asked.set_for.empty();
  const auto torque =
      wanted ? torque_from("--set-for", asked.set_for) : torque_from("--set-to", asked.set_to);
  const trade::Unit& mm = trade::unit(UnitId::kMillimetre);
  const auto length = taken_from("--length", asked.length, trade::parse_reading(asked.length, mm));
  const auto reach = taken_from("--reach", asked.reach, trade::parse_reading(asked.reach, mm));
  const auto angle = taken_from("--angle", asked.angle,
                                trade::parse_reading(asked.angle, trade::unit(UnitId::kDegree)));
  if (!torque || !length || !reach || !angle) return kCouldNotRun;
  const auto in_mm = [&](const trade::Quantity& each) {
    return trade::convert(each.value, *each.unit, mm);
  };
  const double degrees = trade::convert(angle->value, *angle->unit, trade::unit(UnitId::kDegree));
  const auto result =
      wanted ? trade::wrench_setting(torque->value, in_mm(*length), in_mm(*reach), degrees)
             : trade::applied_torque(torque->value, in_mm(*length), in_mm(*reach), degrees);
  if (trade::value_in(result) == nullptr) {
    const trade::Refusal refusal = trade::reason_in(result);
    complain(refusal.what + ": " + refusal.remedy);
    return kCouldNotRun;
  }
  const trade::Quantity found{*trade::value_in(result), torque->unit};
  if (json) {
    const trade::Quantity& set = wanted ? found : *torque;
    const trade::Quantity& applied = wanted ? *torque : found;
    print({{"set", set.value},
           {"applied", applied.value},
           {"unit", std::string(torque->unit->symbol)},
           {"shown", trade::shown(found)},
           {"advice", std::string(kAdapter)}});
  } else if (wanted) {
    fmt::print("Set {} for {} at the fastener.\n{}\n", trade::shown(found),
               trade::authored(*torque), kAdapter);
  } else {
    fmt::print("Set to {}, {} reach the fastener.\n{}\n", trade::authored(*torque),
               trade::shown(found), kAdapter);
  }
  return kDone;
}

int torque(const TorqueAsked& asked, bool json) {
  if (!asked.set_for.empty() || !asked.set_to.empty()) return adapter(asked, json);
  if (asked.thread.empty() || asked.strength.empty()) {
    complain("nothing to work out: give --thread and --class, or --set-for with --length");
    return kCouldNotRun;
  }
  return window(asked, json);
}

}  // namespace

void add_torque(Arguments& arguments) {
  Verb verb =
      arguments.verb("torque", "What torque is plausible for a bolt; what to set with an adapter");
  const auto asked = std::make_shared<TorqueAsked>();
  const Option thread = verb.text("--thread", asked->thread, "As in M10x1.5 or 3/8-16");
  const Option strength =
      verb.text("--class", asked->strength, "8.8, 10.9, 12.9, or Grade 2, 5, 8");
  thread.needs(strength);
  strength.needs(thread);
  verb.text("--check", asked->check, "A torque to hold against it").needs(thread);
  verb.text("--unit", asked->unit, "Unit of the answer").shows_default();
  const Option set_for =
      verb.text("--set-for", asked->set_for, "The torque wanted through an adapter");
  const Option set_to =
      verb.text("--set-to", asked->set_to, "What a wrench with an adapter is set to");
  const Option length =
      verb.text("--length", asked->length, "Of the wrench, in mm unless a unit is given");
  verb.text("--reach", asked->reach, "Of the adapter").shows_default();
  verb.text("--angle", asked->angle, "Of the adapter, in degrees").shows_default();
  set_for.needs(length).excludes(set_to).excludes(thread);
  set_to.needs(length).excludes(thread);
  verb.runs([asked](const Common& common) { return torque(*asked, common.json); });
}

}  // namespace baylore::cli
