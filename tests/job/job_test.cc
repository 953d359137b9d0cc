// A job as JSON, there and back, and what must never get into it.
#include "job/job.h"

#include <doctest/doctest.h>

#include <random>
#include <string>
#include <string_view>
#include <vector>

#include "trade/vin.h"

using namespace baylore;
using job::from_json;
using job::Job;
using job::State;
using job::to_json;

namespace {

Job full_job() {
  Job job;
  job.id = "01JD2Z6W0V4T9K3M8Q5XBN7RCE";
  job.number = 3;
  job.state = State::parked;
  job.vehicle.make = "Corvane";
  job.vehicle.model = "Hauler";
  job.vehicle.year = 2016;
  job.vehicle.engine = "3.6 V6";
  job.line = "hauler 16 heater cold \"at idle\" P0128";
  job.dropped = {"word:idle", "code:P0128"};
  job.when = "cold start";
  job.often = "every morning";
  job.after = "tow";
  job.code_state = {{"P0128", "stored"}, {"U0100-87", "pending"}};
  job.frames = {{"P0128", {{"coolant temperature", "41 °C"}, {"engine speed", "1840 rpm"}}}};
  job.next_step = "pressure test, cold";
  job.order = "RO 20417";
  job.cars = {"bay-3-7K2QF9:0123456789abcdef0123456789abcdef"};
  job.bay = "bay 3";
  job.taken_from = "bay-2-ABCDEF";
  job.taken_touched = "2026-03-14T11:00:00.000+01:00";
  job.taken_words = "bay 2, RO";
  job.why_parked = "part: pump, Thursday – 14:00";
  job.initials = "LA";
  job.started = "2026-03-14T10:47:03.120+01:00";
  job.touched = "2026-03-14T11:02:44.007+01:00";
  job.tip = "01JD2Z6W0V4T9K3M8Q5XBN7RCF";
  job.readings = {{"coolant-hold-cold", false, "reading", "82 kPa", "97.2 kPa", job.touched,
                   "Pressure left", ">= 95 kPa", "outside"}};
  job.acceptance = {{"Halden 88-214",
                     {{"accept-pump-play", false, "reading", "0.2 mm", "", job.touched,
                       "Play at the pulley flange", "<= 0.05 mm", "outside"}}}};
  job.to_order = {"Halden 88-214"};
  job.at_hand = {"Halden 88-214|Pump gasket, Corvane 3C-61284"};
  job.ticks = {{"01JD2Z6W0V4T9K3M8Q5XBN7RCF", {"check:coolant-hold-cold", "step:ab12"}},
               {"tip-two", {}}};
  return job;
}

void check_equal(const Job& one, const Job& other) {
  CHECK(one.id == other.id);
  CHECK(one.number == other.number);
  CHECK(one.state == other.state);
  CHECK(one.vehicle == other.vehicle);
  CHECK(one.line == other.line);
  CHECK(one.dropped == other.dropped);
  CHECK(one.when == other.when);
  CHECK(one.often == other.often);
  CHECK(one.after == other.after);
  CHECK(one.code_state == other.code_state);
  CHECK(one.why_parked == other.why_parked);
  CHECK(one.frames == other.frames);
  CHECK(one.next_step == other.next_step);
  CHECK(one.order == other.order);
  CHECK(one.cars == other.cars);
  CHECK(one.bay == other.bay);
  CHECK(one.taken_from == other.taken_from);
  CHECK(one.taken_touched == other.taken_touched);
  CHECK(one.taken_words == other.taken_words);
  CHECK(one.initials == other.initials);
  CHECK(one.started == other.started);
  CHECK(one.touched == other.touched);
  CHECK(one.tip == other.tip);
  CHECK(one.ticks == other.ticks);
  CHECK(one.readings == other.readings);
  CHECK(one.acceptance == other.acceptance);
  CHECK(one.to_order == other.to_order);
  CHECK(one.at_hand == other.at_hand);
}

}  // namespace

TEST_CASE("a job comes back as it was") {
  for (const State state : {State::open, State::parked, State::finished}) {
    Job job = full_job();
    job.state = state;
    const auto back = from_json(to_json(job), "job.json");
    REQUIRE(back.ok());
    check_equal(*back, job);
    CHECK(to_json(*back) == to_json(job));
  }
  Job bare;
  bare.id = "a";
  const auto back = from_json(to_json(bare), "job.json");
  REQUIRE(back.ok());
  check_equal(*back, bare);
}

TEST_CASE("the list shows the words typed") {
  Job job;
  CHECK(job.complaint() == "new job");
  job.line = "  \t";
  CHECK(job.complaint() == "new job");
  job.line = " heater cold ";
  CHECK(job.complaint() == "heater cold");
}

TEST_CASE(
    "a newer reading takes the place of the one of its check, before and after the repair apart") {
  const auto reading = [](const char* check, bool after, const char* value) {
    job::Reading r;
    r.check = check;
    r.after = after;
    r.result = "reading";
    r.value = value;
    return r;
  };
  Job job;
  CHECK_FALSE(job.take_back());
  job.keep(reading("hold", false, "82 kPa"));
  job.keep(reading("drop", false, "0.9 V"));
  job.keep(reading("hold", true, "99 kPa"));
  job.keep(reading("hold", false, "84 kPa"));
  CHECK(job.reading_count() == 2);
  REQUIRE(job.reading("hold") != nullptr);
  CHECK(job.reading("hold")->value == "84 kPa");
  REQUIRE(job.reading("hold", true) != nullptr);
  CHECK(job.reading("hold", true)->value == "99 kPa");
  CHECK(job.reading("drop", true) == nullptr);
  // Taken back is the last that was taken, and never one that verifies the repair.
  CHECK(job.take_back());
  CHECK(job.reading("hold") == nullptr);
  CHECK(job.take_back());
  CHECK(job.reading_count() == 0);
  CHECK_FALSE(job.take_back());
  CHECK(job.reading("hold", true) != nullptr);
}

TEST_CASE("what was seen of a part in the hand is kept by the part") {
  Job job;
  CHECK(job.accepted("Halden 88-214", "play") == nullptr);
  job::Reading play;
  play.check = "play";
  play.value = "0.2 mm";
  job.keep_accepted("Halden 88-214", play);
  play.value = "0.03 mm";
  job.keep_accepted("Halden 88-214", play);
  REQUIRE(job.accepted("Halden 88-214", "play") != nullptr);
  CHECK(job.accepted("Halden 88-214", "play")->value == "0.03 mm");
  CHECK(job.acceptance.at("Halden 88-214").size() == 1);
  CHECK(job.accepted("Halden 88-214", "colour") == nullptr);
  CHECK(job.accepted("Halden 88-900", "play") == nullptr);
}

TEST_CASE("unknown keys are read over") {
  const auto job = from_json(
      R"({"format": "baylore-job 1", "id": "a", "later": {"x": [1]}, "line": "noise"})", "j");
  REQUIRE(job.ok());
  CHECK(job->line == "noise");
  CHECK(to_json(*job).find("later") == std::string::npos);
}

TEST_CASE("what is no job is refused, whatever it is") {
  const std::vector<std::string_view> texts = {
      "",
      "{",
      "[]",
      "null",
      "7",
      "\xff\xfe",
      "{}",
      R"({"format": "baylore-terminal 1", "id": "a"})",
      R"({"format": "baylore-job 2", "id": "a"})",
      R"({"format": 1, "id": "a"})",
      R"({"format": "baylore-job 1"})",
      R"({"format": "baylore-job 1", "id": ""})",
      R"({"format": "baylore-job 1", "id": "../x"})",
      R"({"format": "baylore-job 1", "id": 7})",
      R"({"format": "baylore-job 1", "id": "a", "number": "three"})",
      R"({"format": "baylore-job 1", "id": "a", "freeze-frames": {"P0128": ["41"]}})",
      R"({"format": "baylore-job 1", "id": "a", "freeze-frames": {"P0128": {"load": 41}}})",
      R"({"format": "baylore-job 1", "id": "a", "taken-from": "../x"})",
      R"({"format": "baylore-job 1", "id": "a", "cars": [1]})",
      R"({"format": "baylore-job 1", "id": "a", "number": -1})",
      R"({"format": "baylore-job 1", "id": "a", "number": 1.5})",
      R"({"format": "baylore-job 1", "id": "a", "number": 18446744073709551615})",
      R"({"format": "baylore-job 1", "id": "a", "number": 1e999})",
      R"({"format": "baylore-job 1", "id": "a", "state": "asleep"})",
      R"({"format": "baylore-job 1", "id": "a", "state": null})",
      R"({"format": "baylore-job 1", "id": "a", "vehicle": []})",
      R"({"format": "baylore-job 1", "id": "a", "vehicle": {"year": "old"}})",
      R"({"format": "baylore-job 1", "id": "a", "line": 7})",
      R"({"format": "baylore-job 1", "id": "a", "dropped": {}})",
      R"({"format": "baylore-job 1", "id": "a", "dropped": [7]})",
      R"({"format": "baylore-job 1", "id": "a", "codes": [7]})",
      R"({"format": "baylore-job 1", "id": "a", "codes": {"P0128": 7}})",
      R"({"format": "baylore-job 1", "id": "a", "tip": "../../x"})",
      R"({"format": "baylore-job 1", "id": "a", "ticks": []})",
      R"({"format": "baylore-job 1", "id": "a", "ticks": {"t": 7}})",
      R"({"format": "baylore-job 1", "id": "a", "ticks": {"t": [7]}})",
      R"({"format": "baylore-job 1", "id": "a", "ticks": {"../x": []}})",
      R"({"format": "baylore-job 1", "id": "a", "readings": [7]})",
      R"({"format": "baylore-job 1", "id": "a", "acceptance": {"Halden 88-214": 7}})",
  };
  for (const std::string_view text : texts) {
    CAPTURE(text);
    const auto job = from_json(text, "jobs/bay/a.json");
    REQUIRE_FALSE(job.ok());
    CHECK(job.failure().kind == files::Failure::Kind::damaged);
    CHECK(job.failure().path == "jobs/bay/a.json");
    CHECK_FALSE(job.failure().what.empty());
  }
  // Deep nesting must not eat the stack.
  CHECK_FALSE(from_json(std::string(2'000'000, '['), "j").ok());
}

TEST_CASE("random damage is refused or read, never fatal") {
  const std::string whole = to_json(full_job());
  std::mt19937_64 engine(1);
  int read = 0;
  for (int i = 0; i < 3000; ++i) {
    std::string text = whole;
    for (std::uint64_t n = engine() % 4; n > 0; --n) {
      text[engine() % text.size()] = static_cast<char>(engine() % 256);
    }
    if (engine() % 3 == 0) text.resize(engine() % text.size());
    const auto job = from_json(text, "j");
    if (!job) continue;
    ++read;
    CHECK(from_json(to_json(*job), "j").ok());
  }
  CHECK(read > 100);
  CHECK(read < 2900);
}

TEST_CASE("no VIN ever stands in a saved job") {
  // Vehicle identification numbers of the published worked examples of 49 CFR 565.15's check digit,
  // and the usual test number; then slips of the pen: a letter that is not allowed, one character
  // too few or too many.
  const std::vector<std::string> vins = {
      "1M8GDM9AXKP042788", "11111111111111111", "1m8gdm9axkp042788", "1M8GDM9AXKP 042788",
      "1M8GDM9AXKPO42788", "1M8GDM9AXKP04278",  "1M8GDM9AXKP0427889"};
  for (const std::string& vin : vins) {
    CAPTURE(vin);
    const std::string typed = "heater cold " + vin + " at idle";
    Job job = full_job();
    const std::vector<std::string*> fields = {
        &job.line,     &job.when,         &job.often,         &job.after,          &job.why_parked,
        &job.initials, &job.vehicle.make, &job.vehicle.model, &job.vehicle.engine, &job.next_step,
        &job.order,    &job.bay,          &job.taken_words};
    for (std::string* field : fields) *field = typed;
    job.dropped = {typed, "word:" + vin, vin};
    job.code_state = {{vin, "stored"}, {"P0128", typed}};
    job.acceptance = {{typed, {{"check", false, "reading", typed, typed, "", typed, typed, ""}}}};
    job.to_order = {typed};
    job.at_hand = {typed};
    job.frames = {{vin, {{"load", typed}}}, {"P0128", {{vin, "41"}}}};
    const std::string text = to_json(job);
    CHECK(text.find(vin) == std::string::npos);
    CHECK(text.find("XKP04278") == std::string::npos);
    CHECK(text.find("xkp04278") == std::string::npos);
    CHECK(text.find("1111111111") == std::string::npos);
    const auto back = from_json(text, "j");
    REQUIRE(back.ok());
    CHECK(back->line == "heater cold at idle");
    for (const std::string& field :
         {back->line, back->when, back->often, back->after, back->why_parked, back->initials,
          back->vehicle.make, back->vehicle.model, back->vehicle.engine, back->next_step,
          back->order, back->bay, back->taken_words}) {
      CHECK_FALSE(trade::find_vin(field).has_value());
    }
    for (const std::string& key : back->dropped) CHECK_FALSE(trade::find_vin(key).has_value());
    for (const auto& [code, state] : back->code_state) {
      CHECK_FALSE(trade::find_vin(code).has_value());
      CHECK_FALSE(trade::find_vin(state).has_value());
    }
  }
}

TEST_CASE("bytes that are no UTF-8 are saved as something that is") {
  Job job = full_job();
  job.line = "noise \xff here";
  const auto back = from_json(to_json(job), "j");
  REQUIRE(back.ok());
  CHECK(back->line == "noise \xef\xbf\xbd here");
}
