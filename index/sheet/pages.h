// Placing rows on pages: what stands across the page first, then two columns, and what does not fit
// on the following pages.
#pragma once

#include <string_view>
#include <vector>

#include "sheet/press.h"

namespace baylore::sheet {

// Where rows may stand on every page.
struct Frame {
  double left = 0;
  double top = 0;        // of the first page
  double later_top = 0;  // of the others, below their header
  double bottom = 0;     // above the foot
  double column = 0;     // width
  double second = 0;     // x of the second column
  double again = 0;      // height of the heading of a section that goes on
};

struct Placed {
  const Row* row = nullptr;
  double x = 0;
  double y = 0;
};
// Where a section goes on at the top of a column.
struct Again {
  std::string_view section;
  std::size_t before = 0;  // which of the page's rows follows it
  double x = 0;
  double y = 0;
};
struct Page {
  std::vector<Placed> rows;
  std::vector<Again> again;
  double columns_from = 0;  // y at which the two columns begin; `bottom` when there are none
  double columns_to = 0;    // y of the lowest of them
};

// `across` from the top, breaking pages where it must. Then `first` in the left and `second` in the
// right column; what is left of both goes on, in this order, through both columns of the following
// pages, and comes out even on the last. Rows stay whole; those that belong together stay together
// unless a column is too short for them. At least one page. The rows must outlive the pages.
std::vector<Page> placed(const Rows& across, const Rows& first, const Rows& second,
                         const Frame& frame);

}  // namespace baylore::sheet
