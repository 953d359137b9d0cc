// Runs the command line on a small shop of its own and gives back what it printed.
#pragma once

#include <sys/wait.h>

#include <cstdlib>
#include <string>

#include "support/scratch.h"

namespace baylore::tools::test {

struct Ran {
  int code = -1;
  std::string out;
  std::string err;
};

class Program {
 public:
  Program() {
    folder_.put("shop/shop.md", "---\nname: Small\n---\n");
    folder_.put("shop/vocabulary/makes.md",
                "## Makes\n### Corvane\n- model: Hauler | 2012-2022 | 3.6 V6; 5.3 V8\n");
  }

  void put(const std::string& path, const std::string& text) { folder_.put("shop/" + path, text); }
  [[nodiscard]] std::string get(const std::string& path) const {
    return folder_.get("shop/" + path);
  }
  void put_beside(const std::string& name, const std::string& text) { folder_.put(name, text); }
  [[nodiscard]] std::string beside(const std::string& name) const { return folder_.path(name); }

  // `arguments` as a shell takes them; --shop and --store are added.
  [[nodiscard]] Ran run(const std::string& arguments) const {
    return run_plain(arguments + " --shop '" + folder_.path("shop") + "' --store '" +
                     folder_.path("store") + "'");
  }

  [[nodiscard]] Ran run_plain(const std::string& arguments) const {
    const std::string command = "env -u BAYLORE_SHOP " + environment + " '" BAYLORE_PROGRAM "' " +
                                arguments + " >'" + folder_.path("out") + "' 2>'" +
                                folder_.path("err") + "'";
    const int status = std::system(command.c_str());
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, folder_.get("out"), folder_.get("err")};
  }

  std::string environment;  // `NAME=value` for the next runs

 private:
  baylore::test::Scratch folder_;
};

inline constexpr const char* kPump =
    "---\n"
    "id: pump\n"
    "title: Heater cold at idle, coolant lost\n"
    "fits:\n"
    "  - Corvane | Hauler | 2014-2018 | 3.6 V6\n"
    "codes:\n"
    "  - P0128\n"
    "component: coolant pump\n"
    "system: cooling\n"
    "author: R. Okoro\n"
    "written: 2026-03-14\n"
    "---\n"
    "\n"
    "## Symptom\n"
    "Low tank each morning.\n"
    "\n"
    "## Checks\n"
    "### Pressure left after 10 minutes\n"
    "- minutes: 12\n"
    "- expect: >= 95 kPa\n"
    "- outside: suggests\n"
    "Pump to 100 kPa. Why: the seal leaks only while cold.\n"
    "\n"
    "## Fasteners\n"
    "### Pump bolts\n"
    "- count: 5\n"
    "- thread: M6x1.0\n"
    "- torque: 5 N\xC2\xB7m; 10 N\xC2\xB7m\n"
    "- sequence: 1 4 2 5 3\n"
    "- reuse: yes\n";

inline constexpr const char* kRattle =
    "---\nid: rattle\ntitle: Rattle from the undertray\n---\n\n## Symptom\nA clip is loose.\n";

inline constexpr const char* kBroken =
    "---\n"
    "id: broken\n"
    "title: Charges too high\n"
    "---\n"
    "\n"
    "## Checks\n"
    "### Voltage at idle\n"
    "- expect: 14.8 .. 13.5 V\n";

}  // namespace baylore::tools::test
