#include "viewer/state/state.h"

#include <algorithm>
#include <limits>

#include "files/names.h"
#include "job/car.h"
#include "shop/check/check.h"
#include "shop/fold.h"
#include "viewer/screens/screens.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

std::string short_hash(std::string_view text) { return files::hash_hex(text).substr(0, 12); }

// The field of Write that holds a line of the document.
std::string field_at(const shop::Document& document, int line) {
  std::string key;
  for (const shop::Field& field : document.front()) {
    const int last = field.items.empty() ? field.line : field.items.back().line;
    if (line >= field.line && line <= last) key = field.key;
  }
  if (key.empty() && document.preamble_line() > 0 && line >= document.preamble_line() &&
      document.section("symptom") == nullptr)
    key = "symptom";
  for (const shop::Section& section : document.sections()) {
    if (line >= section.line) key = section.key;
  }
  const auto& fields = write_fields();
  const bool known = std::any_of(fields.begin(), fields.end(),
                                 [&](const WriteField& field) { return field.key == key; });
  return known ? key : "whole";
}

}  // namespace

const std::vector<WriteField>& write_fields() {
  static const std::vector<WriteField> kFields{
      {"title", marked("Title"), marked("The complaint, then the cause if it is short"), false,
       false},
      {"fits", marked("Vehicle"),
       marked("Make | Model | years | engine, one a line; empty fits all"), false, true},
      {"codes", marked("Codes"), marked("One a line, such as P0128"), false, true},
      {"system", marked("System"), marked("cooling, charging, brakes ..."), false, false},
      {"component", marked("Component"), marked("The failed thing"), false, false},
      {"symptom", marked("Symptom"), marked("What the customer says, what you saw"), true, false},
      {"checks", marked("Checks"),
       marked("### name, then - minutes: and - expect: lines, then how and why"), true, false},
      {"location", marked("Location"), marked("Where it sits; ![caption](photo.png)"), true, false},
      {"repair", marked("Repair"), marked("1. One step a line, with the trap in it"), true, false},
      {"fasteners", marked("Fasteners"), marked("### name, then - thread: and - torque: lines"),
       true, false},
      {"parts", marked("Parts"), marked("### brand and number, then your word on it"), true, false},
      {"finish", marked("Finish"), marked("Bleed, reset, road test"), true, false},
      {"verify", marked("Verify"), marked("### name, then - again: or - expect:"), true, false},
      {"background", marked("Background"), marked("What fooled you, why it happens"), true, false},
  };
  return kFields;
}

std::vector<WorkField> work_fields(const trade::Formula& formula) {
  std::vector<WorkField> fields;
  for (const trade::Input& input : formula.inputs) {
    if (input.need == trade::Input::Need::list) {
      while (fields.size() < kMostWorkFields) fields.push_back({&input, fields.empty()});
    } else {
      fields.push_back({&input, input.need == trade::Input::Need::required});
    }
  }
  return fields;
}

WorkedOut work_out(const Working& working) {
  WorkedOut out;
  trade::Values values;
  const trade::Input* last = nullptr;
  const std::vector<WorkField> fields = work_fields(*working.formula);
  for (std::size_t i = 0; i < fields.size(); ++i) {
    const WorkField& field = fields[i];
    if (field.input != last) values.emplace_back();
    last = field.input;
    const bool given = !working.typed[i].empty();
    if (!given && field.needed) {
      out.missing = true;
      out.problem = tr("Type the numbers above.");
      return out;
    }
    const std::string_view text =
        given ? std::string_view(working.typed[i]) : field.input->otherwise;
    if (text.empty()) continue;
    // What is used when nothing is typed may carry its unit; what is typed is in the formula's own.
    if (!given && field.input->unit != nullptr) {
      const auto quantity = trade::parse_quantity(text);
      if (const trade::Quantity* q = trade::value_in(quantity)) {
        values.back().push_back(trade::convert(q->value, *q->unit, *field.input->unit));
        continue;
      }
    }
    const auto parsed = trade::parse_number(text);
    const double* number = trade::value_in(parsed);
    if (number == nullptr) {
      out.problem = std::get<trade::Refusal>(parsed).what + ".";
      return out;
    }
    values.back().push_back(*number);
  }
  out.results = working.formula->work_out(values);
  if (out.results.empty()) out.problem = tr("There is no such thing with these numbers.");
  return out;
}

std::vector<std::pair<std::string, shop::Finding>> findings_of(const Writing& w) {
  shop::Document document = w.document;
  if (!w.field.empty()) put_field(document, w.field, w.buffer.text());
  const shop::Tip tip = shop::read_tip(document, w.path.empty() ? "tips/new.md" : w.path);
  std::vector<std::pair<std::string, shop::Finding>> out;
  for (shop::Finding& finding : shop::check_tip(document, tip))
    out.emplace_back(field_at(document, finding.line), std::move(finding));
  return out;
}

std::vector<const shop::Finding*> findings_at(const TipPage& page, const shop::Fastener& fastener) {
  // The entry ends where the next heading stands: of a fastener, or of a section.
  int end = std::numeric_limits<int>::max();
  const auto ends_at = [&](int line) {
    if (line > fastener.line) end = std::min(end, line);
  };
  for (const shop::Fastener& other : page.tip.fasteners) ends_at(other.line);
  for (const shop::Prose& section : page.tip.sections) ends_at(section.line);
  std::vector<const shop::Finding*> out;
  for (const shop::Finding& finding : page.findings) {
    if (finding.line >= fastener.line && finding.line < end) out.push_back(&finding);
  }
  return out;
}

job::Job* State::current() {
  const auto at =
      std::find_if(jobs.begin(), jobs.end(), [&](const job::Job& j) { return j.id == job; });
  return at == jobs.end() ? nullptr : &*at;
}

const job::Job* State::current() const {
  const auto at =
      std::find_if(jobs.begin(), jobs.end(), [&](const job::Job& j) { return j.id == job; });
  return at == jobs.end() ? nullptr : &*at;
}

bool State::ticked(const std::string& key) const {
  const job::Job* now = current();
  if (now == nullptr || !tip) return false;
  const auto at = now->ticks.find(tip->tip.id);
  return at != now->ticks.end() && at->second.count(key) != 0;
}

shop::Check check_of(const shop::Tip& tip, const shop::Verification& v) {
  for (const shop::Check& c : tip.checks) {
    if (!v.again.empty() && c.id == v.again) return c;
  }
  shop::Check own;
  own.name = v.name;
  own.id = "verify-" + short_hash(v.name);
  own.expect = v.expect;
  own.expect_text = v.expect_text;
  own.text = v.text;
  return own;
}

std::optional<shop::Check> check_named(const shop::Tip& tip, std::string_view id) {
  for (const shop::Check& c : tip.checks) {
    if (c.id == id) return c;
  }
  for (const shop::Verification& v : tip.verify) {
    shop::Check c = check_of(tip, v);
    if (c.id == id) return c;
  }
  return std::nullopt;
}

std::vector<shop::Check> acceptance_of(const shop::PartFamily& family) {
  std::vector<shop::Check> out = family.acceptance;
  for (const shop::LookOver& point : family.look_over) {
    shop::Check check;
    check.name = point.name;
    check.id = "look:" + short_hash(point.name);
    check.expect_text = point.expect.empty() ? tr("as it should be") : point.expect;
    check.text = point.text;
    check.line = point.line;
    out.push_back(std::move(check));
  }
  return out;
}

std::optional<shop::Check> taken_check(const State& state) {
  const Taking& take = state.taking;
  if (take.part.empty()) return state.tip ? check_named(state.tip->tip, take.check) : std::nullopt;
  if (!state.part) return std::nullopt;
  for (shop::Check& check : acceptance_of(state.part->family)) {
    if (check.id == take.check) return std::move(check);
  }
  return std::nullopt;
}

job::Judged accepted(const State& state, const shop::Check& check) {
  const job::Job* now = state.current();
  if (now == nullptr || !state.part) return {};
  return job::judge(check, now->accepted(state.part->number().name, check.id));
}

std::vector<std::string> not_as_expected(const State& state) {
  std::vector<std::string> out;
  const job::Job* now = state.current();
  if (now == nullptr || !state.part) return out;
  const std::string& part = state.part->number().name;
  for (const shop::Check& check : acceptance_of(state.part->family)) {
    const job::Reading* reading = now->accepted(part, check.id);
    if (reading == nullptr || reading->said != job::kOutside) continue;
    out.push_back(say("{0}: {1}, expected {2}", check.name,
                      reading->value.empty() ? tr("not so") : reading->value, check.expect_text));
  }
  return out;
}

std::vector<OrderGroup> order_groups(const State& state) {
  std::vector<OrderGroup> groups;
  const job::Job* now = state.current();
  if (now == nullptr) return groups;
  for (const std::string& name : now->to_order) {
    OrderGroup group{name, {}, {}};
    if (state.history) {
      const shop::PartBook& parts = state.history->parts();
      const auto found = parts.find(name);
      if (found.places.size() == 1) {
        const auto& place = found.places.front();
        group.title = parts.family(place).title;
        group.lines = shop::order_list(parts.family(place), parts.number(place));
      }
    }
    if (group.lines.empty()) group.lines.push_back({name, "1", 0, tr("in no part file")});
    groups.push_back(std::move(group));
  }
  if (!state.tip || state.tip->preview || state.tip->tip.id != now->tip) return groups;
  OrderGroup once{{}, state.tip->row.title, {}};
  for (const shop::Fastener& f : state.tip->tip.fasteners) {
    if (f.reuse != "no") continue;
    // What a part file already lists with its part is not ordered twice.
    const auto listed = [&](const OrderGroup& group) {
      return std::any_of(group.lines.begin(), group.lines.end(), [&](const shop::OrderLine& l) {
        return shop::fold(l.what).starts_with(shop::fold(f.name));
      });
    };
    if (std::any_of(groups.begin(), groups.end(), listed)) continue;
    once.lines.push_back({f.name + (f.thread.empty() ? "" : ", " + f.thread),
                          f.count > 0 ? std::to_string(f.count) : "1", 0, tr("used once")});
  }
  if (!once.lines.empty()) groups.push_back(std::move(once));
  return groups;
}

job::Reading reading_of(const State& state) {
  const Taking& take = state.taking;
  job::Reading out;
  out.check = take.check;
  out.after = take.after;
  out.result = take.result;
  if (out.result.empty() && !take.typed.empty()) {
    out.result = "reading";
    out.value = take.typed + " " + std::string(trade::unit(take.unit).symbol);
    if (!take.measured.empty())
      out.measured = take.measured + " " + std::string(trade::unit(take.measured_unit).symbol);
  }
  return out;
}

std::vector<const job::Elsewhere*> other_bays(const State& state) {
  std::vector<const job::Elsewhere*> out;
  for (const job::Elsewhere& one : state.board.elsewhere) {
    const auto same = [&](const job::Job& j) { return j.id == one.version.job.id; };
    if (std::none_of(state.jobs.begin(), state.jobs.end(), same)) out.push_back(&one);
  }
  return out;
}

std::vector<const job::Past*> earlier_jobs(const State& state) {
  std::vector<const job::Past*> out;
  const job::Job* now = state.current();
  if (now == nullptr || now->cars.empty()) return out;
  for (const job::Past& past : state.board.past) {
    if (past.id != now->id && job::same_car(past.cars, now->cars)) out.push_back(&past);
  }
  return out;
}

std::string next_step_of(const State& state) {
  if (state.guide) {
    const diagnosis::Next& next = state.guide->outlook.next;
    if (next.kind == diagnosis::Next::Kind::check) {
      const diagnosis::Check* check = state.guide->a_case->check(next.check);
      if (check != nullptr) return check->name;
    } else if (next.kind == diagnosis::Next::Kind::repair) {
      const diagnosis::Cause& cause = state.guide->a_case->causes[next.cause];
      if (!cause.not_in_book()) return say("repair: {0}", cause.title);
    }
  }
  if (!state.tip || state.tip->preview) return {};
  const shop::Tip& tip = state.tip->tip;
  const std::vector<Todo> all = todo_of(tip);
  const auto open = std::find_if(all.begin(), all.end(),
                                 [&](const Todo& todo) { return !state.ticked(todo.key); });
  if (open == all.end()) return tr("record the outcome");
  const auto index = static_cast<std::size_t>(open->index);
  switch (open->kind) {
    case Todo::Kind::check:
      return tip.checks[index].name;
    case Todo::Kind::step:
      return tip.steps[index];
    case Todo::Kind::fastener:
      return say("tighten {0}", tip.fasteners[index].name);
    case Todo::Kind::finish:
      return tip.finish[index];
    case Todo::Kind::verify:
      return tip.verify[index].name;
  }
  return {};
}

std::vector<const trade::Unit*> units_beside(trade::UnitId written) {
  using trade::UnitId;
  static const std::vector<std::vector<UnitId>> kFamilies{
      {UnitId::kKilopascal, UnitId::kPsi, UnitId::kBar},
      {UnitId::kInchMercury, UnitId::kKilopascal, UnitId::kMillimetreMercury},
      {UnitId::kNewtonMetre, UnitId::kPoundForceFoot, UnitId::kPoundForceInch},
      {UnitId::kVolt, UnitId::kMillivolt},
      {UnitId::kVoltAc, UnitId::kMillivoltAc},
      {UnitId::kAmpere, UnitId::kMilliampere},
      {UnitId::kOhm, UnitId::kMilliohm, UnitId::kKilohm},
      {UnitId::kCelsius, UnitId::kFahrenheit},
      {UnitId::kMillimetre, UnitId::kInch},
      {UnitId::kSecond, UnitId::kMillisecond, UnitId::kMinute},
      {UnitId::kLitre, UnitId::kMillilitre, UnitId::kUsQuart},
  };
  std::vector<const trade::Unit*> out{&trade::unit(written)};
  for (const auto& family : kFamilies) {
    const bool same = trade::unit(family.front()).dimension == out.front()->dimension;
    if (!same) continue;
    for (const UnitId id : family) {
      const trade::Unit* unit = &trade::unit(id);
      if (out.size() < 3 && std::find(out.begin(), out.end(), unit) == out.end())
        out.push_back(unit);
    }
  }
  return out;
}

std::vector<std::string> not_tight(const State& state) {
  std::vector<std::string> out;
  if (!state.tip || state.tip->preview) return out;
  const shop::Tip& tip = state.tip->tip;
  bool begun = false;
  for (const std::string& step : tip.steps) begun = begun || state.ticked(step_key(step));
  for (const shop::Fastener& f : tip.fasteners) {
    if (state.ticked(tick_key(f))) {
      begun = true;
    } else {
      out.push_back(f.name);
    }
  }
  // A tip that was only read leaves no bolt loose.
  return begun ? out : std::vector<std::string>{};
}

std::string tick_key(const shop::Check& check) { return "check:" + check.id; }
std::string tick_key(const shop::Fastener& fastener) {
  return "fastener:" + short_hash(fastener.name);
}
std::string tick_key(const shop::Verification& verification) {
  return "verify:" + short_hash(verification.name);
}
std::string step_key(std::string_view step) { return "step:" + short_hash(step); }
std::string finish_key(std::string_view item) { return "finish:" + short_hash(item); }

std::vector<Todo> todo_of(const shop::Tip& tip) {
  std::vector<Todo> out;
  const auto add = [&](Todo::Kind kind, std::string key, std::string_view section,
                       std::size_t index) {
    out.push_back(Todo{kind, std::move(key), std::string(section) + ":" + std::to_string(index),
                       static_cast<int>(index)});
  };
  for (std::size_t i = 0; i < tip.checks.size(); ++i)
    add(Todo::Kind::check, tick_key(tip.checks[i]), "checks", i);
  for (std::size_t i = 0; i < tip.steps.size(); ++i)
    add(Todo::Kind::step, step_key(tip.steps[i]), "repair", i);
  for (std::size_t i = 0; i < tip.fasteners.size(); ++i) {
    add(Todo::Kind::fastener, tick_key(tip.fasteners[i]), "fasteners", i);
  }
  for (std::size_t i = 0; i < tip.finish.size(); ++i)
    add(Todo::Kind::finish, finish_key(tip.finish[i]), "finish", i);
  for (std::size_t i = 0; i < tip.verify.size(); ++i)
    add(Todo::Kind::verify, tick_key(tip.verify[i]), "verify", i);
  return out;
}

const Todo* next_todo(const std::vector<Todo>& all, const State& state) {
  // What is in view comes first: on the Repair section the key is about a step, though a check was
  // left out above.
  static const std::vector<std::string> kRule{"symptom", "checks", "location",
                                              "repair",  "parts",  "finish"};
  const auto place = [](std::string_view section) {
    return std::find(kRule.begin(), kRule.end(), section) - kRule.begin();
  };
  const auto section_of = [](Todo::Kind kind) -> std::string_view {
    if (kind == Todo::Kind::check) return "checks";
    return kind == Todo::Kind::step || kind == Todo::Kind::fastener ? "repair" : "finish";
  };
  const auto open = [&](const Todo& t) { return !state.ticked(t.key); };
  auto at = std::find_if(all.begin(), all.end(), [&](const Todo& t) {
    return open(t) && place(section_of(t.kind)) >= place(state.here);
  });
  if (at == all.end()) at = std::find_if(all.begin(), all.end(), open);
  return at == all.end() ? nullptr : &*at;
}

}  // namespace baylore::viewer
