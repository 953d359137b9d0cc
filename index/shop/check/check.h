// Finds what is wrong in a shop's texts: in one tip while it is typed, and across the whole shop.
// Everything here is advice for a person: nothing is changed, and nothing is ever blocked.
//
// Levels. error: what the file says cannot be right or is lost to the reader. warning: very likely
// wrong, or it can hurt someone. note: worth a look.
#pragma once

#include <atomic>
#include <cstdint>
#include <string>

#include "files/disk.h"
#include "files/result.h"
#include "shop/document.h"
#include "shop/finding.h"
#include "shop/tip.h"

namespace baylore::shop {

struct CheckOptions {
  // `2026-03-14`; empty: the clock's day. Model years may run to the year after it, dates to the
  // day after.
  std::string today;
  // How many threads read files; 0: as many as the machine has, at most 8.
  int threads = 0;
  // check_shop() gives up soon after this becomes true, with what it has: the report is then thrown
  // away by whoever stopped it.
  const std::atomic<bool>* stop = nullptr;
};

// All that one file alone can show: what read_tip() noticed and what is judged here, in line order.
// `tip` must be read from `document`. Needs no disk; well under 5 ms for a tip of usual size, so
// that it can run while somebody types. Thread-safe.
Findings check_tip(const Document& document, const Tip& tip, const CheckOptions& options = {});

struct ShopReport {
  Findings findings;  // all of them, by file, line and column
  Findings across;    // of these the ones that only several files together show, in that order
  std::int64_t tips = 0;
};

// Reads every text of the shop once (translations and their originals twice) and compares them.
// Between files only compact facts are kept, about 3 kB a tip. Fails only when the folder cannot be
// listed or is no shop; a file that cannot be read is a finding.
files::Result<ShopReport> check_shop(files::Disk& disk, const std::string& shop_folder,
                                     const CheckOptions& options = {});

}  // namespace baylore::shop
