// Small invented cases for tests of the guided diagnosis.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "diagnosis/case.h"
#include "shop/document.h"
#include "trade/expectation.h"

namespace baylore::test {

// A check of a tip: name or key, what is expected, the two strength words, minutes, access, tools.
struct CheckText {
  std::string key = {};
  std::string expect = "yes";
  std::string outside = "suggests";
  std::string inside = "suggests against";
  std::string minutes = "5";
  std::string access = {};
  std::string tools = "multimeter";
  std::string fact = {};
  std::string name = {};
};

inline std::string check_text(const CheckText& c) {
  const auto line = [](const char* key, const std::string& value) {
    return value.empty() ? std::string() : std::string("- ") + key + ": " + value + "\n";
  };
  return "### " + (c.name.empty() ? "Look at " + c.key : c.name) + "\n" + line("check", c.key) +
         line("fact", c.fact) + line("minutes", c.minutes) + line("access", c.access) +
         line("tools", c.tools) + line("expect", c.expect) + line("outside", c.outside) +
         line("inside", c.inside) + "\n";
}

inline std::string tip_text(const std::string& id, const std::vector<CheckText>& checks,
                            const std::string& more = {}) {
  std::string text = "---\nid: " + id + "\ntitle: Title of " + id + "\nrepair-minutes: 60\n" +
                     more + "---\n\n## Symptom\nIt " + id + "s.\n\n## Checks\n\n";
  for (const CheckText& check : checks) text += check_text(check);
  return text;
}

inline diagnosis::Candidate candidate(const std::string& id, const std::vector<CheckText>& checks,
                                      double share = 1) {
  diagnosis::Candidate made;
  made.tip = shop::read_tip(shop::Document::parse(tip_text(id, checks)), "tips/" + id + ".md");
  made.share = share;
  return made;
}

}  // namespace baylore::test
