// The measures of the guided diagnosis: what `tools/bench diagnosis` runs.
#pragma once

#include <cstdint>
#include <random>
#include <string>
#include <vector>

#include "diagnosis/case.h"
#include "diagnosis/plan.h"

namespace baylore::benchmark {

struct Simulated {
  std::string system;
  diagnosis::Case book;
};

// The cases of a shop: one for each of its tips, whose title is the complaint. Empty, and said why,
// when the shop cannot be read.
std::vector<Simulated> shop_cases(const std::string& shop_folder);

// Complaints with 2 to 12 look-alike causes each, `tips` causes in all. Strength words, minutes,
// covers and shared checks come in the proportions of the demo shop's tips.
std::vector<Simulated> generated_cases(std::size_t tips, std::uint64_t seed);

// How the world differs from what the tips say.
enum class World {
  as_written,    // answers come as the words say
  wrong_words,   // every strength word is one step from what it should be
  dependent,     // half of the checks of a job fail together
  not_in_a_tip,  // the cause is one that no tip has
};

// Simulates `draws` jobs of each case and prints a table; false when the diagnosis is worse than a
// simple rule.
bool simulate(const std::string& name, const std::vector<Simulated>& cases, World world, int draws);

// The planner against the exact optimum on `count` small cases; false when it misses the target.
bool compare_with_optimum(int count);

// The next check for 50 causes and 300 checks; false above 20 ms.
bool measure_next_check();

// 100,000 records read and pooled, and 100 more after; false above 1 s.
bool measure_records();

// Two processes append for so many seconds while this one reads; false when a record is lost, torn
// or twice.
bool append_together(int seconds);

}  // namespace baylore::benchmark
