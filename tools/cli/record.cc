// What a job came to, and later whether it held.
#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>

#include "diagnosis/experience.h"
#include "diagnosis_words.h"
#include "files/disk.h"
#include "files/names.h"
#include "job/terminal.h"
#include "opened.h"
#include "shop/outcome.h"
#include "shop/part_book.h"
#include "shop/part_record.h"
#include "shop/record_book.h"
#include "trade/quantity.h"

namespace baylore::cli {
namespace {

using nlohmann::json;

struct RecordAsked {
  std::string result;
  std::string comeback;  // id of the outcome that failed
  std::string withdraw;
  std::string dead;   // brand and number of a part that was bad before it went in
  std::string claim;  // id of a comeback
  bool list = false;
  std::string proved;

  std::string tip;
  std::vector<std::string> used;
  std::string part;
  std::string odometer;
  double minutes = 0;
  std::string vehicle;
  std::vector<std::string> codes;
  std::string order;
  std::string who;
  std::string text;
  std::string job;
  std::string reason;
  std::string corrects;
  std::string when;
  std::string since;
  std::string until;
  std::string terminal;
};

json to_json(const diagnosis::Interval& interval) { return {interval.low, interval.high}; }

json to_json(const shop::Finished& job) {
  const shop::Outcome& outcome = job.outcome;
  json comebacks = json::array();
  for (const shop::Comeback& comeback : job.comebacks) {
    comebacks.push_back({{"id", comeback.id},
                         {"when", comeback.when},
                         {"who", comeback.who},
                         {"reason", comeback.reason},
                         {"odometer", comeback.odometer},
                         {"text", comeback.text}});
  }
  return {{"id", outcome.id},
          {"when", outcome.when},
          {"who", outcome.who},
          {"job", outcome.job},
          {"result", std::string(shop::result_word(outcome.result))},
          {"tip", outcome.right},
          {"used", outcome.used},
          {"part", outcome.part},
          {"odometer", outcome.odometer},
          {"minutes", outcome.minutes},
          {"vehicle",
           {{"make", outcome.car.make},
            {"model", outcome.car.model},
            {"year", outcome.car.year},
            {"engine", outcome.car.engine}}},
          {"codes", outcome.codes},
          {"order", outcome.order},
          {"text", outcome.text},
          {"comebacks", comebacks}};
}

void print_for_people(const shop::Finished& job) {
  const shop::Outcome& outcome = job.outcome;
  const search::Vehicle vehicle{outcome.car.make, outcome.car.model, outcome.car.year,
                                outcome.car.engine};
  std::string line(shop::result_word(outcome.result));
  for (const std::string& part :
       {vehicle.text(), outcome.right.empty() ? "" : "tip " + outcome.right, outcome.part,
        outcome.odometer, outcome.minutes > 0 ? fmt::format("{:g} min", outcome.minutes) : "",
        outcome.order.empty() ? "" : "order " + outcome.order}) {
    if (!part.empty()) line += " | " + part;
  }
  fmt::print("{}  {}  [{}]\n", outcome.when.substr(0, 10), line, outcome.id);
  for (const shop::Comeback& comeback : job.comebacks) {
    fmt::print("            came back {}{}{}  [{}]\n", comeback.when.substr(0, 10),
               comeback.reason.empty() ? "" : ": ", comeback.reason, comeback.id);
  }
}

int list(const Common& common, const shop::RecordBook& book, const shop::Wanted& by) {
  json jobs = json::array();
  for (const shop::Finished& job : shop::finished_jobs(book.records())) {
    if (!shop::wanted(job, by)) continue;
    if (common.json) {
      jobs.push_back(to_json(job));
    } else {
      print_for_people(job);
    }
  }
  if (common.json) {
    json findings = json::array();
    for (const shop::Finding& finding : book.findings()) findings.push_back(cli::to_json(finding));
    print({{"jobs", jobs}, {"findings", findings}});
  }
  return book.findings().empty() ? kDone : kFindings;
}

int tell_proved(const Common& common, const shop::RecordBook& book, const std::string& tip) {
  diagnosis::Experience experience;
  experience.take(book);
  const diagnosis::Proved proved = experience.proved(tip);
  if (!common.json) {
    fmt::print("{}\n", in_words(proved));
    return kDone;
  }
  print({{"tip", tip},
         {"used", proved.used},
         {"right", proved.right},
         {"came_back", proved.came_back},
         {"right_share", to_json(proved.right_share)},
         {"came_back_share", to_json(proved.came_back_share)},
         {"median_minutes", proved.median_minutes ? json(*proved.median_minutes) : json()},
         {"minutes", proved.minutes ? to_json(*proved.minutes) : json()},
         {"few", proved.few()},
         {"words", in_words(proved)}});
  return kDone;
}

// Whether the book has a record of this id and kind, which another one is about.
bool has(const shop::RecordBook& book, const std::string& id, bool outcome) {
  const shop::Record* record = book.find(id);
  // What is wrong in it does not matter to a correction: it may be what has to be put right.
  const bool fits = record != nullptr &&
                    (outcome ? shop::outcome_of(*record).has_value()
                             : record->kind == shop::kOutcome || record->kind == shop::kComeback ||
                                   record->kind == shop::kDeadOnArrival);
  if (!fits) {
    complain(id + ": no " + (outcome ? "outcome" : "outcome or comeback") +
             " has this id: baylore record --list shows them");
  }
  return fits;
}

// An odometer reading in km or mi, as typed.
bool is_distance(const std::string& text) {
  const auto read = trade::parse_quantity(text);
  if (const trade::Refusal* refusal = trade::refusal_in(read)) {
    complain("--odometer", text, *refusal);
    return false;
  }
  const trade::Quantity* quantity = trade::value_in(read);
  const bool distance = quantity != nullptr && quantity->value >= 0 &&
                        quantity->unit->dimension == trade::Dimension::kLength;
  if (!distance) complain("--odometer " + text + ": no distance: write it in km or mi");
  return distance;
}

std::optional<shop::Record> outcome_record(const RecordAsked& asked, const store::Store& store) {
  shop::Outcome outcome;
  const auto result = shop::read_result(asked.result);
  if (!result) {
    complain("--result " + asked.result +
             ": no result: write fixed, 'not fixed', 'part ordered' or declined");
    return std::nullopt;
  }
  outcome.result = *result;
  outcome.right = asked.tip;
  if (!asked.tip.empty() && asked.tip != shop::kNoneOfThese) {
    const auto id = read_tip_id(asked.tip, store);
    if (!id) return std::nullopt;
    outcome.right = *id;
  }
  for (const std::string& tip : asked.used) {
    const auto id = read_tip_id(tip, store);
    if (!id) return std::nullopt;
    outcome.used.push_back(*id);
  }
  const auto vehicle = read_vehicle(asked.vehicle, store.vocabulary());
  const auto codes = read_car_codes(asked.codes);
  if (!vehicle || !codes) return std::nullopt;
  outcome.car = {vehicle->make, vehicle->model, vehicle->year, vehicle->engine};
  for (const auto& [code, state] : *codes) outcome.codes.push_back(code);
  outcome.part = asked.part;
  outcome.odometer = asked.odometer;
  outcome.minutes = asked.minutes;
  outcome.order = asked.order;
  outcome.who = asked.who;
  outcome.text = asked.text;
  outcome.job = asked.job;
  outcome.corrects = asked.corrects;
  return record_of(outcome);
}

shop::Record comeback_record(const RecordAsked& asked) {
  shop::Comeback comeback;
  comeback.outcome = asked.comeback;
  comeback.reason = asked.reason;
  comeback.odometer = asked.odometer;
  comeback.who = asked.who;
  comeback.text = asked.text;
  comeback.corrects = asked.corrects;
  return record_of(comeback);
}

std::optional<shop::Record> dead_record(const RecordAsked& asked, const store::Store& store) {
  const auto vehicle = read_vehicle(asked.vehicle, store.vocabulary());
  if (!vehicle) return std::nullopt;
  shop::DeadOnArrival dead;
  dead.part = asked.dead;
  dead.who = asked.who;
  dead.text = asked.text;
  dead.job = asked.job;
  dead.corrects = asked.corrects;
  dead.car = {vehicle->make, vehicle->model, vehicle->year, vehicle->engine};
  return record_of(dead);
}

// The claim sheet for a comeback, with the warranty that the part file tells.
int tell_claim(const Common& common, const shop::RecordBook& book, const std::string& id) {
  std::string sheet;
  shop::each_finished_job(book.records(), [&](const shop::Finished& job) {
    for (const shop::Comeback& comeback : job.comebacks) {
      if (comeback.id != id) continue;
      shop::Findings findings;
      const shop::PartBook parts = shop::read_parts(files::real_disk(), common.shop, findings);
      const shop::PartBook::Found found = parts.find(job.outcome.part);
      sheet = claim_sheet(
          job, comeback,
          found.places.size() == 1 ? parts.number(found.places.front()).warranty.text : "");
    }
  });
  if (sheet.empty()) {
    complain("--claim " + id + ": no comeback has this id: baylore record --list shows them");
    return kCouldNotRun;
  }
  if (common.json) {
    print({{"comeback", id}, {"sheet", sheet}});
  } else {
    fmt::print("{}", sheet);
  }
  return kDone;
}

// The terminal whose files are written: the one that was named, or the command line's own on this
// machine. It is never the viewer's: one file has one writer.
std::optional<std::string> terminal_folder(const std::string& named) {
  if (!named.empty()) return named;
  const std::string state = files::state_home();
  if (state.empty()) {
    complain("no folder for what this program remembers: set HOME, or name a --terminal");
    return std::nullopt;
  }
  const std::string own = files::join(files::join(state, "baylore"), "command-line");
  const auto terminal = job::load_terminal(files::real_disk(), own);
  if (!terminal) {
    complain(terminal.failure());
    return std::nullopt;
  }
  return terminal->folder;
}

int write(const Common& common, const RecordAsked& asked, shop::Record record) {
  record.id = files::new_id();
  record.when = asked.when.empty() ? files::now_text() : asked.when;
  const auto terminal = terminal_folder(asked.terminal);
  if (!terminal) return kCouldNotRun;
  const auto done = shop::append_record(files::real_disk(), common.shop, *terminal, record);
  if (!done) {
    complain(done.failure());
    return kCouldNotRun;
  }
  if (common.json) {
    print(
        {{"id", record.id}, {"when", record.when}, {"kind", record.kind}, {"terminal", *terminal}});
  } else {
    fmt::print("{}\n", record.id);
  }
  return kDone;
}

int record(const Common& common, const RecordAsked& asked) {
  const std::optional<Opened> opened = open(common);
  if (!opened) return kCouldNotRun;
  shop::RecordBook book;
  book.update(files::real_disk(), common.shop);
  if (asked.list) {
    const auto vehicle = read_vehicle(asked.vehicle, opened->store.vocabulary());
    if (!vehicle) return kCouldNotRun;
    for (const shop::Finding& finding : book.findings()) complain(finding.text());
    return list(
        common, book,
        {vehicle->make, vehicle->model, vehicle->year, asked.since, asked.until, asked.order});
  }
  if (!asked.proved.empty()) {
    const auto tip = read_tip_id(asked.proved, opened->store);
    return tip ? tell_proved(common, book, *tip) : kCouldNotRun;
  }
  if (!asked.claim.empty()) return tell_claim(common, book, asked.claim);
  if (!asked.odometer.empty() && !is_distance(asked.odometer)) return kCouldNotRun;
  if (!asked.corrects.empty() && !has(book, asked.corrects, false)) return kCouldNotRun;
  if (!asked.withdraw.empty()) {
    if (!has(book, asked.withdraw, false)) return kCouldNotRun;
    return write(common, asked, shop::withdrawal_of(asked.withdraw, asked.who, asked.text));
  }
  if (!asked.dead.empty()) {
    auto dead = dead_record(asked, opened->store);
    return dead ? write(common, asked, std::move(*dead)) : kCouldNotRun;
  }
  if (!asked.comeback.empty()) {
    if (!has(book, asked.comeback, true)) return kCouldNotRun;
    return write(common, asked, comeback_record(asked));
  }
  auto outcome = outcome_record(asked, opened->store);
  return outcome ? write(common, asked, std::move(*outcome)) : kCouldNotRun;
}

}  // namespace

void add_record(Arguments& arguments) {
  const auto asked = std::make_shared<RecordAsked>();
  Verb verb = arguments.verb("record", "What a job came to, and whether it held");
  verb.option("--shop").required();
  Verb what = verb.exactly_one("What to record or to tell");
  what.text("--result", asked->result, "fixed, 'not fixed', 'part ordered', declined");
  what.text("--comeback", asked->comeback, "The outcome that did not hold, by its id");
  what.text("--withdraw", asked->withdraw, "An outcome or comeback that was never so");
  what.text("--dead", asked->dead, "A part that was bad in the box: brand and number");
  what.text("--claim", asked->claim, "The claim sheet for a comeback, by its id");
  what.flag("--list", asked->list, "List finished jobs, newest first");
  what.text("--proved", asked->proved, "What a tip has proved in this shop");
  verb.text("--tip", asked->tip, "The tip that was right, or none");
  verb.texts("--used", asked->used, "A tip that was worked with");
  verb.text("--part", asked->part, "Brand and number of what was fitted");
  verb.text("--odometer", asked->odometer, "With its unit: '84200 km'");
  verb.number("--minutes", asked->minutes, "Working time taken").within(0.0, 100000.0);
  verb.text("--vehicle", asked->vehicle, "Make, model, year, engine; with --list, which");
  verb.texts("--codes", asked->codes, "Codes read");
  verb.text("--order", asked->order, "Repair-order number; with --list, which");
  verb.text("--who", asked->who, "Initials");
  verb.text("--text", asked->text, "Anything worth adding");
  verb.text("--job", asked->job, "The job's id");
  verb.text("--reason", asked->reason,
            "Of a comeback: 'not the cause', 'part failed', workmanship, 'another fault', or "
            "words");
  verb.text("--corrects", asked->corrects, "The record this one takes the place of");
  verb.text("--when", asked->when, "ISO 8601 with offset; now when not said");
  verb.text("--since", asked->since, "With --list: from this day, 2026-03-14");
  verb.text("--until", asked->until, "With --list: to this day");
  verb.text("--terminal", asked->terminal, "Whose records; the command line's own when not said");
  verb.runs([asked](const Common& common) { return record(common, *asked); });
}

}  // namespace baylore::cli
