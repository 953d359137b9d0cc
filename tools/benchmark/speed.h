// How fast searching, building and updating are, ours beside the two reference engines, over the
// same tips. Each function is one part, run in a process of its own in this order; all share the
// folder `work` and leave their figures there (figures.h). Each returns 0, or 2 when it could not
// run and has said why.
#pragma once

#include <string>

namespace baylore::benchmark {

// Reads the shop once: its tips as plain text for the reference engines, and what is typed at them:
// 500 lines of two to six words, and 60 more that are asked for letter by letter. Afterwards the
// files are in the system's cache, as all measurements of building want them.
int prepare_speed(const std::string& shop, const std::string& work);

// `engine`: ours, fts5, fts5-prefix, xapian. Ours reads and understands the files; the others are
// given the plain text.
int build_engine(const std::string& engine, const std::string& shop, const std::string& work);

// Asks every line and every beginning of a line. Three rounds, one after the other, unless the
// first took too long; a line's time is the shortest of them, because others work on the machine
// too, and the largest of all times is kept as well.
int ask_engine(const std::string& engine, const std::string& shop, const std::string& work);

// Changes one tip, brings the store up to date and asks until it is found; several times, each tip
// put back afterwards.
int time_updates(const std::string& shop, const std::string& work);

// The table, the targets that are met and those that are not, and if `row` is not empty a line more
// in that file of tab-separated values. 1 when a target is not met.
int report_speed(const std::string& work, const std::string& row);

}  // namespace baylore::benchmark
