// The verbs of `baylore`, one file each. A verb prints for people by default and JSON with --json
// (JSON.md); what went wrong goes to standard error as `file:line:column: what is wrong: what to
// do`.
#pragma once

#include "arguments.h"

namespace baylore::cli {

// Exit codes, the same for every verb.
inline constexpr int kDone = 0;
inline constexpr int kFindings = 1;
inline constexpr int kCouldNotRun = 2;

// Each adds its verb to the command line, with what it takes and does.

// On a shop's files and its store.
void add_build(Arguments& arguments);     // the store brought up to date, and what changed
void add_check(Arguments& arguments);     // findings of the whole shop
void add_search(Arguments& arguments);    // tips for a line; TREC runs
void add_show(Arguments& arguments);      // one tip as plain text
void add_sheet(Arguments& arguments);     // one tip as a working sheet to print
void add_diagnose(Arguments& arguments);  // what may be the cause and what to check next
void add_record(Arguments& arguments);    // what a job came to
void add_stats(Arguments& arguments);     // how parts have lasted; needs no store

// Packs between locations, on the shop's files: sealing them; looking at them, taking them in and
// out; and the merging that version control asks for, which needs no shop.
void add_pack(Arguments& arguments);
void add_unpack(Arguments& arguments);
void add_merge(Arguments& arguments);
// One folder at several terminals: copies that a file sync left, and what git and Syncthing want.
void add_copies(Arguments& arguments);
void add_prepare(Arguments& arguments);

void add_vehicles(Arguments& arguments);  // makes and models from a public file
// That need no shop.
void add_vin(Arguments& arguments);       // a VIN, and whether it has a slip
void add_code(Arguments& arguments);      // trouble codes taken apart
void add_convert(Arguments& arguments);   // a quantity in another unit
void add_torque(Arguments& arguments);    // plausible torque; adapters
void add_work_out(Arguments& arguments);  // the trade's formulas

}  // namespace baylore::cli
