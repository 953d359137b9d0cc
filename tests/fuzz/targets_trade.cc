#include <cmath>
#include <vector>

#include "fuzz/targets.h"
#include "trade/code.h"
#include "trade/correction.h"
#include "trade/expectation.h"
#include "trade/quantity.h"
#include "trade/thread.h"
#include "trade/torque_spec.h"
#include "trade/torque_window.h"
#include "trade/unit.h"
#include "trade/vin.h"

namespace baylore::fuzz {
namespace {

using namespace trade;

// A refusal points into the text and says what is wrong and what to do.
template <class T>
bool clear(const Parsed<T>& parsed, std::string_view bytes) {
  const Refusal* refusal = refusal_in(parsed);
  return refusal == nullptr ||
         (refusal->at <= bytes.size() && !refusal->what.empty() && !refusal->remedy.empty());
}

bool near(double a, double b) { return std::abs(a - b) <= 1e-9 * std::abs(a) + 1e-300; }

}  // namespace

std::string quantity(std::string_view bytes) {
  const auto number = parse_number(bytes);
  if (!clear(number, bytes)) return "parse_number: a refusal is not clear";
  if (const double* value = value_in(number)) {
    if (!std::isfinite(*value)) return "parse_number: not finite";
  }
  const auto typed_unit = read_unit(bytes);
  if (!clear(typed_unit, bytes)) return "read_unit: a refusal is not clear";
  if ((value_in(typed_unit) != nullptr) != (find_unit(bytes) != nullptr)) {
    return "find_unit and read_unit disagree";
  }
  const auto reading = parse_reading(bytes, unit(UnitId::kKilopascal));
  if (!clear(reading, bytes)) return "parse_reading: a refusal is not clear";
  if (const Quantity* quantity = value_in(reading)) {
    if (quantity->unit->dimension != Dimension::kPressure) return "parse_reading: not a pressure";
  }

  const auto parsed = parse_quantity(bytes);
  if (!clear(parsed, bytes)) return "parse_quantity: a refusal is not clear";
  const Quantity* quantity = value_in(parsed);
  if (quantity == nullptr) return {};
  if (!std::isfinite(quantity->value) || std::abs(quantity->value) > 1e12) {
    return "parse_quantity: out of range";
  }
  const auto again = taken(parse_quantity(authored(*quantity)));
  if (!again || again->value != quantity->value || again->unit != quantity->unit) {
    return "authored() does not read back to the same quantity";
  }
  if (shown(*quantity).empty()) return "shown() is empty";
  if (const Unit* other = companion_unit(*quantity)) {
    const auto there = converted(*quantity, *other);
    if (!there) return "a companion unit of another dimension";
    const double back = convert(there->value, *other, *quantity->unit);
    // A temperature near the foot of the other scale loses what the offset takes.
    if (!near(back, quantity->value) && std::abs(back - quantity->value) > 1e-9) {
      return "there and back is another number";
    }
  }
  return {};
}

std::string expectation(std::string_view bytes) {
  const auto correction = parse_correction(bytes);
  if (!clear(correction, bytes)) return "parse_correction: a refusal is not clear";

  const auto parsed = parse_expectation(bytes);
  if (!clear(parsed, bytes)) return "parse_expectation: a refusal is not clear";
  const Expectation* range = value_in(parsed);
  if (range == nullptr) return {};
  const auto again = taken(parse_expectation(in_words(*range)));
  if (!again || again->low != range->low || again->high != range->high ||
      again->low_excluded != range->low_excluded || again->high_excluded != range->high_excluded ||
      again->unit != range->unit || again->plain != range->plain) {
    return "in_words() does not read back to the same expectation";
  }
  const auto scale = scale_for(*range);
  if (!range->is_range()) return scale ? "a plain answer has a scale" : std::string();
  if (!range->low && !range->high) return "a range without ends";
  if (range->low && range->high && !(*range->low < *range->high)) return "ends the wrong way round";
  if (!scale) return "a range without a scale";
  if (!(scale->low < scale->high) || scale->labels.size() < 4 || scale->labels.size() > 6) {
    return "a scale that cannot be drawn";
  }
  for (std::size_t i = 0; i < unit_count(); ++i) {
    const bool same = unit_at(i).dimension == range->unit->dimension;
    if (in_words_as(*range, unit_at(i)).empty() == same) return "in_words_as: wrong dimension";
  }
  // The end itself is never low, and never high, by more than the doubt of the instrument.
  const double end = range->low ? *range->low : *range->high;
  const auto verdict = taken(judge(*range, {end, range->unit}));
  if (!verdict) return "a reading in the range's own unit is refused";
  if (end != 0 && verdict->standing != Standing::kOnTheEdge) return "the end is not on the edge";
  if (const Correction* how = value_in(correction)) {
    if (asks_for(*how).empty()) return "a correction that asks for nothing";
  }
  return {};
}

std::string torque(std::string_view bytes) {
  const auto parsed = parse_torque(bytes);
  if (!clear(parsed, bytes)) return "parse_torque: a refusal is not clear";
  const TorqueSpec* spec = value_in(parsed);
  if (spec == nullptr) return {};
  if (spec->stages.empty() || spec->stages.size() > 12) return "too few or too many stages";
  for (const TorqueStage& stage : spec->stages) {
    if (stage.low.has_value() != (stage.unit != nullptr)) return "a torque without a unit";
    if (stage.low && !(*stage.low > 0 && *stage.low <= stage.high.value_or(0))) {
      return "a torque that is no torque";
    }
    for (const double angle : stage.degrees) {
      if (!(angle > 0 && angle <= 720)) return "an angle out of range";
    }
  }
  const std::string text = authored(*spec);
  const auto again = taken(parse_torque(text));
  if (!again || authored(*again) != text || again->stages.size() != spec->stages.size()) {
    return "authored() does not read back to the same spec";
  }
  if (converted_text(*spec, other_torque_unit(*spec)).empty()) return "converted_text() is empty";
  if (stages_in_words(*spec).empty() != (spec->stages.size() == 1)) return "stages_in_words()";
  const TorqueWindow window{10, 15, 20, 26};
  if (spec->has_angle() && judge_torque(*spec, window)) return "an angle is judged by a window";
  return {};
}

std::string thread(std::string_view bytes) {
  const auto strength = parse_class(bytes);
  if (!clear(strength, bytes)) return "parse_class: a refusal is not clear";

  const auto parsed = parse_thread(bytes);
  if (!clear(parsed, bytes)) return "parse_thread: a refusal is not clear";
  const Thread* thread = value_in(parsed);
  if (thread == nullptr) return {};
  if (!(thread->diameter_mm >= 1 && thread->diameter_mm <= 64)) return "diameter out of range";
  if (!(thread->pitch_mm >= 0.2 && thread->pitch_mm <= 6)) return "pitch out of range";
  const auto again = taken(parse_thread(thread->text));
  if (!again || again->text != thread->text || again->pitch_mm != thread->pitch_mm ||
      again->diameter_mm != thread->diameter_mm || again->left_hand != thread->left_hand) {
    return "the text does not read back to the same thread";
  }
  const double outer = 3.2 / 4 * thread->diameter_mm * thread->diameter_mm;
  if (!(stress_area(*thread) > 0 && stress_area(*thread) < outer)) return "no stress area";
  for (const char* each : {"8.8", "10.9", "12.9", "Grade 2", "Grade 5", "Grade 8"}) {
    const auto window = taken(torque_window(*thread, *taken(parse_class(each)).value_or(nullptr)));
    if (window && !(0 < window->low && window->low < window->oiled && window->oiled < window->dry &&
                    window->dry < window->high)) {
      return "a window the wrong way round";
    }
  }
  return {};
}

std::string code(std::string_view bytes) {
  const auto parsed = parse_code(bytes);
  if (!clear(parsed, bytes)) return "parse_code: a refusal is not clear";
  if (const ReadCode* read = value_in(parsed)) {
    const auto again = taken(parse_code(text(read->code)));
    if (!again || again->code != read->code || !again->repairs.empty()) {
      return "text() does not read back to the same code";
    }
    // Blanks at the ends are not worth a word.
    if (read->repairs.empty() && bytes.find(text(read->code)) == std::string_view::npos) {
      return "a repair that is not told";
    }
    if (!read->repairs.empty() && text(read->code) == bytes) return "a repair where none was made";
  }
  const CodeList list = read_codes(bytes);
  for (const Refusal& refusal : list.refused) {
    if (refusal.at > bytes.size() || refusal.what.empty()) return "read_codes: a refusal";
  }
  std::size_t last = 0;
  for (const FoundCode& found : find_codes(bytes)) {
    if (found.length == 0 || found.at < last || found.at + found.length > bytes.size()) {
      return "find_codes: outside the line, or out of order";
    }
    last = found.at + found.length;
    const auto alone = taken(parse_code(bytes.substr(found.at, found.length)));
    if (!alone || alone->code != found.read.code) return "find_codes: another code than alone";
    if (!matches(found.read.code, alone->code)) return "a code does not match itself";
  }
  return {};
}

std::string vin(std::string_view bytes) {
  for (const VehicleClass kind :
       {VehicleClass::kUnknown, VehicleClass::kLight, VehicleClass::kOther}) {
    const auto parsed = read_vin(bytes, kind);
    if (!clear(parsed, bytes)) return "read_vin: a refusal is not clear";
    if (const Vin* vin = value_in(parsed)) {
      if (vin->text.size() != 17 || !vin->complete || !vin->check || vin->reason.empty()) {
        return "read_vin: not a whole VIN";
      }
      if (vin->valid && (!vin->check->agrees || vin->model_years.empty())) {
        return "valid without a check digit or a year";
      }
      const auto again = taken(read_vin(vin->text, kind));
      if (!again || again->text != vin->text || !again->repairs.empty()) {
        return "the text does not read back to the same VIN";
      }
      // Seventeen letters whose check digit does not agree are more likely a word.
      if (vin->check->agrees && !find_vin(vin->text)) return "a VIN that is not found in a line";
    }
    const auto part = read_partial_vin(bytes, kind);
    if (!clear(part, bytes)) return "read_partial_vin: a refusal is not clear";
    if (const Vin* vin = value_in(part)) {
      if (vin->valid) return "part of a VIN is called valid";
    }
  }
  if (const auto found = find_vin(bytes)) {
    if (found->length == 0 || found->at + found->length > bytes.size()) return "outside the line";
  }
  const std::string without = without_vins(bytes);
  if (find_vin(without)) return "a VIN is left";
  if (without.size() > bytes.size()) return "a line that grew";
  return {};
}

}  // namespace baylore::fuzz
