#include "shop/notes.h"

#include <algorithm>
#include <limits>

#include <fmt/format.h>

#include "shop/scan.h"

namespace baylore::shop {
namespace {

// Optimal string alignment: Damerau-Levenshtein without a second edit of a swapped pair. Only short
// words come here.
std::size_t slips_between(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before(b.size() + 1);
  std::vector<std::size_t> above(b.size() + 1);
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) above[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t change = a[i - 1] == b[j - 1] ? 0 : 1;
      row[j] = std::min({above[j] + 1, row[j - 1] + 1, above[j - 1] + change});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        row[j] = std::min(row[j], before[j - 2] + 1);
    }
    std::swap(before, above);
    std::swap(above, row);
  }
  return above[b.size()];
}

}  // namespace

void Notes::add(Level level, int line, int column, std::string rule, std::string message,
                std::string remedy) {
  if (added_ > kMost) return;
  if (added_++ == kMost) {
    level = Level::note;
    rule = "more";
    message = "more findings follow";
    remedy = "mend the ones above first";
  }
  into_.push_back({file_, line > 0 ? line : 1, column > 0 ? column : 1, level, std::move(rule),
                   std::move(message), std::move(remedy)});
}

void Notes::refused(Level level, const Item& item, std::string rule,
                    const trade::Refusal& refusal) {
  const int column =
      item.column + scan::column_at(item.value, std::min(refusal.at, item.value.size())) - 1;
  add(level, item.line, column, std::move(rule),
      fmt::format("`{}`: {}", excerpt(item.value), refusal.what), refusal.remedy);
}

void Notes::take(const Document& document) {
  for (const Problem& p : document.problems())
    add(p.level, p.line, p.column, p.rule, p.what, p.remedy);
}

std::vector<Item> items_of(const Field* field) {
  std::vector<Item> out;
  if (field == nullptr) return out;
  if (!field->value.empty()) out.push_back(item_of(*field));
  out.insert(out.end(), field->items.begin(), field->items.end());
  return out;
}

std::string_view nearest(std::string_view word, const std::vector<std::string>& candidates) {
  constexpr std::size_t kLongest = 40;
  if (word.size() < 3 || word.size() > kLongest) return {};
  if (std::find(candidates.begin(), candidates.end(), word) != candidates.end()) return {};
  std::string_view best;
  std::size_t fewest = std::numeric_limits<std::size_t>::max();
  for (const std::string& candidate : candidates) {
    const std::size_t allowed = std::min(word.size(), candidate.size()) < 6 ? 1 : 2;
    const std::size_t longer = std::max(word.size(), candidate.size());
    if (longer - std::min(word.size(), candidate.size()) > allowed) continue;
    const std::size_t slips = slips_between(word, candidate);
    if (slips <= allowed && slips < fewest) {
      fewest = slips;
      best = candidate;
    }
  }
  return best;
}

std::string excerpt(std::string_view text) {
  constexpr std::size_t kMost = 60;
  std::size_t end = std::min(text.size(), kMost);
  const auto inside = [&](std::size_t at) {  // of a character of several bytes
    return at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U;
  };
  // Bytes that are no UTF-8 have no character to keep whole.
  for (int i = 0; i < 3 && end > 0 && inside(end); ++i) --end;
  std::string out(text.substr(0, end));
  std::replace_if(
      out.begin(), out.end(),
      [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; }, ' ');
  return end < text.size() ? out + " ..." : out;
}

}  // namespace baylore::shop
