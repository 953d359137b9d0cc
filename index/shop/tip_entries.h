// The sections of a tip that hold entries, each read into its own kind.
#pragma once

#include "shop/notes.h"
#include "shop/tip.h"

namespace baylore::shop {

void read_checks(const Section& section, Notes& notes, Tip& tip);
void read_fasteners(const Section& section, Notes& notes, Tip& tip);
void read_parts(const Section& section, Notes& notes, Tip& tip);
void read_verify(const Section& section, Notes& notes, Tip& tip);

// Minutes as a number, or with a unit of time: `95`, `1.5 h`. 0 and a finding when it is neither.
double read_minutes(const Item& item, Notes& notes);

}  // namespace baylore::shop
