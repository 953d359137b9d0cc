// What the verbs take on the command line. The parser itself is behind arguments.cc, so that a verb
// that changes compiles in a moment.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace baylore::cli {

// What every verb takes.
struct Common {
  std::string shop;   // --shop, or BAYLORE_SHOP
  std::string store;  // --store: where the cache lies; empty for the user's cache folder
  bool json = false;  // --json
};

// One option of a verb: a handle, to be copied freely while the Arguments live. Each rule gives the
// option back, so that rules stand in a row. What breaks one is told before any verb runs.
class Option {
 public:
  Option required() const;
  Option needs(Option other) const;     // only together with `other`; one way, unless said of both
  Option excludes(Option other) const;  // not together with `other`; both ways
  Option one_of(const std::vector<std::string>& words) const;
  Option within(int low, int high) const;        // both included
  Option within(double low, double high) const;  // both included
  Option shows_default() const;                  // the help prints what the variable holds now
  Option one_at_a_time() const;                  // of `texts`: named again for each further text

  bool given() const;  // once a verb runs: whether it was typed

 private:
  friend class Verb;
  explicit Option(CLI::Option* option) : option_(option) {}
  CLI::Option* option_;
};

// One verb, or a group of its options: a handle as well. `into` is written while the command line
// is read and must live until the verb has run; what is not typed leaves it as it was. A name with
// dashes is an option, one without is what stands there alone.
class Verb {
 public:
  Option text(const char* name, std::string& into, const char* help);
  Option texts(const char* name, std::vector<std::string>& into, const char* help);
  Option number(const char* name, int& into, const char* help);
  Option number(const char* name, double& into, const char* help);
  Option number(const char* name, std::optional<double>& into, const char* help);
  Option flag(const char* name, bool& into, const char* help);

  // One that is there already, such as "--shop".
  Option option(const char* name);

  // A group under a title in the help, of which exactly one option is to be given.
  Verb exactly_one(const char* title);

  // What the verb does when it is the one that was typed; the result is the exit code.
  using Run = std::function<int(const Common&)>;
  void runs(Run run);

 private:
  friend class Arguments;
  Verb(CLI::App* app, Run* chosen) : app_(app), chosen_(chosen) {}
  CLI::App* app_;
  Run* chosen_;
};

// The command line with all its verbs. Not for two threads at once.
class Arguments {
 public:
  Arguments(const char* program, const char* what);
  ~Arguments();
  Arguments(const Arguments&) = delete;
  Arguments& operator=(const Arguments&) = delete;

  // A verb with --json. --shop and --store are taken everywhere, so that one line of a script can
  // carry them; this says nothing of whether they are used.
  Verb verb(const char* name, const char* what);

  // Reads the command line and runs the verb that was typed: its exit code. Help goes to standard
  // output (0); what is wrong with the arguments to standard error (kCouldNotRun).
  int run(int argc, char** argv);

 private:
  Common common_;
  Verb::Run chosen_;
  std::unique_ptr<CLI::App> app_;
};

}  // namespace baylore::cli
