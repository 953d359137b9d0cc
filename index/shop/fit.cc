#include "shop/fit.h"

#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "shop/scan.h"

namespace baylore::shop {
namespace {

constexpr int kFirstYear = 1900;
constexpr int kLastYear = 2100;

// The parts between bars, with where each starts in `text`; at most five, so that one too many is
// noticed.
std::vector<scan::Cell> between_bars(std::string_view text) {
  std::vector<scan::Cell> parts;
  std::size_t at = 0;
  while (parts.size() < 5) {
    const std::size_t bar = std::min(text.find('|', at), text.size());
    const std::string_view part = text.substr(at, bar - at);
    const std::size_t blanks = std::min(part.find_first_not_of(" \t"), part.size());
    parts.push_back({std::string(scan::trimmed(part)), at + blanks});
    if (bar == text.size()) break;
    at = bar + 1;
  }
  return parts;
}

// A year of four digits at the start of `text`, taken off it; 0 when there is none.
int take_year(std::string_view& text) {
  if (text.size() < 4 ||
      !std::all_of(text.begin(), text.begin() + 4, [](char c) { return c >= '0' && c <= '9'; })) {
    return 0;
  }
  int year = 0;
  for (const char c : text.substr(0, 4)) year = year * 10 + (c - '0');
  if (year < kFirstYear || year > kLastYear) return 0;
  text.remove_prefix(4);
  text = scan::trimmed(text);
  return year;
}

bool take_dash(std::string_view& text) {
  static constexpr std::array<std::string_view, 6> kDashes = {"-",      "\u2010", "\u2011",
                                                              "\u2012", "\u2013", "\u2014"};
  for (const std::string_view dash : kDashes) {
    if (text.substr(0, dash.size()) == dash) {
      text = scan::trimmed(text.substr(dash.size()));
      return true;
    }
  }
  return false;
}

Fit fit_of(const std::vector<scan::Cell>& parts, bool& years_read) {
  Fit fit;
  const auto part = [&](std::size_t i) { return i < parts.size() ? parts[i].text : std::string(); };
  fit.make = part(0);
  fit.model = part(1);
  years_read = read_years(part(2), fit.first_year, fit.last_year);
  fit.engine = part(3);
  return fit;
}

}  // namespace

bool read_years(std::string_view text, int& first, int& last) {
  first = 0;
  last = 0;
  text = scan::trimmed(text);
  if (text.empty()) return true;
  const int from = take_year(text);
  const bool dash = take_dash(text);
  const int to = dash ? take_year(text) : from;
  if (!text.empty() || (from == 0 && to == 0) || (from != 0 && to != 0 && to < from)) return false;
  first = from;
  last = to;
  return true;
}

std::string years_text(int first, int last) {
  if (first == 0 && last == 0) return {};
  if (first == last) return fmt::format("{}", first);
  if (last == 0) return fmt::format("{} on", first);
  if (first == 0) return fmt::format("to {}", last);
  return fmt::format("{}\u2013{}", first, last);
}

Fit read_fit(const Item& item, Notes& notes) {
  const std::vector<scan::Cell> parts = between_bars(item.value);
  bool years_read = true;
  Fit fit = fit_of(parts, years_read);
  fit.line = item.line;
  const auto column = [&](std::size_t part) {
    return item.column + scan::column_at(item.value, parts[part].at) - 1;
  };
  if (!years_read) {
    notes.add(Level::error, item.line, column(2), "years",
              fmt::format("`{}` are no model years", parts[2].text),
              "write 2014-2018, 2014, 2014- or -2018; until then the tip counts for any year");
  }
  if (parts.size() > 4) {
    notes.add(Level::warning, item.line, column(4), "fits",
              "more than make, model, years and engine", "write one vehicle a line");
  }
  if (fit.make.empty() && fit.model.empty() && fit.first_year == 0 && fit.last_year == 0 &&
      fit.engine.empty() && years_read) {
    notes.add(Level::warning, item.line, item.column, "fits", "a fit that names nothing",
              "write make | model | years | engine, or take the line out");
  }
  return fit;
}

Fit read_fit(std::string_view line) {
  bool years_read = true;
  return fit_of(between_bars(line), years_read);
}

std::string fit_line(const Fit& fit) {
  std::string years;
  if (fit.first_year != 0) years = fmt::format("{}", fit.first_year);
  if (fit.last_year != fit.first_year) {
    years += fit.last_year == 0 ? "-" : fmt::format("-{}", fit.last_year);
  }
  std::string out = fmt::format("{} | {} | {} | {}", fit.make, fit.model, years, fit.engine);
  while (!out.empty() && (out.back() == ' ' || out.back() == '|')) out.pop_back();
  return out;
}

std::string fit_text(const Fit& fit) {
  std::string out = fit.make;
  for (const std::string& part : {fit.model, years_text(fit.first_year, fit.last_year)}) {
    if (part.empty()) continue;
    if (!out.empty()) out += ' ';
    out += part;
  }
  if (!fit.engine.empty()) out += (out.empty() ? "" : ", ") + fit.engine;
  return out.empty() ? "any vehicle" : out;
}

}  // namespace baylore::shop
