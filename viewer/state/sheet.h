// What the Sheet screen shows: a tip's essential text as codes for a telephone, and where its
// working sheet is written to. Put together off the drawing thread.
#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <vector>

#include "sheet/codes.h"
#include "sheet/pdf.h"
#include "viewer/state/packs.h"

namespace baylore::viewer {

struct SheetPage {
  std::string tip;  // id it was made for
  std::string title;
  struct Part {
    std::string text;  // what the code holds
    sheet::Code code;
  };
  std::vector<Part> codes;                // one at least
  sheet::Paper paper = sheet::Paper::a4;  // as the shop says
  std::vector<PackPlace> places;          // folders to write to: sticks, then this terminal's own
};

struct SheetView {
  std::string opening;                    // id of the tip whose sheet was asked for
  std::shared_ptr<const SheetPage> page;  // nullptr: being made
  std::size_t at = 0;                     // which code shows
  bool paper_chosen = false;              // here; else the page's
  sheet::Paper paper = sheet::Paper::a4;
  std::string to;  // folder; empty: none that can be written to
  bool saving = false;
};

}  // namespace baylore::viewer
