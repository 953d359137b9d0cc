// Finds the tips worth ranking. FTS5 only says where the words stand; what that is worth is decided
// in rank.cc.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "search/terms.h"
#include "search/understand.h"
#include "store/schema.h"

struct sqlite3;

namespace baylore::search {

inline constexpr std::size_t kColumns = store::kFtsColumns.size();

// A term at one place of a tip.
struct Occurrence {
  std::size_t term = 0;
  std::size_t column = 0;
  int position = 0;   // in words, from 0
  double weight = 1;  // of the best phrase of the term at this place
  int words = 1;      // of that phrase
};

// Where the words stand in one tip.
struct Found {
  std::int64_t doc = 0;
  std::vector<Occurrence> occurrences;  // by column, then position
  std::array<int, kColumns> sizes{};    // words in each column
};

// What the ranking needs to know about all tips together.
struct Corpus {
  double tips = 0;
  std::array<double, kColumns> average{};  // words per column
  std::vector<double> having;              // of each term: how many tips have it
};

// Runs the MATCH for `terms` and calls `visit` for every tip found, in no particular order.
// `corpus` is filled before the first visit. SQLITE_OK, or SQLite's extended error code.
int find_words(sqlite3* connection, const std::vector<Term>& terms, bool all_words, Corpus& corpus,
               const std::function<void(const Found&)>& visit);

// Whether a tip lists a code, and how many tips do.
struct CodeFound {
  std::int64_t doc = 0;
  bool exact = false;  // the very code; else the same base with another or no failure type
};
std::vector<CodeFound> find_code(sqlite3* connection, const std::string& code);

// Tips that name the vehicle's make and model (or its year, when the line says no more).
std::vector<std::int64_t> find_vehicle(sqlite3* connection, const Vehicle& vehicle);

}  // namespace baylore::search
