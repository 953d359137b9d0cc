#include <fmt/format.h>

#include <memory>
#include <nlohmann/json.hpp>

#include "opened.h"
#include "shop/cautions.h"
#include "shop/document.h"
#include "shop/tip.h"
#include "trade/expectation.h"

namespace baylore::cli {
namespace {

constexpr std::string_view kShopNotes =
    "Torque, fluid and clearance values are this shop's notes: the vehicle maker's service "
    "information decides.";

void join(std::string& line, const std::string& part, const char* gap) {
  if (!part.empty()) line += (line.empty() ? "" : gap) + part;
}

std::string listed(const std::vector<std::string>& parts) {
  std::string line;
  for (const std::string& part : parts) join(line, part, ", ");
  return line;
}

void print_if(std::string_view lead, const std::string& text) {
  if (!text.empty()) fmt::print("{}{}\n", lead, text);
}

// A text, every line moved in.
void print_moved(const std::string& text) {
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    fmt::print("   {}\n", text.substr(at, end - at));
    at = end + 1;
  }
}

std::string minutes(double value) { return value > 0 ? fmt::format("{:g} min", value) : ""; }

std::string expected(const std::optional<trade::Expectation>& expect, const std::string& text) {
  if (expect) return "expect " + trade::in_words(*expect);
  return text.empty() ? "" : "expect " + text;
}

void print_checks(const shop::Tip& tip) {
  int number = 0;
  for (const shop::Check& check : tip.checks) {
    fmt::print("{}. {}\n", ++number, check.name);
    std::string line = expected(check.expect, check.expect_text);
    join(line, minutes(check.minutes), " | ");
    for (const shop::Access& access : check.access) {
      join(line, access.name + (access.minutes > 0 ? " " + minutes(access.minutes) : ""), " | ");
    }
    join(line, check.tools, " | ");
    print_if("   ", line);
    print_if("   holds when: ", check.valid);
    std::string strength;
    join(strength, check.inside.empty() ? "" : "inside " + check.inside, ", ");
    join(strength, check.outside.empty() ? "" : "outside " + check.outside + " this cause", ", ");
    print_if("   ", strength);
    print_moved(check.text);
  }
}

void print_fasteners(const shop::Tip& tip) {
  for (const shop::Fastener& fastener : tip.fasteners) {
    std::string line;
    if (fastener.count > 0) line = fmt::format("{} x", fastener.count);
    join(line, fastener.thread, " ");
    join(line, fastener.property_class, ", ");
    join(line, fastener.torque_text, ", ");
    join(line, fastener.sequence.empty() ? "" : "in the order " + fastener.sequence, ", ");
    join(line, fastener.reuse.empty() ? "" : "reuse: " + fastener.reuse, ", ");
    fmt::print("{}: {}\n", fastener.name, line);
    print_moved(fastener.text);
  }
}

void print_parts(const shop::Tip& tip) {
  for (const shop::PartRef& part : tip.parts) {
    fmt::print("{}\n", part.name);
    print_moved(part.text);
  }
}

void print_verify(const shop::Tip& tip) {
  for (const shop::Verification& verification : tip.verify) {
    fmt::print("{}\n", verification.name);
    print_if("   ", expected(verification.expect, verification.expect_text));
    print_if("   holds when: ", verification.valid);
    print_moved(verification.text);
  }
}

void print_tip(const shop::Tip& tip) {
  fmt::print("{}\n", tip.title);
  std::string line = tip.id;
  join(line, tip.status, " | ");
  join(line, tip.system, " | ");
  join(line, tip.component, " | ");
  join(line, tip.author, " | ");
  join(line, tip.written, " ");
  fmt::print("{}\n", line);
  print_if("Replaced by: ", tip.replaced_by);
  for (const shop::Fit& fit : tip.fits) fmt::print("Fits: {}\n", shop::fit_text(fit));
  print_if("Codes: ", listed(tip.codes));
  print_if("When: ", listed(tip.when));
  print_if("Often: ", listed(tip.often));
  print_if("Repair takes: ", minutes(tip.repair_minutes));

  const std::vector<shop::Caution> cautions = shop::cautions_for(tip.system, tip.component);
  if (!cautions.empty() || !tip.cautions.empty()) fmt::print("\n");
  for (const shop::Caution& caution : cautions) {
    fmt::print("CAUTION: {} {}\n", caution.lead, caution.more);
  }
  for (const std::string& caution : tip.cautions) fmt::print("CAUTION: {}\n", caution);

  for (const shop::MistakenFor& other : tip.mistaken_for) {
    fmt::print("\nEasily mistaken for {}{}{}\n", other.tip, other.note.empty() ? "" : ": ",
               other.note);
  }
  for (const shop::Prose& section : tip.sections) {
    if (section.key == "cautions") continue;  // above
    fmt::print("\n{}\n", section.heading.empty() ? "Symptom" : section.heading);
    const bool entries = section.key == "checks" || section.key == "fasteners" ||
                         section.key == "parts" || section.key == "verify";
    if (!entries) {
      print_moved(section.body);
      continue;
    }
    print_moved(section.text);
    if (section.key == "checks") print_checks(tip);
    if (section.key == "fasteners") print_fasteners(tip);
    if (section.key == "parts") print_parts(tip);
    if (section.key == "verify") print_verify(tip);
  }
  fmt::print("\n{}\n", kShopNotes);
}

nlohmann::json to_json(const shop::Tip& tip) {
  nlohmann::json sections = nlohmann::json::array();
  for (const shop::Prose& section : tip.sections) {
    sections.push_back(
        {{"key", section.key}, {"heading", section.heading}, {"text", section.body}});
  }
  nlohmann::json cautions = nlohmann::json::array();
  for (const shop::Caution& caution : shop::cautions_for(tip.system, tip.component)) {
    cautions.push_back(std::string(caution.lead) + " " + std::string(caution.more));
  }
  for (const std::string& caution : tip.cautions) cautions.push_back(caution);
  nlohmann::json findings = nlohmann::json::array();
  for (const shop::Finding& finding : tip.findings) findings.push_back(cli::to_json(finding));
  return {{"id", tip.id},           {"slug", tip.slug},
          {"path", tip.path},       {"title", tip.title},
          {"status", tip.status},   {"replaced_by", tip.replaced_by},
          {"lang", tip.lang},       {"fits", cli::to_json(tip.fits)},
          {"codes", tip.codes},     {"component", tip.component},
          {"system", tip.system},   {"when", tip.when},
          {"often", tip.often},     {"author", tip.author},
          {"written", tip.written}, {"cautions", cautions},
          {"sections", sections},   {"broken", tip.broken},
          {"findings", findings},   {"advice", std::string(kShopNotes)}};
}

int show(const Common& common, const std::string& id) {
  const std::optional<Opened> opened = open(common);
  if (!opened) return kCouldNotRun;
  const std::optional<store::TipRow> row = opened->store.find(id);
  std::optional<std::string> bytes;
  if (row) bytes = opened->store.bytes(row->doc);
  if (!row || !bytes) {
    complain(id + ": no tip has this id, slug or path: baylore search finds it by its words");
    return kCouldNotRun;
  }
  const shop::Tip tip = shop::read_tip(shop::Document::parse(*bytes), row->path);
  if (common.json) {
    print(to_json(tip));
  } else {
    for (const shop::Finding& finding : tip.findings) {
      if (finding.level == shop::Level::error) complain(finding.text());
    }
    print_tip(tip);
  }
  return tip.broken ? kFindings : kDone;
}

}  // namespace

void add_show(Arguments& arguments) {
  Verb verb = arguments.verb("show", "One tip as plain text");
  verb.option("--shop").required();
  const auto id = std::make_shared<std::string>();
  verb.text("id", *id, "Its id, slug or path").required();
  verb.runs([id](const Common& common) { return show(common, *id); });
}

}  // namespace baylore::cli
