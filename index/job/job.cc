#include "job/job.h"

#include <algorithm>
#include <array>
#include <iterator>
#include <utility>

#include "files/names.h"
#include "job/json_fields.h"
#include "trade/vin.h"

namespace baylore::job {
namespace {

constexpr std::string_view kJobFormat = "baylore-job 1";
constexpr std::string_view kFormatStart = "baylore-job ";
constexpr int kMostJobs = 9999;
constexpr int kLastYear = 9999;

constexpr std::array<std::pair<State, std::string_view>, 3> kStates = {
    {{State::open, "open"}, {State::parked, "parked"}, {State::finished, "finished"}}};

// Everything a person may have typed goes through here on its way to the disk: a VIN pasted into
// any field is taken out, because it names a customer's car.
std::string kept(const std::string& typed) { return trade::without_vins(typed); }

std::string trimmed(const std::string& text) {
  const std::size_t from = text.find_first_not_of(" \t\r\n");
  if (from == std::string::npos) return {};
  return text.substr(from, text.find_last_not_of(" \t\r\n") - from + 1);
}

files::Failure no_job(const std::string& path, std::string what) {
  return {files::Failure::Kind::damaged, path, std::move(what),
          "it is left where it is; take the job up again in a new one"};
}

void read_strings(Fields& fields, const Json& array, const auto& add) {
  for (const Json& item : array) {
    const auto* text = item.get_ptr<const std::string*>();
    if (text == nullptr) return fields.refuse();
    add(*text);
  }
}

Json reading_json(const Reading& r) {
  return {{"check", r.check},       {"after", r.after ? 1 : 0},     {"result", r.result},
          {"value", kept(r.value)}, {"measured", kept(r.measured)}, {"when", r.when},
          {"name", kept(r.name)},   {"expected", kept(r.expected)}, {"said", r.said}};
}

void read_readings(Fields& fields, const Json& array, std::vector<Reading>& into) {
  for (const Json& entry : array) {
    if (!entry.is_object()) return fields.refuse();
    Fields inside(entry);
    Reading r;
    int after = 0;
    inside.text("check", r.check);
    inside.integer("after", 0, 1, after);
    inside.text("result", r.result);
    inside.text("value", r.value);
    inside.text("measured", r.measured);
    inside.text("when", r.when);
    inside.text("name", r.name);
    inside.text("expected", r.expected);
    inside.text("said", r.said);
    if (!inside.good()) fields.refuse();
    r.after = after == 1;
    into.push_back(std::move(r));
  }
}

}  // namespace

std::string Job::complaint() const {
  const std::string words = trimmed(line);
  return words.empty() ? "new job" : words;
}

const Reading* Job::reading(std::string_view check, bool after_repair) const {
  for (const Reading& r : readings) {
    if (r.check == check && r.after == after_repair) return &r;
  }
  return nullptr;
}

void Job::keep(Reading reading) {
  std::erase_if(readings, [&](const Reading& r) {
    return r.check == reading.check && r.after == reading.after;
  });
  readings.push_back(std::move(reading));
}

const Reading* Job::accepted(const std::string& part, std::string_view check) const {
  const auto of = acceptance.find(part);
  if (of == acceptance.end()) return nullptr;
  const auto at = std::find_if(of->second.begin(), of->second.end(),
                               [&](const Reading& r) { return r.check == check; });
  return at == of->second.end() ? nullptr : &*at;
}

void Job::keep_accepted(const std::string& part, Reading reading) {
  std::vector<Reading>& of = acceptance[part];
  std::erase_if(of, [&](const Reading& r) { return r.check == reading.check; });
  of.push_back(std::move(reading));
}

bool Job::take_back() {
  const auto last =
      std::find_if(readings.rbegin(), readings.rend(), [](const Reading& r) { return !r.after; });
  if (last == readings.rend()) return false;
  readings.erase(std::next(last).base());
  return true;
}

int Job::reading_count() const {
  return static_cast<int>(
      std::count_if(readings.begin(), readings.end(), [](const Reading& r) { return !r.after; }));
}

std::string to_json(const Job& job) {
  std::string_view state = "open";
  for (const auto& [value, word] : kStates) {
    if (value == job.state) state = word;
  }
  Json out = Json::object();
  out["format"] = kJobFormat;
  out["id"] = job.id;
  out["number"] = job.number;
  out["state"] = state;
  out["vehicle"] = {{"make", kept(job.vehicle.make)},
                    {"model", kept(job.vehicle.model)},
                    {"year", job.vehicle.year},
                    {"last-year", job.vehicle.last_year},
                    {"engine", kept(job.vehicle.engine)}};
  out["line"] = kept(job.line);
  out["dropped"] = Json::array();
  for (const std::string& token : job.dropped) {
    if (const std::string key = kept(token); !key.empty()) out["dropped"].push_back(key);
  }
  out["when"] = kept(job.when);
  out["often"] = kept(job.often);
  out["after"] = kept(job.after);
  out["codes"] = Json::object();
  for (const auto& [code, code_state] : job.code_state) out["codes"][kept(code)] = kept(code_state);
  out["freeze-frames"] = Json::object();
  for (const auto& [code, frame] : job.frames) {
    Json& values = out["freeze-frames"][kept(code)] = Json::object();
    for (const auto& [name, value] : frame) values[kept(name)] = kept(value);
  }
  out["why-parked"] = kept(job.why_parked);
  out["next-step"] = kept(job.next_step);
  out["initials"] = kept(job.initials);
  out["order"] = kept(job.order);
  out["cars"] = job.cars;
  out["started"] = job.started;
  out["touched"] = job.touched;
  out["tip"] = job.tip;
  out["ticks"] = Json::object();
  for (const auto& [tip, ticks] : job.ticks) out["ticks"][tip] = ticks;
  out["readings"] = Json::array();
  for (const Reading& r : job.readings) out["readings"].push_back(reading_json(r));
  out["acceptance"] = Json::object();
  for (const auto& [part, seen] : job.acceptance) {
    Json& list = out["acceptance"][kept(part)] = Json::array();
    for (const Reading& r : seen) list.push_back(reading_json(r));
  }
  out["to-order"] = Json::array();
  for (const std::string& part : job.to_order) out["to-order"].push_back(kept(part));
  out["at-hand"] = Json::array();
  for (const std::string& line : job.at_hand) out["at-hand"].push_back(kept(line));
  out["skipped"] = job.skipped;
  out["tried"] = job.tried;
  out["bay"] = kept(job.bay);
  if (!job.taken_from.empty()) {
    out["taken-from"] = job.taken_from;
    out["taken-touched"] = job.taken_touched;
    out["taken-words"] = kept(job.taken_words);
  }
  return dump(out);
}

files::Result<Job> from_json(std::string_view text, const std::string& path) {
  const Json object = parse_object(text);
  if (object.is_discarded()) return no_job(path, "is no JSON object");
  Fields fields(object);
  std::string format;
  fields.text("format", format);
  if (!format.starts_with(kFormatStart)) return no_job(path, "is no job");
  if (format != kJobFormat) return no_job(path, "was written by a newer version");

  Job job;
  fields.text("id", job.id);
  if (!fields.good() || !files::is_id(job.id)) return no_job(path, "has no id of a job");
  fields.integer("number", 0, kMostJobs, job.number);
  std::string word = "open";
  fields.text("state", word);
  bool known_state = false;
  for (const auto& [value, name] : kStates) {
    if (name != word) continue;
    job.state = value;
    known_state = true;
  }
  if (!known_state) fields.refuse();

  if (const Json* vehicle = fields.object("vehicle")) {
    Fields inside(*vehicle);
    inside.text("make", job.vehicle.make);
    inside.text("model", job.vehicle.model);
    inside.integer("year", 0, kLastYear, job.vehicle.year);
    inside.integer("last-year", 0, kLastYear, job.vehicle.last_year);
    inside.text("engine", job.vehicle.engine);
    if (!inside.good()) fields.refuse();
  }
  fields.text("line", job.line);
  if (const Json* dropped = fields.array("dropped")) {
    read_strings(fields, *dropped, [&](const std::string& key) { job.dropped.push_back(key); });
  }
  fields.text("when", job.when);
  fields.text("often", job.often);
  fields.text("after", job.after);
  if (const Json* codes = fields.object("codes")) {
    Fields inside(*codes);
    for (const auto& entry : codes->items())
      inside.text(entry.key().c_str(), job.code_state[entry.key()]);
    if (!inside.good()) fields.refuse();
  }
  if (const Json* frames = fields.object("freeze-frames")) {
    for (const auto& entry : frames->items()) {
      if (!entry.value().is_object()) {
        fields.refuse();
        break;
      }
      Fields inside(entry.value());
      Frame& frame = job.frames[entry.key()];
      for (const auto& value : entry.value().items())
        inside.text(value.key().c_str(), frame[value.key()]);
      if (!inside.good()) fields.refuse();
    }
  }
  fields.text("why-parked", job.why_parked);
  fields.text("next-step", job.next_step);
  fields.text("initials", job.initials);
  fields.text("order", job.order);
  fields.text("bay", job.bay);
  fields.text("taken-from", job.taken_from);
  if (!job.taken_from.empty() && !files::is_id(job.taken_from)) fields.refuse();
  fields.text("taken-touched", job.taken_touched);
  fields.text("taken-words", job.taken_words);
  fields.text("started", job.started);
  fields.text("touched", job.touched);
  fields.text("tip", job.tip);
  if (!job.tip.empty() && !files::is_id(job.tip)) fields.refuse();
  if (const Json* ticks = fields.object("ticks")) {
    for (const auto& entry : ticks->items()) {
      if (!files::is_id(entry.key()) || !entry.value().is_array()) {
        fields.refuse();
        break;
      }
      Ticks& into = job.ticks[entry.key()];
      read_strings(fields, entry.value(), [&](const std::string& key) { into.insert(key); });
    }
  }
  if (const Json* readings = fields.array("readings"))
    read_readings(fields, *readings, job.readings);
  if (const Json* acceptance = fields.object("acceptance")) {
    for (const auto& entry : acceptance->items()) {
      if (!entry.value().is_array()) {
        fields.refuse();
        break;
      }
      read_readings(fields, entry.value(), job.acceptance[entry.key()]);
    }
  }
  if (const Json* ticks = fields.array("at-hand"))
    read_strings(fields, *ticks, [&](const std::string& key) { job.at_hand.insert(key); });
  const std::pair<const char*, std::vector<std::string>*> lists[] = {{"skipped", &job.skipped},
                                                                     {"tried", &job.tried},
                                                                     {"cars", &job.cars},
                                                                     {"to-order", &job.to_order}};
  for (const auto& list : lists) {
    if (const Json* found = fields.array(list.first))
      read_strings(fields, *found, [&](const std::string& id) { list.second->push_back(id); });
  }
  if (!fields.good()) return no_job(path, "has a field that is not what it should be");
  return job;
}

}  // namespace baylore::job
