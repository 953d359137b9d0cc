// The guided diagnosis as a value: a case and the answers so far give the ranking, the next check
// with its reason, and the ledger. Pure: the same case, answers and options always give the same
// outlook, whatever the order of independent answers. Nothing is forced and no cause is ever
// hidden.
//
//   Session session(std::make_shared<const Case>(make_case(...)), {});
//   session.answer({"coolant-hold-cold", Answer::Kind::reading, "82 kPa"});
//   session.outlook().next.why   ->  "splits the two likeliest, 3 minutes, voltmeter"
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "diagnosis/case.h"
#include "trade/expectation.h"

namespace baylore::diagnosis {

// What came of a check, or of a repair that was tried.
struct Answer {
  enum class Kind {
    reading,      // `value` with its unit
    yes,          // the expected answer was seen
    no,           // it was not
    not_showing,  // an intermittent fault is away: a good reading carries no weight
    not_sure,     // could not check, or could not tell
    skipped,      // not now; offered again only among the others
    repaired,     // `check` is a tip's id: its repair was done and the fault is still there
  };
  std::string check;  // id
  Kind kind = Kind::not_sure;
  std::string value = {};     // as typed: "82 kPa"
  std::string measured = {};  // what the check's correction asks for, as typed: "60 °C"
  bool operator==(const Answer&) const = default;
};

// Reads "yes", "no", "not showing now", "could not check", "not sure", "skipped" and "reading" as a
// job keeps them; false for any other word.
bool read_answer_kind(std::string_view word, Answer::Kind& kind);

// How an answer counts.
enum class Came {
  inside,
  outside,
  on_the_edge,  // nearer to an end than the meter is true: carries no weight
  nothing,      // not showing, not sure, skipped
  not_read,     // the value is no reading of this check; `trouble` says why
};

struct Options {
  std::vector<std::string> missing_tools;  // "scan tool": checks that need one are set aside
  std::vector<std::string> open;           // covers that are off already, by name
  double meter_doubt = 0.01;               // relative; common practice, no source
};

// One line of a cause's ledger, in the order things became known.
struct Entry {
  enum class Side { speaks_for, against, nothing } side = Side::nothing;
  std::string check;   // its id; empty for what was known before
  std::string what;    // "Pressure left after 10 minutes", "code P0128"
  std::string result;  // "82 kPa, 13 kPa under the range"; "yes"
  std::string said;    // the tip's own words: "suggests this cause"; empty when it has none
  double ratio = 1;    // how many times likelier with this cause than with the others, as they
                       // stood then
  double before = 0;   // this cause's weight before and after; both 0 for what was known before
  double after = 0;    // the first check
  std::string note;    // "the same fact as ...: not counted again"; empty
};

struct Standing {
  std::size_t cause = 0;  // into Case::causes
  double weight = 0;
  std::string_view word;  // "unlikely", "possible", "likely", "very likely": at 5, 25, 75 %
  bool tried = false;     // its repair was done without effect
  std::vector<Entry> ledger;
};

// A check that could be done now, with what it is worth.
struct Choice {
  std::string check;
  double minutes = 0;  // covers that are still on included
  double bits = 0;     // expected information
  double bits_a_minute = 0;
  bool by_hand = false;   // no tool, no cover
  double if_outside = 0;  // probability of that answer
  enum class Aside {
    no,
    answered,
    skipped,
    tool_missing,
    same_fact,
    tells_nothing
  } aside = Aside::no;
  std::string tool;  // the missing one
};

// What each answer of the next check would mean.
struct Meaning {
  double chance = 0;      // of this answer
  std::size_t cause = 0;  // the likeliest cause then
  double weight = 0;      // its weight then
};

struct Next {
  enum class Kind {
    check,   // do `check`
    repair,  // act on `cause`: trying it is quicker than any further check
    beyond,  // what is left is not in the book
  } kind = Kind::beyond;
  std::string check;
  std::size_t cause = 0;
  bool sure = false;            // repair: the cause has at least kSure
  double minutes = 0;           // of the check or the repair itself
  double expected_minutes = 0;  // to the right cause from here, over a two-step look-ahead
  std::string why;              // one sentence without a full stop
  Meaning outside;              // of a check
  Meaning inside;
  // What the two simple rules would do; they decide where they agree.
  std::string by_information;  // check with the most bits a minute; empty: none is left
  std::size_t by_weight = 0;   // cause with the most weight a minute of its repair
};

// From here a cause counts as found (common practice, no source).
inline constexpr double kSure = 0.9;

struct Outlook {
  std::vector<Standing> causes;  // heaviest first; ties as in the case
  Next next;
  std::vector<Choice> choices;  // every check of the case, the most bits a minute first, those set
                                // aside last
  std::vector<std::string> troubles;  // answers that were not understood, one sentence each
  [[nodiscard]] const Standing& of(std::size_t cause) const;
};

// The whole of it. Answers to checks that the case does not have are kept out, with a trouble. Of
// several answers to one check the last counts.
Outlook look(const Case& a_case, const std::vector<Answer>& answers, const Options& options = {});

// How one answer stands to one check as the given effect's tip has it.
struct Judged {
  Came came = Came::nothing;
  std::string words;    // "82 kPa, 13 kPa under the range"
  std::string trouble;  // of not_read
};
Judged judge(const Check& check, const Effect& effect, const Answer& answer, double meter_doubt);

// Answers with undo, for a screen or a script to hold. Copies share the case.
class Session {
 public:
  explicit Session(std::shared_ptr<const Case> a_case, Options options = {},
                   std::vector<Answer> answers = {});

  void answer(Answer answer);              // in place of an earlier one to the same check
  bool undo();                             // the last answer; false when there is none
  bool take_back(std::string_view check);  // whatever was answered to it

  [[nodiscard]] const Case& of() const { return *case_; }
  [[nodiscard]] const std::vector<Answer>& answers() const { return answers_; }
  [[nodiscard]] const Options& options() const { return options_; }
  [[nodiscard]] const Outlook& outlook() const { return outlook_; }

 private:
  void look_again();
  std::shared_ptr<const Case> case_;
  Options options_;
  std::vector<Answer> answers_;
  std::vector<std::vector<Answer>> earlier_;
  Outlook outlook_;
};

}  // namespace baylore::diagnosis
