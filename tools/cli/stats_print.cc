#include "stats_print.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "shop/records.h"

namespace baylore::cli {
namespace {

using nlohmann::json;
using quality::Rival;

constexpr std::size_t kMostRecords = 200;  // ids behind one row; --json says how many there are

// As wide as people see it: bytes that continue a character take no room.
std::string padded(const std::string& text, std::size_t width) {
  const auto seen = static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  }));
  return text + std::string(seen < width ? width - seen : 0, ' ');
}

std::string share_words(const quality::Interval& share) {
  return fmt::format("{:.0f} to {:.0f} %", 100 * share.low, 100 * share.high);
}

json to_json(const quality::Interval& interval) { return {interval.low, interval.high}; }

json number_or_null(double value) { return std::isfinite(value) ? json(value) : json(); }

json to_json(const quality::Tally& tally) {
  return {{"fitted", tally.fitted},
          {"in_service", tally.in_service},
          {"failed", tally.failed},
          {"unclear", tally.unclear},
          {"dead_on_arrival", tally.dead_on_arrival}};
}

json to_json(const quality::Curve& curve) {
  json steps = json::array();
  for (const quality::Step& step : curve.steps) {
    const quality::Interval sure =
        quality::band(step, quality::Band::log_log, quality::kScreenConfidence);
    steps.push_back({{"time", step.time},
                     {"at_risk", step.at_risk},
                     {"failed", step.failed},
                     {"in_service", step.survival},
                     {"low", number_or_null(sure.low)},
                     {"high", number_or_null(sure.high)}});
  }
  const auto median = curve.median();
  return {{"count", curve.count},
          {"longest", curve.longest},
          {"median", median ? json(*median) : json()},
          {"steps", steps}};
}

json to_json(const std::variant<quality::WeibullFit, quality::NoFit>& wear) {
  if (const auto* none = std::get_if<quality::NoFit>(&wear)) return {{"why_not", none->why}};
  const auto& fit = std::get<quality::WeibullFit>(wear);
  const quality::Wear pattern = quality::wear_of(fit);
  return {{"shape", fit.shape},
          {"shape_sure", to_json(fit.shape_interval(quality::kScreenConfidence))},
          {"scale_months", fit.scale},
          {"one_in_ten_months", fit.time_when(0.1)},
          {"one_in_ten_sure", to_json(fit.time_interval(0.1, quality::kScreenConfidence))},
          {"pattern", pattern == quality::Wear::early  ? "early"
                      : pattern == quality::Wear::late ? "late"
                                                       : "none"},
          {"few", fit.few}};
}

json cost_json(const quality::History& history, const Table& table, const Rival& rival,
               const quality::Rates& rates) {
  const auto choice = quality::choice_of(history, table.standing, rival, rates);
  if (!choice) return {};
  const quality::ExpectedCost cost = quality::expected_cost(*choice);
  return {{"price", choice->price},
          {"comeback", choice->comeback.sum()},
          {"expected", cost.mean},
          {"sure", to_json(cost.interval)},
          {"until_good", number_or_null(cost.until_good)}};
}

// Fisher's two-sided test of the row against the others, on whole windows' worth of parts.
double fisher_of(const quality::Standing& standing, const Rival& rival) {
  const auto whole = [](double value) { return static_cast<int>(std::lround(value)); };
  const quality::Count& all = standing.all.judged.window;
  const quality::Count& own = rival.judged.window;
  return quality::fisher_exact(whole(own.hits), whole(own.of - own.hits),
                               whole(all.hits - own.hits),
                               std::max(0, whole(all.of - own.of - all.hits + own.hits)))
      .two_sided;
}

json to_json(const quality::History& history, const Table& table, const Rival& rival,
             const quality::Rates& rates) {
  const quality::Judged& judged = rival.judged;
  json records = json::array();
  for (std::size_t i = 0; i < rival.failures.size() && i < kMostRecords; ++i)
    records.push_back(std::string(history.record_id(rival.failures[i])));
  json row = {{"name", rival.name},
              {"brand", rival.brand},
              {"grade", std::string(shop::grade_word(rival.grade))},
              {"all", to_json(rival.all)},
              {"here", to_json(rival.own)},
              {"window_hits", judged.window.hits},
              {"window_of", judged.window.of},
              {"share", judged.mean},
              {"share_sure", to_json(judged.share)},
              {"share_here", rival.own_mean},
              {"share_here_sure", to_json(rival.own_share)},
              {"share_drawn_in", judged.drawn_in.mean()},
              {"chance_worse", judged.chance_worse},
              {"times_as_often", number_or_null(judged.times)},
              {"p_lives_worse", judged.lives.a_worse},
              {"p_log_rank", judged.lives.p},
              {"p_fisher", fisher_of(table.standing, rival)},
              {"verdict", std::string(quality::verdict_word(judged.verdict))},
              {"often_dead", rival.often_dead},
              {"dead_share_sure", to_json(rival.dead_share)},
              {"months", to_json(rival.months)},
              {"km", to_json(rival.km)},
              {"wear", to_json(rival.wear)},
              {"failures", records}};
  if (table.standing.by == quality::By::number)
    row["cost"] = cost_json(history, table, rival, rates);
  return row;
}

}  // namespace

std::string by_word(quality::By by) {
  switch (by) {
    case quality::By::number:
      return "number";
    case quality::By::brand:
      return "brand";
    case quality::By::grade:
      return "grade";
    case quality::By::lot:
      break;
  }
  return "lot";
}

void print_table(const quality::History& history, const Table& table) {
  const quality::Standing& standing = table.standing;
  fmt::print("{}\n", table.title);
  const bool several = history.locations().size() > 1;
  fmt::print("  {}fitted  failed  dead  {}came back within {:g} months   verdict\n",
             padded(by_word(standing.by), 24), several ? "here  " : "", standing.window_months);
  const auto row = [&](const Rival& rival, const std::string& verdict) {
    std::string here;
    if (several) here = fmt::format("{:>4}  ", rival.own.fitted);
    const bool told = rival.judged.window.of >= quality::kFewest;
    const std::string share = told ? share_words(rival.judged.share) : "";
    fmt::print("  {}{:>6}  {:>6}  {:>4}  {}{}  {}\n", padded(rival.name, 24), rival.all.fitted,
               rival.all.failed, rival.all.dead_on_arrival, here, padded(share, 26), verdict);
  };
  for (const Rival& rival : standing.rivals)
    row(rival, std::string(quality::verdict_word(rival.judged.verdict)));
  row(standing.all, "");
  for (const Rival& rival : standing.rivals) {
    if (!rival.often_dead) continue;
    fmt::print("  {}: often bad in the box, {} of {}\n", rival.name, rival.all.dead_on_arrival,
               rival.all.dead_on_arrival + rival.all.fitted);
  }
  for (const Rival& rival : standing.rivals) {
    const auto* fit = std::get_if<quality::WeibullFit>(&rival.wear);
    if (fit == nullptr || fit->few || quality::wear_of(*fit) == quality::Wear::unknown) continue;
    fmt::print("  {}: {}\n", rival.name, quality::in_words(rival.wear));
  }
}

void print_costs(const quality::History& history, const Table& table, const quality::Rates& rates) {
  const quality::Standing& standing = table.standing;
  const bool critical =
      std::any_of(standing.families.begin(), standing.families.end(), [&](std::size_t family) {
        return family < history.parts().families().size() &&
               history.parts().families()[family].safety_critical;
      });
  if (critical) {
    fmt::print(
        "  Safety hangs on this part: choose on grade and the maker's word, not on money.\n");
    return;
  }
  struct Row {
    const Rival* rival;
    quality::Choice choice;
    quality::ExpectedCost cost;
  };
  std::vector<Row> rows;
  for (const Rival& rival : standing.rivals) {
    if (const auto choice = quality::choice_of(history, standing, rival, rates))
      rows.push_back({&rival, *choice, quality::expected_cost(*choice)});
  }
  if (rows.empty()) return;
  std::sort(rows.begin(), rows.end(),
            [](const Row& a, const Row& b) { return a.cost.mean < b.cost.mean; });
  fmt::print("  {}price  with comebacks  9 in 10 sure\n", padded("What it really costs", 24));
  for (const Row& row : rows) {
    fmt::print("  {}{:>6.0f}  {:>14.0f}  {:.0f} to {:.0f}", padded(row.rival->name, 22),
               row.choice.price, row.cost.mean, row.cost.interval.low, row.cost.interval.high);
    if (&row != &rows.front()) {
      fmt::print(", {:.0f} % sure to be dearer than the first",
                 100 * quality::chance_costs_more(row.choice, rows.front().choice));
    } else if (rows.size() > 1) {
      if (const auto even = quality::break_even_share(row.choice, rows[1].choice))
        fmt::print(", until {:.0f} % come back", 100 * *even);
    }
    fmt::print("\n");
  }
}

json to_json(const quality::History& history, const Table& table, const quality::Rates& rates) {
  json rivals = json::array();
  for (const Rival& rival : table.standing.rivals)
    rivals.push_back(to_json(history, table, rival, rates));
  return {{"title", table.title},
          {"by", by_word(table.standing.by)},
          {"window_months", table.standing.window_months},
          {"brands_scatter",
           {{"mean", table.standing.scatter.mean},
            {"strength", table.standing.scatter.strength},
            {"estimated", table.standing.scatter.estimated}}},
          {"rivals", rivals},
          {"all", to_json(history, table, table.standing.all, rates)}};
}

std::string csv_names() {
  return shop::csv_line(
             {"table",       "by",          "name",           "brand",        "grade",
              "fitted",      "in_service",  "failed",         "unclear",      "dead_on_arrival",
              "fitted_here", "failed_here", "window_hits",    "window_of",    "share",
              "share_low",   "share_high",  "share_drawn_in", "chance_worse", "p_lives_worse",
              "verdict"}) +
         "\n";
}

std::string csv_rows(const Table& table) {
  std::string rows;
  const auto number = [](double value) { return fmt::format("{:.6g}", value); };
  for (const Rival& rival : table.standing.rivals) {
    const quality::Judged& judged = rival.judged;
    rows += shop::csv_line({table.title,
                            by_word(table.standing.by),
                            rival.name,
                            rival.brand,
                            std::string(shop::grade_word(rival.grade)),
                            std::to_string(rival.all.fitted),
                            std::to_string(rival.all.in_service),
                            std::to_string(rival.all.failed),
                            std::to_string(rival.all.unclear),
                            std::to_string(rival.all.dead_on_arrival),
                            std::to_string(rival.own.fitted),
                            std::to_string(rival.own.failed),
                            number(judged.window.hits),
                            number(judged.window.of),
                            number(judged.mean),
                            number(judged.share.low),
                            number(judged.share.high),
                            number(judged.drawn_in.mean()),
                            number(judged.chance_worse),
                            number(judged.lives.a_worse),
                            std::string(quality::verdict_word(judged.verdict))}) +
            "\n";
  }
  return rows;
}

}  // namespace baylore::cli
