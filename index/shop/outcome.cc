#include "shop/outcome.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <unordered_map>
#include <utility>

#include "shop/fold.h"
#include "shop/record_groups.h"
#include "words/words.h"

namespace baylore::shop {
namespace {

constexpr std::array<std::pair<Result, std::string_view>, 4> kResults = {{
    {Result::fixed, marked("fixed")},
    {Result::not_fixed, marked("not fixed")},
    {Result::part_ordered, marked("part ordered")},
    {Result::declined, marked("declined")},
}};

std::string field(const Record& record, const char* name) {
  return std::string(record.fields[name]);
}

// Ids and codes hold no blanks: a list of them is one field with blanks between.
std::string listed(const std::vector<std::string>& parts) {
  std::string all;
  for (const std::string& part : parts) all += (all.empty() ? "" : " ") + part;
  return all;
}

std::vector<std::string> parts_of_list(const std::string& text) {
  std::vector<std::string> parts;
  std::size_t at = 0;
  while ((at = text.find_first_not_of(' ', at)) != std::string::npos) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    parts.push_back(text.substr(at, end - at));
    at = end;
  }
  return parts;
}

double number_in(const std::string& text) {
  char* end = nullptr;
  const double value = std::strtod(text.c_str(), &end);
  return end != text.c_str() && value >= 0 && value < 1e6 ? value : 0;
}

}  // namespace

std::string_view result_word(Result result) {
  return kResults.at(static_cast<std::size_t>(result)).second;
}

std::optional<Result> read_result(std::string_view word) {
  for (const auto& [result, known] : kResults) {
    if (known == word) return result;
  }
  return std::nullopt;
}

const std::vector<std::string_view>& comeback_reasons() {
  static const std::vector<std::string_view> reasons = {
      kNotTheCause, marked("part failed"), marked("workmanship"), marked("another fault")};
  return reasons;
}

void put_car(RecordFields& fields, const Car& car) {
  fields.set("make", car.make);
  fields.set("model", car.model);
  if (car.year > 0) fields.set("year", std::to_string(car.year));
  fields.set("engine", car.engine);
}

Car car_in(const RecordFields& fields) {
  Car car;
  car.make = fields["make"];
  car.model = fields["model"];
  car.year = std::max(0, static_cast<int>(number_in(std::string(fields["year"]))));
  car.engine = fields["engine"];
  return car;
}

Record record_of(const Outcome& outcome) {
  Record record{outcome.id, outcome.when, std::string(kOutcome), {}};
  record.fields.set("tip", outcome.right);
  record.fields.set("who", outcome.who);
  record.fields.set("text", outcome.text);
  record.fields.set("corrects", outcome.corrects);
  record.fields.set("job", outcome.job);
  record.fields.set("result", result_word(outcome.result));
  record.fields.set("used", listed(outcome.used));
  record.fields.set("part", outcome.part);
  record.fields.set("odometer", outcome.odometer);
  if (outcome.minutes > 0) record.fields.set("minutes", fmt::format("{:g}", outcome.minutes));
  put_car(record.fields, outcome.car);
  record.fields.set("codes", listed(outcome.codes));
  record.fields.set("order", outcome.order);
  return record;
}

Record record_of(const Comeback& comeback) {
  Record record{comeback.id, comeback.when, std::string(kComeback), {}};
  record.fields.set("refers", comeback.outcome);
  record.fields.set("who", comeback.who);
  record.fields.set("text", comeback.text);
  record.fields.set("corrects", comeback.corrects);
  record.fields.set("reason", comeback.reason);
  record.fields.set("odometer", comeback.odometer);
  return record;
}

Record withdrawal_of(const std::string& id, const std::string& who, const std::string& text) {
  Record record{{}, {}, std::string(kWithdrawn), {}};
  record.fields.set("corrects", id);
  record.fields.set("who", who);
  record.fields.set("text", text);
  return record;
}

std::optional<Outcome> outcome_of(const Record& record) {
  if (record.kind != kOutcome) return std::nullopt;
  const auto result = read_result(field(record, "result"));
  if (!result) return std::nullopt;
  Outcome outcome;
  outcome.id = record.id;
  outcome.when = record.when;
  outcome.result = *result;
  // One pass, as counting reads every record of many years.
  for (const auto& [name, value] : record.fields.all()) {
    const std::string text(value);
    if (name == "codes") outcome.codes = parts_of_list(text);
    if (name == "corrects") outcome.corrects = text;
    if (name == "engine") outcome.car.engine = text;
    if (name == "job") outcome.job = text;
    if (name == "make") outcome.car.make = text;
    if (name == "minutes") outcome.minutes = number_in(text);
    if (name == "model") outcome.car.model = text;
    if (name == "odometer") outcome.odometer = text;
    if (name == "order") outcome.order = text;
    if (name == "part") outcome.part = text;
    if (name == "text") outcome.text = text;
    if (name == "tip") outcome.right = text;
    if (name == "used") outcome.used = parts_of_list(text);
    if (name == "who") outcome.who = text;
    if (name == "year") outcome.car.year = static_cast<int>(number_in(text));
  }
  return outcome;
}

std::optional<Comeback> comeback_of(const Record& record) {
  if (record.kind != kComeback) return std::nullopt;
  Comeback comeback;
  comeback.id = record.id;
  comeback.when = record.when;
  comeback.who = field(record, "who");
  comeback.outcome = field(record, "refers");
  comeback.reason = field(record, "reason");
  comeback.odometer = field(record, "odometer");
  comeback.text = field(record, "text");
  comeback.corrects = field(record, "corrects");
  return comeback;
}

namespace {

// Of two outcomes, or two comebacks.
template <class Kind>
bool newer(const Kind& a, const Kind& b) {
  const auto at_a = instant_of(a.when).value_or(0);
  const auto at_b = instant_of(b.when).value_or(0);
  return at_a != at_b ? at_a > at_b : a.id > b.id;
}

}  // namespace

void each_finished_job(const std::vector<const Record*>& sound,
                       const std::function<void(const Finished&)>& take) {
  const RecordGroups outcomes(sound, kOutcome);
  const RecordGroups comebacks(sound, kComeback);
  std::unordered_map<std::size_t, std::vector<Comeback>> of_outcome;  // by its group
  for (std::size_t group = 0; group < comebacks.count(); ++group) {
    if (comebacks.latest(group) == nullptr) continue;
    auto comeback = comeback_of(*comebacks.latest(group));
    if (!comeback) continue;
    comeback->first_when = comebacks.first(group)->when;
    if (const auto failed = outcomes.of(comeback->outcome))
      of_outcome[*failed].push_back(std::move(*comeback));
  }
  for (std::size_t group = 0; group < outcomes.count(); ++group) {
    if (outcomes.latest(group) == nullptr) continue;
    auto outcome = outcome_of(*outcomes.latest(group));
    if (!outcome) continue;
    outcome->first_when = outcomes.first(group)->when;
    Finished job{std::move(*outcome), {}};
    if (const auto found = of_outcome.find(group); found != of_outcome.end()) {
      job.comebacks = std::move(found->second);
      std::sort(job.comebacks.begin(), job.comebacks.end(),
                [](const Comeback& a, const Comeback& b) { return newer(b, a); });
    }
    take(job);
  }
}

void each_finished_job(const std::vector<Record>& records,
                       const std::function<void(const Finished&)>& take) {
  std::vector<const Record*> all;
  all.reserve(records.size());
  for (const Record& record : records) all.push_back(&record);
  each_finished_job(sound_records(all, std::nullopt, {}), take);
}

std::vector<Finished> finished_jobs(const std::vector<Record>& records) {
  std::vector<Finished> jobs;
  each_finished_job(records, [&](const Finished& job) { jobs.push_back(job); });
  std::sort(jobs.begin(), jobs.end(),
            [](const Finished& a, const Finished& b) { return newer(a.outcome, b.outcome); });
  return jobs;
}

bool wanted(const Finished& job, const Wanted& by) {
  const auto same = [](const std::string& sought, const std::string& held) {
    return sought.empty() || fold(sought) == fold(held);
  };
  const std::string day = job.outcome.when.substr(0, 10);
  return same(by.make, job.outcome.car.make) && same(by.model, job.outcome.car.model) &&
         (by.year == 0 || by.year == job.outcome.car.year) && same(by.order, job.outcome.order) &&
         (by.since.empty() || day >= by.since) && (by.until.empty() || day <= by.until);
}

}  // namespace baylore::shop
