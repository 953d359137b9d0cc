// What may be wrong with a car, and what to check next.
#include <fmt/format.h>

#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>

#include "diagnosis/find.h"
#include "diagnosis/session.h"
#include "diagnosis_words.h"
#include "files/disk.h"
#include "opened.h"

namespace baylore::cli {
namespace {

using diagnosis::Answer;
using diagnosis::Case;
using diagnosis::Choice;
using diagnosis::Entry;
using diagnosis::Next;
using diagnosis::Outlook;
using nlohmann::json;

struct DiagnoseAsked {
  std::string vehicle;
  std::string complaint;
  std::string when;
  std::string often;
  std::string after;
  std::vector<std::string> codes;
  std::vector<std::string> results;
  std::vector<std::string> repaired;
  diagnosis::Options options;
  bool ledger = false;
};

std::string percent(double weight) {
  return weight < 0.005 ? "<1 %" : fmt::format("{:.0f} %", 100 * weight);
}

std::string_view next_word(Next::Kind kind) {
  switch (kind) {
    case Next::Kind::check:
      return "check";
    case Next::Kind::repair:
      return "repair";
    case Next::Kind::beyond:
      break;
  }
  return "beyond";
}

std::string_view aside_word(Choice::Aside aside) {
  switch (aside) {
    case Choice::Aside::no:
      break;
    case Choice::Aside::answered:
      return "answered";
    case Choice::Aside::skipped:
      return "skipped";
    case Choice::Aside::tool_missing:
      return "tool missing";
    case Choice::Aside::same_fact:
      return "same fact";
    case Choice::Aside::tells_nothing:
      return "tells nothing";
  }
  return "";
}

std::string_view side_word(Entry::Side side) {
  switch (side) {
    case Entry::Side::speaks_for:
      return "for";
    case Entry::Side::against:
      return "against";
    case Entry::Side::nothing:
      break;
  }
  return "nothing";
}

// CHECK=VALUE: the words of an answer, or a reading.
std::optional<Answer> read_result(const std::string& text) {
  Answer answer;
  std::string value;
  if (!split_pair(text, answer.check, value)) {
    complain("--result " + text + ": no answer: write CHECK=VALUE, such as battery-rest='12.2 V'");
    return std::nullopt;
  }
  if (!diagnosis::read_answer_kind(value, answer.kind) || answer.kind == Answer::Kind::reading ||
      answer.kind == Answer::Kind::repaired) {
    answer.kind = Answer::Kind::reading;
    // `82 kPa @ 60 °C`: what the check's correction asks for stands behind the sign.
    const std::size_t at = value.find(" @ ");
    answer.value = value.substr(0, at);
    if (at != std::string::npos) answer.measured = value.substr(at + 3);
  }
  return answer;
}

std::optional<std::vector<Answer>> read_answers(const DiagnoseAsked& asked,
                                                const store::Store& store) {
  std::vector<Answer> answers;
  for (const std::string& text : asked.results) {
    auto answer = read_result(text);
    if (!answer) return std::nullopt;
    answers.push_back(std::move(*answer));
  }
  for (const std::string& text : asked.repaired) {
    const auto row = store.find(text);
    if (!row) {
      complain("--repaired " + text + ": no tip has this id, slug or path");
      return std::nullopt;
    }
    answers.push_back({row->id, Answer::Kind::repaired});
  }
  return answers;
}

// --- for people

void print_next(const Case& a_case, const Outlook& outlook) {
  const Next& next = outlook.next;
  const auto title = [&](std::size_t cause) { return a_case.causes[cause].title; };
  if (next.kind == Next::Kind::check) {
    const diagnosis::Check& check = *a_case.check(next.check);
    fmt::print("\nNext: {}  [{}]\n  {}\n", check.name, check.id, next.why);
    if (!check.expect_words.empty()) fmt::print("  expect {}\n", check.expect_words);
    fmt::print("  otherwise ({}): {} {}\n", percent(next.outside.chance),
               percent(next.outside.weight), title(next.outside.cause));
    fmt::print("  as expected ({}): {} {}\n", percent(next.inside.chance),
               percent(next.inside.weight), title(next.inside.cause));
  } else if (next.kind == Next::Kind::repair) {
    fmt::print("\nNext: repair {}\n  {}\n", title(next.cause), next.why);
  } else {
    fmt::print("\nNext: look further than the book\n  {}\n", next.why);
  }
}

void print_ledger(const std::vector<Entry>& ledger) {
  for (const Entry& entry : ledger) {
    std::string line = entry.what;
    if (!entry.result.empty()) line += ": " + entry.result;
    if (!entry.said.empty()) line += "; " + entry.said;
    if (!entry.note.empty()) line += " (" + entry.note + ")";
    fmt::print("        {:>7}  x{:<6.3g} {}\n", side_word(entry.side), entry.ratio, line);
  }
}

void print_for_people(const Case& a_case, const Outlook& outlook, bool ledger) {
  for (const diagnosis::Standing& standing : outlook.causes) {
    const diagnosis::Cause& cause = a_case.causes[standing.cause];
    fmt::print("{:>5}  {:11}  {}{}{}\n", percent(standing.weight), standing.word, cause.title,
               cause.not_in_book() ? "" : "  [" + cause.tip + "]",
               standing.tried ? "  (repaired, fault still there)" : "");
    if (ledger) print_ledger(standing.ledger);
  }
  print_next(a_case, outlook);
  if (ledger) {
    fmt::print(
        "\nWeights assume one fault, and checks that are independent once the cause is given.\n");
  }
}

// --- for scripts

json to_json(const Entry& entry) {
  return {{"check", entry.check},   {"what", entry.what},
          {"result", entry.result}, {"said", entry.said},
          {"ratio", entry.ratio},   {"side", std::string(side_word(entry.side))},
          {"before", entry.before}, {"after", entry.after},
          {"note", entry.note}};
}

json to_json(const Case& a_case, const diagnosis::Meaning& meaning) {
  return {{"chance", meaning.chance},
          {"cause", a_case.causes[meaning.cause].tip},
          {"weight", meaning.weight}};
}

json to_json(const Case& a_case, const Next& next) {
  json out = {{"kind", std::string(next_word(next.kind))},
              {"why", next.why},
              {"minutes", next.minutes},
              {"expected_minutes", next.expected_minutes},
              {"by_information", next.by_information},
              {"by_weight", a_case.causes[next.by_weight].tip}};
  if (next.kind == Next::Kind::check) {
    out["check"] = next.check;
    out["outside"] = to_json(a_case, next.outside);
    out["inside"] = to_json(a_case, next.inside);
  } else if (next.kind == Next::Kind::repair) {
    out["cause"] = a_case.causes[next.cause].tip;
    out["sure"] = next.sure;
  }
  return out;
}

json to_json(const Case& a_case, const Outlook& outlook) {
  json causes = json::array();
  for (const diagnosis::Standing& standing : outlook.causes) {
    const diagnosis::Cause& cause = a_case.causes[standing.cause];
    json ledger = json::array();
    for (const Entry& entry : standing.ledger) ledger.push_back(to_json(entry));
    causes.push_back({{"tip", cause.tip},
                      {"title", cause.title},
                      {"weight", standing.weight},
                      {"prior", cause.prior},
                      {"word", std::string(standing.word)},
                      {"tried", standing.tried},
                      {"repair_minutes", cause.repair_minutes},
                      {"ledger", ledger}});
  }
  json checks = json::array();
  for (const Choice& choice : outlook.choices) {
    const diagnosis::Check& check = *a_case.check(choice.check);
    json tips = json::array();
    for (const diagnosis::Effect& effect : check.effects)
      tips.push_back(a_case.causes[effect.cause].tip);
    checks.push_back({{"check", check.id},
                      {"name", check.name},
                      {"fact", check.fact},
                      {"expect", check.expect_words},
                      {"minutes", choice.minutes},
                      {"tools", check.tools},
                      {"tips", tips},
                      {"bits", choice.bits},
                      {"bits_a_minute", choice.bits_a_minute},
                      {"if_outside", choice.if_outside},
                      {"aside", std::string(aside_word(choice.aside))}});
  }
  return {{"causes", causes},
          {"next", to_json(a_case, outlook.next)},
          {"checks", checks},
          {"troubles", outlook.troubles}};
}

int diagnose(const Common& common, const DiagnoseAsked& asked) {
  const std::optional<Opened> opened = open(common);
  if (!opened) return kCouldNotRun;
  const store::Store& store = opened->store;
  diagnosis::Complaint complaint;
  complaint.line = asked.complaint;
  complaint.when = asked.when;
  complaint.often = asked.often;
  complaint.after = asked.after;
  auto vehicle = read_vehicle(asked.vehicle, store.vocabulary());
  auto codes = read_car_codes(asked.codes);
  const auto answers = read_answers(asked, store);
  if (!vehicle || !codes || !answers) return kCouldNotRun;
  complaint.vehicle = std::move(*vehicle);
  complaint.codes = std::move(*codes);

  shop::RecordBook book;
  book.update(files::real_disk(), common.shop);
  for (const shop::Finding& finding : book.findings()) complain(finding.text());
  diagnosis::Experience experience;
  experience.take(book);
  const Case a_case = diagnosis::find_case(store, complaint, experience);
  const Outlook outlook = diagnosis::look(a_case, *answers, asked.options);
  for (const std::string& trouble : outlook.troubles) complain(trouble);
  if (common.json) {
    print(to_json(a_case, outlook));
  } else {
    print_for_people(a_case, outlook, asked.ledger);
  }
  return outlook.troubles.empty() ? kDone : kFindings;
}

}  // namespace

void add_diagnose(Arguments& arguments) {
  const auto asked = std::make_shared<DiagnoseAsked>();
  Verb verb = arguments.verb("diagnose", "What may be the cause, and what to check next");
  verb.option("--shop").required();
  verb.text("--vehicle", asked->vehicle, "Make, model, year, engine");
  verb.text("--complaint", asked->complaint, "The complaint in words");
  verb.texts("--codes", asked->codes, "Codes read: P0128, or P0128:pending");
  verb.text("--when", asked->when, "When it happens");
  verb.text("--often", asked->often, "How often");
  verb.text("--after", asked->after, "After what work");
  verb.texts("--result", asked->results,
             "CHECK=VALUE: a reading with its unit, yes, no, 'not showing now', 'not sure' or "
             "skipped; again for each check");
  verb.texts("--repaired", asked->repaired, "A tip whose repair did not help");
  verb.texts("--without", asked->options.missing_tools, "A tool the shop does not have");
  verb.texts("--open", asked->options.open, "A cover that is off already");
  verb.flag("--ledger", asked->ledger, "Print what speaks for and against each cause");
  verb.runs([asked](const Common& common) { return diagnose(common, *asked); });
}

}  // namespace baylore::cli
