// The verbs of `baylore`, one file each. A verb prints for people by default and JSON with --json
// (JSON.md); what went wrong goes to standard error as `file:line:column: what is wrong: what to
// do`.
#pragma once

#include <functional>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace baylore::cli {

// Exit codes, the same for every verb.
inline constexpr int kDone = 0;
inline constexpr int kFindings = 1;
inline constexpr int kCouldNotRun = 2;

// What every verb takes.
struct Common {
  std::string shop;   // --shop, or BAYLORE_SHOP
  std::string store;  // --store: where the cache lies; empty for the user's cache folder
  bool json = false;  // --json
};

// Brings the store up to date and says what changed.
int build(const Common& common, bool from_scratch);

// Findings of the whole shop; kFindings when there are errors or warnings.
int check(const Common& common);

struct SearchOptions {
  std::vector<std::string> words;
  std::string queries;  // file of `QID<TAB>words` lines
  int limit = 20;
};
// The rows for the words; with `queries` a TREC run instead.
int search(const Common& common, const SearchOptions& options);

// One tip, by id, slug or path, as plain text.
int show(const Common& common, const std::string& id);

// --- verbs that need no shop. Each adds itself to `app` with its own options; when it is the one
// that was typed, `run` does it.
using Run = std::function<int()>;
void add_vin(CLI::App& app, Common& common, Run& run);       // a VIN, and whether it has a slip
void add_code(CLI::App& app, Common& common, Run& run);      // trouble codes taken apart
void add_convert(CLI::App& app, Common& common, Run& run);   // a quantity in another unit
void add_torque(CLI::App& app, Common& common, Run& run);    // plausible torque; adapters
void add_work_out(CLI::App& app, Common& common, Run& run);  // the trade's formulas
void add_vehicles(CLI::App& app, Common& common, Run& run);  // makes and models from a public file

// The same for two that need one: what may be the cause and what to check next; what a job came to.
void add_diagnose(CLI::App& app, Common& common, Run& run);
void add_record(CLI::App& app, Common& common, Run& run);
// And how parts have lasted; it reads the shop's files without the store.
void add_stats(CLI::App& app, Common& common, Run& run);

// Packs between locations, on the shop's files: sealing them; looking at them, taking them in and
// out; and the merging that version control asks for, which needs no shop.
void add_pack(CLI::App& app, Common& common, Run& run);
void add_unpack(CLI::App& app, Common& common, Run& run);
void add_merge(CLI::App& app, Common& common, Run& run);
// One folder at several terminals: copies that a file sync left, and what git and Syncthing want.
void add_copies(CLI::App& app, Common& common, Run& run);
void add_prepare(CLI::App& app, Common& common, Run& run);

// A verb with --json. --shop and --store are taken everywhere, so that one line of a script can
// carry them; this says nothing of whether they are used.
CLI::App* add_verb(CLI::App& app, Common& common, const char* name, const char* what);

}  // namespace baylore::cli
