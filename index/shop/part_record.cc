#include "shop/part_record.h"

#include <algorithm>
#include <cstdlib>

#include <fmt/format.h>

#include "shop/record_groups.h"
#include "trade/quantity.h"
#include "words/words.h"

namespace baylore::shop {
namespace {

// How far a car went between two odometer readings, in the unit of the later one; empty when either
// is missing or it went backwards.
std::string distance_between(const std::string& from, const std::string& to) {
  const auto first = trade::taken(trade::parse_quantity(from));
  const auto last = trade::taken(trade::parse_quantity(to));
  if (!first || !last || first->unit->dimension != trade::Dimension::kLength ||
      last->unit->dimension != trade::Dimension::kLength) {
    return {};
  }
  const double gone = last->value - trade::convert(first->value, *first->unit, *last->unit);
  return gone < 0 ? std::string() : fmt::format("{:.0f} {}", gone, last->unit->symbol);
}

}  // namespace

Record record_of(const DeadOnArrival& dead) {
  Record record{dead.id, dead.when, std::string(kDeadOnArrival), {}};
  record.fields.set("who", dead.who);
  record.fields.set("text", dead.text);
  record.fields.set("corrects", dead.corrects);
  record.fields.set("job", dead.job);
  record.fields.set("part", dead.part);
  put_car(record.fields, dead.car);
  return record;
}

std::optional<DeadOnArrival> dead_on_arrival_of(const Record& record) {
  if (record.kind != kDeadOnArrival) return std::nullopt;
  const auto field = [&](const char* name) { return std::string(record.fields[name]); };
  DeadOnArrival dead;
  dead.id = record.id;
  dead.when = record.when;
  dead.who = field("who");
  dead.text = field("text");
  dead.corrects = field("corrects");
  dead.job = field("job");
  dead.part = field("part");
  dead.car = car_in(record.fields);
  return dead;
}

std::vector<DeadOnArrival> dead_on_arrival(const std::vector<const Record*>& sound) {
  const RecordGroups groups(sound, kDeadOnArrival);
  std::vector<DeadOnArrival> all;
  for (std::size_t group = 0; group < groups.count(); ++group) {
    if (groups.latest(group) == nullptr) continue;
    auto dead = dead_on_arrival_of(*groups.latest(group));
    if (!dead) continue;
    dead->first_when = groups.first(group)->when;
    all.push_back(std::move(*dead));
  }
  std::sort(all.begin(), all.end(), [](const DeadOnArrival& a, const DeadOnArrival& b) {
    const auto at_a = instant_of(a.when).value_or(0);
    const auto at_b = instant_of(b.when).value_or(0);
    return at_a != at_b ? at_a < at_b : a.id < b.id;
  });
  return all;
}

std::vector<DeadOnArrival> dead_on_arrival(const std::vector<Record>& records) {
  std::vector<const Record*> all;
  all.reserve(records.size());
  for (const Record& record : records) all.push_back(&record);
  return dead_on_arrival(sound_records(all, std::nullopt, {}));
}

std::string claim_sheet(const Finished& job, const Comeback& comeback,
                        std::string_view warranty_text) {
  const Outcome& outcome = job.outcome;
  const auto day = [](const std::string& when) { return when.substr(0, 10); };
  std::string sheet;
  const auto line = [&](std::string_view name, const std::string& value) {
    sheet += fmt::format("{}: {}", name, value);
    while (!sheet.empty() && sheet.back() == ' ') sheet.pop_back();
    sheet += '\n';
  };
  line(marked("Part"), outcome.part);
  line(marked("Warranty"), std::string(warranty_text));
  line(marked("Vehicle"), fmt::format("{} {} {} {}", outcome.car.make, outcome.car.model,
                                      outcome.car.year > 0 ? std::to_string(outcome.car.year) : "",
                                      outcome.car.engine));
  line(marked("Fitted"), day(outcome.when));
  line(marked("Odometer when fitted"), outcome.odometer);
  line(marked("Failed"), day(comeback.when));
  line(marked("Odometer when failed"), comeback.odometer);
  line(marked("Distance"), distance_between(outcome.odometer, comeback.odometer));
  line(marked("Reason"), comeback.reason);
  line(marked("Readings"), comeback.text);
  line(marked("Repair order"), outcome.order);
  return sheet;
}

}  // namespace baylore::shop
