#include "arguments.h"

#include <CLI/CLI.hpp>
#include <cstdio>
#include <utility>

#include "verbs.h"

namespace baylore::cli {
namespace {

// What was typed, last first, as the parser wants it. A negative number is no option: a blank in
// front says so, and every reader of numbers passes over it.
std::vector<std::string> typed(int argc, char** argv) {
  std::vector<std::string> words;
  for (int i = argc - 1; i > 0; --i) {
    std::string each = argv[i];
    if (each.size() > 1 && each[0] == '-' &&
        (each[1] == '.' || (each[1] >= '0' && each[1] <= '9'))) {
      each.insert(0, " ");
    }
    words.push_back(std::move(each));
  }
  return words;
}

}  // namespace

Option Option::required() const {
  option_->required();
  return *this;
}

Option Option::needs(Option other) const {
  option_->needs(other.option_);
  return *this;
}

Option Option::excludes(Option other) const {
  option_->excludes(other.option_);
  return *this;
}

Option Option::one_of(const std::vector<std::string>& words) const {
  option_->check(CLI::IsMember(words));
  return *this;
}

Option Option::within(int low, int high) const {
  option_->check(CLI::Range(low, high));
  return *this;
}

Option Option::within(double low, double high) const {
  option_->check(CLI::Range(low, high));
  return *this;
}

Option Option::shows_default() const {
  option_->capture_default_str();
  return *this;
}

Option Option::one_at_a_time() const {
  option_->allow_extra_args(false);
  return *this;
}

bool Option::given() const { return option_->count() > 0; }

Option Verb::text(const char* name, std::string& into, const char* help) {
  return Option(app_->add_option(name, into, help));
}

Option Verb::texts(const char* name, std::vector<std::string>& into, const char* help) {
  return Option(app_->add_option(name, into, help));
}

Option Verb::number(const char* name, int& into, const char* help) {
  return Option(app_->add_option(name, into, help));
}

Option Verb::number(const char* name, double& into, const char* help) {
  return Option(app_->add_option(name, into, help));
}

Option Verb::number(const char* name, std::optional<double>& into, const char* help) {
  return Option(app_->add_option(name, into, help));
}

Option Verb::flag(const char* name, bool& into, const char* help) {
  return Option(app_->add_flag(name, into, help));
}

Option Verb::option(const char* name) { return Option(app_->get_option(name)); }

Verb Verb::exactly_one(const char* title) {
  CLI::Option_group* group = app_->add_option_group(title);
  group->require_option(1);
  return {group, chosen_};
}

void Verb::runs(Run run) {
  app_->callback([chosen = chosen_, run = std::move(run)] { *chosen = run; });
}

Arguments::Arguments(const char* program, const char* what)
    : app_(std::make_unique<CLI::App>(what, program)) {
  app_->require_subcommand(1);
  app_->set_version_flag("--version", std::string(program) + " " + BAYLORE_VERSION);
}

Arguments::~Arguments() = default;

Verb Arguments::verb(const char* name, const char* what) {
  CLI::App* verb = app_->add_subcommand(name, what);
  verb->add_option("--shop", common_.shop, "The shop's folder")->envname("BAYLORE_SHOP");
  verb->add_option("--store", common_.store, "Where the cache lies (default: the user's cache)");
  verb->add_flag("--json", common_.json, "Print JSON, as tools/cli/JSON.md says");
  return {verb, &chosen_};
}

int Arguments::run(int argc, char** argv) {
  try {
    app_->parse(typed(argc, argv));
  } catch (const CLI::CallForHelp& help) {
    return app_->exit(help);
  } catch (const CLI::CallForAllHelp& help) {
    return app_->exit(help);
  } catch (const CLI::CallForVersion& version) {
    return app_->exit(version);
  } catch (const CLI::ParseError& error) {
    std::fprintf(stderr, "baylore: %s: see baylore --help\n", error.what());
    return kCouldNotRun;
  }
  return chosen_(common_);
}

}  // namespace baylore::cli
