#include "pack/diff.h"

#include <algorithm>
#include <cstdint>
#include <set>

#include "shop/scan.h"

namespace baylore::pack {
namespace {

using Lines = std::vector<std::string>;

bool same_lines(const Lines& a, const Lines& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const std::string& x, const std::string& y) { return bare(x) == bare(y); });
}

// `- item`, `| cell |`: lines that stand for themselves.
bool is_row(const std::string& line) {
  const std::string_view text = shop::scan::trimmed(bare(line));
  return text.starts_with('|') || shop::scan::bullet(bare(line)).has_value();
}

// Both sides' rows: each once, the block that comes first in byte order first, so that it does not
// matter which side is ours.
Lines both_rows(const Lines& ours, const Lines& theirs) {
  const Lines& first = theirs < ours ? theirs : ours;
  const Lines& second = theirs < ours ? ours : theirs;
  std::set<std::string_view> known;
  for (const std::string& line : first) known.insert(bare(line));
  Lines both = first;
  for (const std::string& line : second) {
    if (known.count(bare(line)) == 0) both.push_back(line);
  }
  return both;
}

Lines slice(const Lines& lines, std::size_t from, std::size_t to) {
  return {lines.begin() + static_cast<std::ptrdiff_t>(from),
          lines.begin() + static_cast<std::ptrdiff_t>(to)};
}

// Myers' greedy search over the middle parts of `a` and `b`, keeping the furthest reach of every
// round to find the way back.
class Search {
 public:
  Search(const Lines& a, const Lines& b, std::size_t skip, std::size_t a_size, std::size_t b_size)
      : a_(a), b_(b), skip_(skip), n_(signed_of(a_size)), m_(signed_of(b_size)) {}

  // False when the two differ in more lines than are looked for.
  bool find(std::vector<std::pair<std::size_t, std::size_t>>& into) {
    const std::ptrdiff_t most = std::min<std::ptrdiff_t>(n_ + m_, signed_of(kMostEdits));
    offset_ = most + 1;
    std::vector<std::ptrdiff_t> reach(static_cast<std::size_t>(2 * most + 3), 0);
    for (std::ptrdiff_t round = 0; round <= most; ++round) {
      rounds_.push_back(slice_of(reach, round));
      for (std::ptrdiff_t k = -round; k <= round; k += 2) {
        const bool down = k == -round || (k != round && at(reach, k - 1) < at(reach, k + 1));
        std::ptrdiff_t x = down ? at(reach, k + 1) : at(reach, k - 1) + 1;
        while (x < n_ && x - k < m_ && equal(x, x - k)) ++x;
        at(reach, k) = x;
        if (x >= n_ && x - k >= m_) {
          walk_back(round, into);
          return true;
        }
      }
    }
    return false;
  }

 private:
  static std::ptrdiff_t signed_of(std::size_t size) { return static_cast<std::ptrdiff_t>(size); }
  [[nodiscard]] bool equal(std::ptrdiff_t x, std::ptrdiff_t y) const {
    return bare(a_[skip_ + static_cast<std::size_t>(x)]) ==
           bare(b_[skip_ + static_cast<std::size_t>(y)]);
  }
  std::ptrdiff_t& at(std::vector<std::ptrdiff_t>& reach, std::ptrdiff_t k) const {
    return reach[static_cast<std::size_t>(k + offset_)];
  }
  // Diagonals -round-1 .. round+1 as they were before the round.
  [[nodiscard]] std::vector<std::ptrdiff_t> slice_of(const std::vector<std::ptrdiff_t>& reach,
                                                     std::ptrdiff_t round) const {
    const auto from = reach.begin() + (offset_ - round - 1);
    return {from, from + (2 * round + 3)};
  }

  void walk_back(std::ptrdiff_t round, std::vector<std::pair<std::size_t, std::size_t>>& into) {
    std::ptrdiff_t x = n_;
    std::ptrdiff_t y = m_;
    for (; round >= 0; --round) {
      const auto& reach = rounds_[static_cast<std::size_t>(round)];
      const auto before = [&](std::ptrdiff_t k) {
        return reach[static_cast<std::size_t>(k + round + 1)];
      };
      const std::ptrdiff_t k = x - y;
      const bool down = k == -round || (k != round && before(k - 1) < before(k + 1));
      const std::ptrdiff_t from_k = down ? k + 1 : k - 1;
      const std::ptrdiff_t from_x = round == 0 ? 0 : before(from_k);
      const std::ptrdiff_t from_y = round == 0 ? 0 : from_x - from_k;
      while (x > from_x && y > from_y) {
        --x;
        --y;
        into.emplace_back(skip_ + static_cast<std::size_t>(x), skip_ + static_cast<std::size_t>(y));
      }
      x = from_x;
      y = from_y;
    }
    std::reverse(into.begin(), into.end());
  }

  const Lines& a_;
  const Lines& b_;
  std::size_t skip_;
  std::ptrdiff_t n_;
  std::ptrdiff_t m_;
  std::ptrdiff_t offset_ = 0;
  std::vector<std::vector<std::ptrdiff_t>> rounds_;
};

}  // namespace

std::vector<std::string> lines_with_ends(std::string_view text) {
  std::vector<std::string> lines;
  while (!text.empty()) {
    const std::size_t end = text.find('\n');
    const std::size_t size = end == std::string_view::npos ? text.size() : end + 1;
    lines.emplace_back(text.substr(0, size));
    text.remove_prefix(size);
  }
  return lines;
}

std::string_view bare(std::string_view line) {
  if (line.ends_with('\n')) line.remove_suffix(1);
  if (line.ends_with('\r')) line.remove_suffix(1);
  return line;
}

std::vector<std::pair<std::size_t, std::size_t>> matches(const Lines& a, const Lines& b) {
  std::size_t front = 0;
  const std::size_t shorter = std::min(a.size(), b.size());
  while (front < shorter && bare(a[front]) == bare(b[front])) ++front;
  std::size_t back = 0;
  while (back < shorter - front && bare(a[a.size() - 1 - back]) == bare(b[b.size() - 1 - back])) {
    ++back;
  }
  std::vector<std::pair<std::size_t, std::size_t>> found;
  for (std::size_t i = 0; i < front; ++i) found.emplace_back(i, i);
  std::vector<std::pair<std::size_t, std::size_t>> middle;
  if (Search(a, b, front, a.size() - front - back, b.size() - front - back).find(middle))
    found.insert(found.end(), middle.begin(), middle.end());
  for (std::size_t i = back; i > 0; --i) found.emplace_back(a.size() - i, b.size() - i);
  return found;
}

std::size_t distance(std::string_view a, std::string_view b) {
  const Lines left = lines_with_ends(a);
  const Lines right = lines_with_ends(b);
  return left.size() + right.size() - 2 * matches(left, right).size();
}

bool merge_lines(const Lines& base, const Lines& ours, const Lines& theirs, Lines& into) {
  // For every line of the base its place on either side, or none.
  constexpr std::size_t kNone = SIZE_MAX;
  std::vector<std::size_t> in_ours(base.size(), kNone);
  std::vector<std::size_t> in_theirs(base.size(), kNone);
  for (const auto& [at, place] : matches(base, ours)) in_ours[at] = place;
  for (const auto& [at, place] : matches(base, theirs)) in_theirs[at] = place;
  bool whole = true;
  std::size_t b = 0;
  std::size_t o = 0;
  std::size_t t = 0;
  while (b < base.size() || o < ours.size() || t < theirs.size()) {
    // The next line that all three have.
    std::size_t next = b;
    while (next < base.size() && (in_ours[next] == kNone || in_theirs[next] == kNone)) ++next;
    const bool end = next == base.size();
    const std::size_t o_end = end ? ours.size() : in_ours[next];
    const std::size_t t_end = end ? theirs.size() : in_theirs[next];
    const Lines from = slice(base, b, next);
    const Lines left = slice(ours, o, o_end);
    const Lines right = slice(theirs, t, t_end);
    Lines taken = left;
    if (!same_lines(left, right)) {
      if (same_lines(from, left)) {
        taken = right;
      } else if (!same_lines(from, right)) {
        const bool rows = from.empty() && std::all_of(left.begin(), left.end(), is_row) &&
                          std::all_of(right.begin(), right.end(), is_row);
        if (rows) {
          taken = both_rows(left, right);
        } else {
          whole = false;
        }
      }
    }
    into.insert(into.end(), taken.begin(), taken.end());
    if (!end) into.push_back(ours[o_end]);
    b = next + 1;
    o = o_end + 1;
    t = t_end + 1;
    if (end) break;
  }
  return whole;
}

}  // namespace baylore::pack
