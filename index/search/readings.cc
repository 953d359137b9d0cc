#include "search/readings.h"

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

#include "shop/fold.h"
#include "shop/scan.h"
#include "trade/quantity.h"
#include "trade/unit.h"

namespace baylore::search {
namespace {

// The longest unit is written in at most so many pieces: `80 ft lb`.
constexpr std::size_t kMostReadingPieces = 3;

// Words of English or Spanish first, units second: they count only when they touch the number.
bool word_first(std::string_view unit) {
  static constexpr std::array<std::string_view, 8> kWords = {"a", "in", "at", "h",
                                                             "m", "s",  "g",  "l"};
  return std::find(kWords.begin(), kWords.end(), unit) != kWords.end();
}

// Where the number at the front of `text` ends; 0 when there is none.
std::size_t number_end(std::string_view text) {
  std::size_t at = 0;
  if (at < text.size() && (text[at] == '-' || text[at] == '+')) ++at;
  const std::size_t start = at;
  bool any = false;
  while (at < text.size()) {
    if (shop::scan::is_digit(text[at])) {
      any = true;
    } else if (at + 1 >= text.size() || !shop::scan::is_digit(text[at + 1]) ||
               !(text[at] == '.' ? any || at == start
                                 : any && (text[at] == ',' || text[at] == '/'))) {
      break;
    }
    ++at;
  }
  return any ? at : 0;
}

std::optional<Reading> read(std::string_view text, bool apart) {
  const std::size_t end = number_end(text);
  if (end == 0 || end == text.size()) return std::nullopt;
  std::string_view unit_text = text.substr(end);
  while (!unit_text.empty() && unit_text.front() == ' ') unit_text.remove_prefix(1);
  const bool whole = text.substr(0, end).find_first_not_of("0123456789") == std::string_view::npos;
  if (apart && whole && word_first(unit_text)) return std::nullopt;
  const trade::Unit* unit = trade::find_unit(unit_text);
  if (unit == nullptr || unit->dimension == trade::Dimension::kCount) return std::nullopt;
  const auto parsed = trade::parse_quantity(text);
  const trade::Quantity* quantity = trade::value_in(parsed);
  if (quantity == nullptr) return std::nullopt;

  Reading reading;
  reading.typed = std::string(text);
  reading.shown = trade::authored(*quantity);
  const auto add = [&](std::vector<std::string> words) {
    if (words.empty() || std::find(reading.wordings.begin(), reading.wordings.end(), words) !=
                             reading.wordings.end()) {
      return;
    }
    reading.wordings.push_back(std::move(words));
  };
  const std::string number(text.substr(0, end));
  add(shop::words_of(number + " " + std::string(unit_text)));
  add(shop::words_of(number + std::string(unit_text)));
  add(shop::words_of(reading.shown));
  return reading;
}

}  // namespace

std::vector<FoundReading> take_readings(std::string_view line, std::vector<Piece>& pieces) {
  std::vector<FoundReading> found;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (pieces[i].taken) continue;
    const std::string_view whole = line.substr(pieces[i].begin, pieces[i].end - pieces[i].begin);
    if (number_end(whole) == 0 && number_end(pieces[i].typed) == 0) continue;
    for (std::size_t count = std::min(kMostReadingPieces, pieces.size() - i); count > 0; --count) {
      const Piece& last = pieces[i + count - 1];
      const bool free = std::none_of(pieces.begin() + static_cast<std::ptrdiff_t>(i),
                                     pieces.begin() + static_cast<std::ptrdiff_t>(i + count),
                                     [](const Piece& piece) { return piece.taken; });
      if (!free) continue;
      // With the marks around it first: `-40 °C`, `12 %`, `18"`.
      std::optional<Reading> reading;
      std::size_t tried_from = line.size();
      for (const std::size_t from : {pieces[i].begin, pieces[i].from}) {
        if (std::exchange(tried_from, from) == from) continue;
        reading = read(line.substr(from, last.end - from), count > 1);
        if (!reading && last.to != last.end) {
          reading = read(line.substr(from, last.to - from), count > 1);
        }
        if (reading) break;
      }
      if (!reading) continue;
      for (std::size_t taken = i; taken < i + count; ++taken) pieces[taken].taken = true;
      found.push_back({i, count, std::move(*reading)});
      i += count - 1;
      break;
    }
  }
  return found;
}

}  // namespace baylore::search
