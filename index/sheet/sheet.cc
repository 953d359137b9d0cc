#include "sheet/sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

#include "shop/cautions.h"
#include "shop/prose.h"
#include "trade/quantity.h"

namespace baylore::sheet {
namespace {

Expected expected_of(const std::optional<trade::Expectation>& expect, const std::string& authored) {
  Expected out;
  if (!expect || !expect->is_range()) {
    out.before = clean_line(expect ? expect->plain : authored);
    return out;
  }
  const std::string words = trade::in_words(*expect);
  out.unit = expect->unit->symbol;
  const std::size_t at = words.find(out.unit);
  out.before = clean_line(words.substr(0, at));
  if (at != std::string::npos) out.after = clean_line(words.substr(at + out.unit.size()));
  const trade::Quantity one{expect->low ? *expect->low : *expect->high, expect->unit};
  if (const trade::Unit* other = trade::companion_unit(one))
    out.second = trade::in_words_as(*expect, *other);
  return out;
}

// The text without what follows "Why:", which stands apart.
std::string how_of(const shop::Check& check) {
  const std::size_t why = check.why.empty() ? std::string::npos : check.text.find("Why:");
  return plain_of(std::string_view(check.text).substr(0, why));
}

SheetCheck check_of(const shop::Check& check) {
  SheetCheck out;
  out.name = clean_line(check.name);
  out.expected = expected_of(check.expect, check.expect_text);
  out.minutes = check.minutes;
  out.valid = clean_line(check.valid);
  out.tools = clean_line(check.tools);
  for (const shop::Access& access : check.access) {
    out.minutes += access.minutes;
    join(out.tools, clean_line(access.name) + " off", "; ");
  }
  out.how = how_of(check);
  out.why = plain_of(check.why);
  out.outside = clean_line(check.outside);
  out.inside = clean_line(check.inside);
  return out;
}

// A verification is the check that it repeats, under its own name, or has its own expectation.
SheetCheck check_of(const shop::Tip& tip, const shop::Verification& verification) {
  const auto again = std::find_if(tip.checks.begin(), tip.checks.end(), [&](const auto& check) {
    return !verification.again.empty() && check.id == verification.again;
  });
  SheetCheck out;
  if (again != tip.checks.end()) out = check_of(*again);
  out.how = plain_of(verification.text);
  out.why.clear();
  out.inside.clear();
  out.outside.clear();
  out.minutes = 0;
  out.tools.clear();
  out.name = clean_line(verification.name);
  if (!verification.valid.empty()) out.valid = clean_line(verification.valid);
  if (!verification.expect_text.empty())
    out.expected = expected_of(verification.expect, verification.expect_text);
  return out;
}

// What the check says of the lines of the fastener's entry, which ends where the next one begins.
std::string doubt_of(const From& from, const shop::Fastener& fastener) {
  if (from.findings == nullptr) return {};
  int end = std::numeric_limits<int>::max();
  const auto ends_at = [&](int line) {
    if (line > fastener.line) end = std::min(end, line);
  };
  for (const shop::Fastener& other : from.tip.fasteners) ends_at(other.line);
  for (const shop::Prose& section : from.tip.sections) ends_at(section.line);
  std::string out;
  for (const shop::Finding& finding : *from.findings) {
    if (finding.line < fastener.line || finding.line >= end) continue;
    if (finding.level != shop::Level::note) join(out, clean_line(finding.message), "; ");
  }
  return out;
}

SheetFastener fastener_of(const From& from, const shop::Fastener& fastener) {
  SheetFastener out;
  out.name = clean_line(fastener.name);
  if (fastener.count > 0) out.bolt = fmt::format("{} ×", fastener.count);
  join(out.bolt, clean_line(fastener.thread), " ");
  join(out.bolt, clean_line(fastener.property_class), ", ");
  out.torque = clean_line(fastener.torque_text);
  out.spec = fastener.torque;
  if (fastener.torque) {
    out.torque = trade::authored(*fastener.torque);
    const std::string other =
        trade::converted_text(*fastener.torque, trade::other_torque_unit(*fastener.torque));
    if (other != out.torque) out.second = other;
  }
  out.sequence = clean_line(fastener.sequence);
  out.reuse = clean_line(fastener.reuse);
  out.text = plain_of(fastener.text);
  out.doubt = doubt_of(from, fastener);
  return out;
}

std::vector<SheetCheck> acceptance_of(const shop::PartFamily& family) {
  std::vector<SheetCheck> out;
  for (const shop::Check& check : family.acceptance) out.push_back(check_of(check));
  for (const shop::LookOver& point : family.look_over) {
    SheetCheck check;
    check.name = clean_line(point.name);
    check.expected.before = clean_line(point.expect);
    check.how = plain_of(point.text);
    out.push_back(std::move(check));
  }
  return out;
}

std::vector<SheetPart> parts_of(const From& from) {
  std::vector<SheetPart> out;
  const std::vector<shop::PartRef>& parts = from.tip.parts;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    SheetPart part{clean_line(parts[i].name), plain_of(parts[i].text), {}};
    const bool last = std::none_of(parts.begin() + static_cast<std::ptrdiff_t>(i) + 1, parts.end(),
                                   [&](const auto& one) { return one.family == parts[i].family; });
    const shop::PartFamily* family =
        from.parts != nullptr && last ? from.parts->family(parts[i].family) : nullptr;
    if (family != nullptr) part.acceptance = acceptance_of(*family);
    out.push_back(std::move(part));
  }
  return out;
}

std::vector<std::string> warnings_of(const From& from) {
  std::vector<std::string> out;
  const shop::Tip& tip = from.tip;
  if (from.settings != nullptr && from.settings->demo)
    out.emplace_back("Demo shop: every value is invented. Never use it on a vehicle.");
  if (tip.status == "withdrawn") {
    out.push_back("Withdrawn: do not work by this tip." +
                  (tip.replaced_by.empty() ? std::string()
                                           : " In its place: " + clean_line(tip.replaced_by)));
  } else if (tip.status == "draft") {
    out.emplace_back("A draft: nobody has worked by it yet.");
  }
  if (tip.broken)
    out.emplace_back("Part of this tip's file is not understood and is missing here.");
  if (from.doubts != nullptr) {
    for (const shop::Question& doubt : *from.doubts) {
      if (doubt.tip != tip.id) continue;
      out.push_back(fmt::format("Questioned by {}, {}: {}", clean_line(doubt.who),
                                clean_line(doubt.when).substr(0, 10), clean_line(doubt.text)));
    }
  }
  return out;
}

// The author's caution: its first sentence must be read.
Sheet::Caution caution_of(const std::string& own) {
  const std::string text = plain_of(own);
  const std::vector<std::string> sentences = shop::sentences_of(text);
  if (sentences.size() < 2 || !text.starts_with(sentences.front())) return {text, {}};
  return {sentences.front(), clean_line(text.substr(sentences.front().size()))};
}

std::vector<Paragraph> section_of(const shop::Tip& tip, std::string_view key) {
  const shop::Prose* section = tip.section(key);
  return section == nullptr ? std::vector<Paragraph>() : paragraphs_of(section->body);
}

// The steps with their numbers; without steps the section as it stands.
std::vector<Paragraph> repair_of(const shop::Tip& tip) {
  if (tip.steps.empty()) return section_of(tip, "repair");
  std::vector<Paragraph> out;
  for (const std::string& step : tip.steps)
    out.push_back({std::to_string(out.size() + 1), plain_of(step)});
  return out;
}

}  // namespace

std::string Expected::text() const {
  std::string out = before;
  join(out, unit, " ");
  join(out, after, " ");
  if (!second.empty()) out += " (" + second + ")";
  return out;
}

std::string who_decides() {
  return "These are the shop's notes: the vehicle maker's service information, local codes and "
         "licensed practice decide.";
}

Sheet sheet_of(const From& from) {
  const shop::Tip& tip = from.tip;
  Sheet out;
  out.title = clean_line(tip.title);
  if (out.title.empty()) out.title = clean_line(tip.slug);
  out.about = clean_line(tip.system);
  join(out.about, clean_line(tip.component), ", ");
  for (const shop::Fit& fit : tip.fits) out.fits.push_back(clean_line(shop::fit_text(fit)));
  for (const std::string& code : tip.codes) out.codes.push_back(clean_line(code));
  out.warnings = warnings_of(from);
  for (const shop::Caution& one : shop::cautions_for(tip.system, tip.component))
    out.cautions.push_back({std::string(one.lead), std::string(one.more)});
  for (const std::string& own : tip.cautions) out.cautions.push_back(caution_of(own));
  out.symptom = section_of(tip, "symptom");
  for (const shop::Check& check : tip.checks) out.checks.push_back(check_of(check));
  out.location = section_of(tip, "location");
  for (const shop::Picture& picture : tip.pictures) {
    SheetPicture drawn{picture.file, plain_of(picture.caption), picture.marks};
    for (shop::Mark& mark : drawn.marks) {
      mark.label = clean_line(mark.label);
      mark.text = plain_of(mark.text);
    }
    out.pictures.push_back(std::move(drawn));
  }
  out.repair = repair_of(tip);
  out.repair_minutes = tip.repair_minutes;
  for (const shop::Fastener& fastener : tip.fasteners)
    out.fasteners.push_back(fastener_of(from, fastener));
  out.parts = parts_of(from);
  for (const std::string& item : tip.finish) out.finish.push_back({"", plain_of(item)});
  for (const shop::Verification& one : tip.verify) out.verify.push_back(check_of(tip, one));
  out.author = clean_line(tip.author);
  out.written = clean_line(tip.written);
  if (from.settings != nullptr) out.shop = clean_line(from.settings->name);
  out.safety = shop::safety_critical(tip.system);
  return out;
}

std::string file_name(const shop::Tip& tip) {
  const std::string slug = shop::slug_of(tip.slug.empty() ? tip.title : tip.slug);
  return (slug.empty() ? std::string("tip") : slug) + "-sheet.pdf";
}

}  // namespace baylore::sheet
