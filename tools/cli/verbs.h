// The verbs of `baylore`, one file each. A verb prints for people by default and JSON with --json
// (JSON.md); what went wrong goes to standard error as `file:line:column: what is wrong: what to
// do`.
#pragma once

#include <string>
#include <vector>

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

}  // namespace baylore::cli
