#include "sheet/essential.h"

#include <fmt/format.h>

namespace baylore::sheet {
namespace {

class Lines {
 public:
  void add(const std::string& line) {
    if (line.empty()) return;
    if (!text_.empty()) text_ += '\n';
    text_ += line;
  }
  void head(std::string_view word) { add(fmt::format("== {} ==", word)); }
  [[nodiscard]] std::string text() const { return text_; }

 private:
  std::string text_;
};

std::string listed(const std::vector<std::string>& parts, std::string_view gap) {
  return fmt::format("{}", fmt::join(parts, gap));
}

void add_checks(Lines& lines, const std::vector<SheetCheck>& checks) {
  int number = 0;
  for (const SheetCheck& check : checks) {
    std::string line = fmt::format("{}. {}", ++number, check.name);
    if (!check.expected.none()) line += ": " + check.expected.text();
    if (!check.valid.empty()) line += fmt::format(" [{}]", check.valid);
    lines.add(line);
  }
}

std::string fastener_line(const SheetFastener& fastener) {
  std::string line = "- " + fastener.name;
  if (!fastener.bolt.empty()) line += fmt::format(" ({})", fastener.bolt);
  line += ": " + (fastener.torque.empty() ? "no torque noted" : fastener.torque);
  if (!fastener.second.empty()) line += " = " + fastener.second;
  if (!fastener.sequence.empty()) line += "; order " + fastener.sequence;
  if (fastener.reuse == "no") {
    line += "; new every time";
  } else if (!fastener.reuse.empty()) {
    line += "; reuse: " + fastener.reuse;
  }
  if (!fastener.doubt.empty()) line += "; IN DOUBT: " + fastener.doubt;
  return line;
}

}  // namespace

std::string essential_text(const Sheet& sheet) {
  Lines lines;
  lines.add(sheet.title);
  lines.add(sheet.fits.empty() ? "For all vehicles" : listed(sheet.fits, "; "));
  lines.add(listed(sheet.codes, " "));
  for (const std::string& warning : sheet.warnings) lines.add("!! " + warning);
  if (!sheet.cautions.empty()) lines.head("Cautions");
  for (const Sheet::Caution& caution : sheet.cautions)
    lines.add("! " + caution.lead + (caution.more.empty() ? "" : " " + caution.more));
  if (!sheet.checks.empty()) lines.head("Checks");
  add_checks(lines, sheet.checks);
  if (!sheet.fasteners.empty()) lines.head("Fasteners");
  for (const SheetFastener& fastener : sheet.fasteners) lines.add(fastener_line(fastener));
  if (!sheet.parts.empty()) lines.head("Parts");
  for (const SheetPart& part : sheet.parts) lines.add("- " + part.name);
  if (!sheet.verify.empty()) lines.head("After the repair");
  add_checks(lines, sheet.verify);
  lines.add(who_decides());
  std::string by = sheet.shop;
  if (!sheet.author.empty()) by += (by.empty() ? "" : ", ") + sheet.author;
  if (!sheet.written.empty()) by += (by.empty() ? "" : ", ") + sheet.written;
  lines.add(by);
  return lines.text();
}

}  // namespace baylore::sheet
