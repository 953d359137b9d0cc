#include "job/trace.h"

#include <algorithm>
#include <set>
#include <vector>

#include "job/frame.h"

namespace baylore::job {
namespace {

// "Heater cold" of "heater cold"; other scripts stay as they are.
std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z')
    text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

std::string fits_of(const search::Vehicle& v) {
  std::string years = v.year > 0 ? std::to_string(v.year) : "";
  if (v.year > 0 && v.last_year > v.year) years += "-" + std::to_string(v.last_year);
  return v.make + " | " + v.model + " | " + years + " | " + v.engine;
}

// The words as typed, then what was asked at intake.
std::string symptom_of(const Job& job) {
  std::string text = job.line.find_first_not_of(" \t") == std::string::npos ? "" : job.complaint();
  const auto add = [&](const char* label, const std::string& answer) {
    if (!answer.empty()) text += (text.empty() ? "" : "\n") + std::string(label) + answer;
  };
  add("How often: ", job.often);
  if (job.after != "nothing known") add("After: ", job.after);
  return text;
}

// A reading as a check of the new tip. A result outside of what is expected points at the cause
// that was found; one inside it is only in keeping with it.
std::string check_of(const Reading& reading) {
  std::string text = "### " + (reading.name.empty() ? reading.check : reading.name) + "\n";
  text += "- check: " + reading.check + "\n";
  if (!reading.expected.empty()) text += "- expect: " + reading.expected + "\n";
  text += reading.said == kOutside ? "- outside: suggests\n- inside: suggests against\n"
                                   : "- inside: hints\n- outside: hints against\n";
  std::string here = reading.result == "reading" ? reading.value : reading.result;
  if (!reading.measured.empty()) here += " at " + reading.measured;
  return text + "Found: " + here + ".\n";
}

std::string section_of(const std::vector<std::string>& parts) {
  std::string text;
  for (const std::string& part : parts) text += (text.empty() ? "" : "\n") + part;
  while (!text.empty() && text.back() == '\n') text.pop_back();
  return text;
}

}  // namespace

shop::Document tip_from(const Job& job, const search::Understood& line,
                        const shop::Outcome* outcome) {
  shop::Document document;
  document.set_value("title",
                     line.words_typed.empty() ? std::string(kUntitled) : capital(line.words_typed));
  document.set_value("status", "current");
  document.set_value("lang", "en");
  const search::Vehicle& vehicle = line.vehicle.empty() ? job.vehicle : line.vehicle;
  if (!vehicle.model.empty()) document.set_list("fits", {fits_of(vehicle)});
  std::vector<std::string> codes = line.codes;
  for (const auto& [code, state] : job.code_state) {
    if (std::find(codes.begin(), codes.end(), code) == codes.end()) codes.push_back(code);
  }
  if (!codes.empty()) document.set_list("codes", codes);
  if (!job.when.empty() && job.when != "any time") document.set_list("when", {job.when});
  // A repair that was done without effect is what this was mistaken for.
  std::vector<std::string> mistaken;
  for (const std::string& tip : std::set<std::string>(job.tried.begin(), job.tried.end()))
    mistaken.push_back(tip + " | its repair did not help");
  if (!mistaken.empty()) document.set_list("mistaken-for", mistaken);

  document.set_section("Symptom", symptom_of(job));
  std::vector<std::string> checks;
  for (const Reading& reading : job.readings) {
    if (!reading.after && !reading.said.empty()) checks.push_back(check_of(reading));
  }
  if (!checks.empty()) document.set_section("Checks", section_of(checks));
  if (outcome != nullptr && !outcome->part.empty())
    document.set_section("Parts", "### " + outcome->part);
  std::vector<std::string> verify;
  for (const Reading& reading : job.readings) {
    if (!reading.after || reading.said != kInside) continue;
    std::string text = "### " + (reading.name.empty() ? reading.check : reading.name) + "\n";
    const bool known = job.reading(reading.check) != nullptr;
    if (known) text += "- again: " + reading.check + "\n";
    if (!known && !reading.expected.empty()) text += "- expect: " + reading.expected + "\n";
    verify.push_back(text);
  }
  if (!verify.empty()) document.set_section("Verify", section_of(verify));
  std::vector<std::string> background;
  for (const auto& [code, frame] : job.frames) {
    const std::string words = in_words(frame);
    if (!words.empty()) background.push_back("Freeze frame of " + code + ": " + words + ".");
  }
  if (outcome != nullptr && !outcome->text.empty()) background.push_back(outcome->text);
  if (!background.empty()) document.set_section("Background", section_of(background));
  return document;
}

}  // namespace baylore::job
