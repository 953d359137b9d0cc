#include "sheet/pages.h"

#include <algorithm>

namespace baylore::sheet {
namespace {

constexpr double kLeastColumns = 40 * kMm;  // less room below than this: columns begin a new page

// Rows of one stream that are not placed yet.
struct Stream {
  const Rows* rows;
  std::size_t next = 0;
  [[nodiscard]] bool done() const { return next >= rows->size(); }
};

double height_between(const Rows& rows, std::size_t from, std::size_t to) {
  double sum = 0;
  for (std::size_t i = from; i < to; ++i) sum += rows[i].height;
  return sum;
}

// One column of a page that is being filled.
struct Column {
  double x = 0;
  double y = 0;              // of the next row
  double bottom = 0;         // rows end above
  bool fresh = true;         // nothing stands in it: going to another one would win nothing
  std::string_view section;  // of the last row
};

class Filler {
 public:
  explicit Filler(const Frame& frame) : frame_(frame), whole_(frame.bottom - frame.later_top) {}

  // Places what fits. On a later page a section that goes on says so.
  void fill(Stream& stream, Page& page, Column& column, bool later) const {
    const Rows& rows = *stream.rows;
    while (!stream.done()) {
      const Row& row = rows[stream.next];
      if (row.gap && column.fresh) {
        ++stream.next;
        continue;
      }
      const bool again =
          later && !row.gap && !row.opens && !row.section.empty() && row.section != column.section;
      std::size_t end = stream.next + 1;
      while (end < rows.size() && rows[end - 1].with_next) ++end;
      // What fits into no column is begun where it stands.
      const double together = height_between(rows, stream.next, end) + (again ? frame_.again : 0);
      const bool breaks = together > whole_;
      if (!breaks && column.y + together > column.bottom && !column.fresh) return;
      if (again) {
        page.again.push_back({row.section, page.rows.size(), column.x, column.y});
        column.y += frame_.again;
      }
      for (; stream.next < end; ++stream.next) {
        const double high = rows[stream.next].height;
        if (column.y + high > column.bottom && !column.fresh) return;
        page.rows.push_back({&rows[stream.next], column.x, column.y});
        column.y += high;
        column.fresh = false;
        column.section = rows[stream.next].section;
      }
    }
  }

  // A later page from both streams, its columns no longer than to `bottom`.
  Page page(Stream& one, Stream& two, double bottom) const {
    Page out;
    out.columns_from = frame_.later_top;
    for (const double x : {frame_.left, frame_.second}) {
      Column column{x, frame_.later_top, bottom, true, {}};
      fill(one, out, column, true);
      if (one.done()) fill(two, out, column, true);
      out.columns_to = std::max(out.columns_to, column.y);
    }
    return out;
  }

 private:
  const Frame& frame_;
  double whole_;
};

}  // namespace

std::vector<Page> placed(const Rows& across, const Rows& first, const Rows& second,
                         const Frame& frame) {
  constexpr double kShorter = 12;  // by how much the columns of the last page are tried
  const Filler filler(frame);
  std::vector<Page> pages(1);
  Stream top{&across};
  Column wide{frame.left, frame.top, frame.bottom, true, {}};
  for (;;) {
    filler.fill(top, pages.back(), wide, false);
    pages.back().columns_from = pages.back().columns_to = frame.bottom;
    if (top.done()) break;
    pages.emplace_back();
    wide = {frame.left, frame.later_top, frame.bottom, true, {}};
  }
  Stream one{&first};
  Stream two{&second};
  if (one.done() && two.done()) return pages;
  if (frame.bottom - wide.y < kLeastColumns) {
    pages.emplace_back();
    wide.y = frame.later_top;
  }
  const bool begun = wide.y > frame.later_top;
  pages.back().columns_from = wide.y;
  Column left{frame.left, wide.y, frame.bottom, !begun, {}};
  Column right{frame.second, wide.y, frame.bottom, !begun, {}};
  filler.fill(one, pages.back(), left, false);
  filler.fill(two, pages.back(), right, false);
  pages.back().columns_to = std::max(left.y, right.y);
  while (!one.done() || !two.done()) {
    const Stream one_before = one;
    const Stream two_before = two;
    pages.push_back(filler.page(one, two, frame.bottom));
    // The last page: as short as holds all of it, so that both columns are of about one length.
    for (double bottom = frame.bottom - kShorter;
         one.done() && two.done() && bottom > frame.later_top + kLeastColumns; bottom -= kShorter) {
      Stream one_again = one_before;
      Stream two_again = two_before;
      Page shorter = filler.page(one_again, two_again, bottom);
      if (!one_again.done() || !two_again.done()) break;
      pages.back() = std::move(shorter);
    }
  }
  return pages;
}

}  // namespace baylore::sheet
