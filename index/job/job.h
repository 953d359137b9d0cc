// One job: one vehicle with one complaint, kept on disk from intake to outcome. No customer, no
// plate, no VIN.
#pragma once

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "files/result.h"
#include "search/understand.h"

namespace baylore::job {

// A job is one file: its id, and this.
inline constexpr std::string_view kJobEnding = ".json";

enum class State { open, parked, finished };

// What was ticked off on one tip. Keys are stable against edits elsewhere in the tip: "check:ID",
// "step:HASH", "fastener:HASH", "finish:HASH", "verify:NAME".
using Ticks = std::set<std::string>;

// What a reading says of its check's expectation.
inline constexpr const char* kInside = "inside";
inline constexpr const char* kOutside = "outside";

// What a check came to on this job. One check has at most one result before and one after the
// repair; a newer one takes its place.
struct Reading {
  std::string check;     // the check's id, shared between tips
  bool after = false;    // taken to verify the repair
  std::string result;    // "reading", "yes", "no", "not showing now", "could not check"
  std::string value;     // of a reading, as typed: "82 kPa"
  std::string measured;  // what the check's correction asks for, as typed: "97.2 kPa", "60 °C"
  std::string when;      // ISO 8601
  // The check as it was then, for who reads the job without its tip.
  std::string name;
  std::string expected;  // as authored: ">= 95 kPa"
  std::string said;      // kInside, kOutside, or empty: neither
  bool operator==(const Reading&) const = default;
};

// What the control unit froze as a code was set, by name (frame.h): "coolant temperature" -> "92
// °C".
using Frame = std::map<std::string, std::string>;

struct Job {
  std::string id;  // ULID
  int number = 0;  // the bay's tag numeral: 1.. on this terminal, reused when a job is finished
  State state = State::open;
  search::Vehicle vehicle;
  std::string line;                  // as typed, without a VIN
  std::vector<std::string> dropped;  // tokens tapped away
  std::string when;                  // intake answers
  std::string often;
  std::string after;
  std::map<std::string, std::string> code_state;  // code -> stored, pending, permanent
  std::map<std::string, Frame> frames;            // code -> its freeze frame
  std::string why_parked;  // part, customer's answer, cooling, drive cycle, or words
  std::string next_step;   // for whoever takes it up again
  std::string initials;
  std::string order;              // repair-order number: never leaves the shop's folder
  std::vector<std::string> cars;  // marks of the VIN (car.h), never the VIN
  std::string started;            // ISO 8601
  std::string touched;
  std::string tip;                     // id of the tip being worked on; empty: none yet
  std::map<std::string, Ticks> ticks;  // by tip id
  std::vector<Reading> readings;       // in the order they were taken
  std::vector<std::string> skipped;    // ids of checks put off
  std::vector<std::string> tried;      // ids of tips whose repair was done without effect

  // What was seen of a part in the hand before it went in, by the part's name: "Halden 88-214".
  std::map<std::string, std::vector<Reading>> acceptance;
  std::vector<std::string> to_order;  // parts on the order list, by name
  Ticks at_hand;                      // lines of the order list that were ticked off

  std::string bay;  // name of the terminal that wrote this version
  // Of a job taken over from another terminal: its folder, `touched` of the version that was taken,
  // and whose it was, in words (board.h).
  std::string taken_from;
  std::string taken_touched;
  std::string taken_words;

  [[nodiscard]] const Reading* reading(std::string_view check, bool after = false) const;
  void keep(Reading reading);  // in place of the one of the same check and phase
  [[nodiscard]] const Reading* accepted(const std::string& part, std::string_view check) const;
  void keep_accepted(const std::string& part, Reading reading);  // in place of an earlier one
  // Takes back the last reading before the repair; false when there is none.
  bool take_back();
  [[nodiscard]] int reading_count() const;  // before the repair
  [[nodiscard]] std::string complaint()
      const;  // what the lists show: the words typed, or "new job"
};

// JSON in and out; reading accepts unknown keys and keeps none of them, and refuses what is not a
// job.
std::string to_json(const Job& job);
files::Result<Job> from_json(std::string_view text, const std::string& path);

}  // namespace baylore::job
