// How parts have lasted: one number and its rivals, a component, a brand, or the whole shop.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>

#include "files/disk.h"
#include "files/names.h"
#include "opened.h"
#include "quality/note.h"
#include "shop/fold.h"
#include "shop/part_book.h"
#include "shop/records.h"
#include "shop/shop.h"
#include "shop/tip.h"
#include "stats_plot.h"
#include "stats_print.h"

namespace baylore::cli {
namespace {

using nlohmann::json;
using quality::By;
using quality::History;

struct StatsAsked {
  std::string part;
  std::string component;
  std::string brand;
  std::string by;
  std::string as_of;
  std::string plot;
  std::optional<double> goodwill;  // not given: the shop's own
  bool own = false;
  bool csv = false;
  bool notes = false;
};

std::optional<By> by_of(const std::string& word) {
  for (const By by : {By::number, By::brand, By::grade, By::lot}) {
    if (by_word(by) == word) return by;
  }
  return std::nullopt;
}

Table table_of(const History& history, const std::vector<std::size_t>& families, By by,
               const StatsAsked& asked, std::string title) {
  quality::Among among;
  among.own_only = asked.own;
  return {std::move(title), quality::standing_of(history, families, by, among)};
}

// The families whose component, title or file is this; several of one component are told together.
std::vector<std::size_t> families_of(const History& history, const std::string& component) {
  const std::string wanted = shop::fold(component);
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < history.parts().families().size(); ++i) {
    const shop::PartFamily& family = history.parts().families()[i];
    if (shop::fold(family.component) == wanted || shop::fold(family.title) == wanted ||
        shop::fold(family.slug) == wanted) {
      found.push_back(i);
    }
  }
  return found;
}

void print_number(const History& history, const shop::PartBook::Place& place) {
  const shop::PartFamily& family = history.parts().family(place);
  const shop::PartNumber& number = history.parts().number(place);
  fmt::print("{}: {}{}{}\n", number.name, family.title,
             number.grade == shop::Grade::unknown ? "" : ", ", shop::grade_word(number.grade));
  if (!number.text.empty()) fmt::print("  {}\n", number.text);
  const shop::PartBook::Chain chain = history.parts().superseded(place);
  if (chain.ring) {
    fmt::print("  What supersedes it leads in a ring: baylore check tells where.\n");
  } else if (!chain.not_listed.empty()) {
    fmt::print("  Superseded by {}, which no part file lists.\n", chain.not_listed);
  } else if (!chain.later.empty()) {
    fmt::print("  Superseded by {}.\n", history.parts().number(chain.later.back()).name);
  }
  fmt::print("  Order:\n");
  for (const shop::OrderLine& line : shop::order_list(family, number)) {
    fmt::print("    {} x {}{}{}{}\n", line.amount, line.what,
               line.price > 0 ? fmt::format(", {:.2f}", line.price) : "",
               line.note.empty() ? "" : ": ", line.note);
  }
}

json number_json(const History& history, const shop::PartBook::Place& place) {
  const shop::PartFamily& family = history.parts().family(place);
  const shop::PartNumber& number = history.parts().number(place);
  json order = json::array();
  for (const shop::OrderLine& line : shop::order_list(family, number)) {
    order.push_back(
        {{"what", line.what}, {"amount", line.amount}, {"price", line.price}, {"note", line.note}});
  }
  json later = json::array();
  const shop::PartBook::Chain chain = history.parts().superseded(place);
  for (const auto& next : chain.later) later.push_back(history.parts().number(next).name);
  return {{"name", number.name},    {"family", family.id},
          {"path", family.path},    {"grade", std::string(shop::grade_word(number.grade))},
          {"price", number.price},  {"gtin", number.gtin},
          {"superseded_by", later}, {"order", order}};
}

class Telling {
 public:
  Telling(const Common& common, const StatsAsked& asked, const History& history,
          const quality::Rates& rates)
      : common_(common), asked_(asked), history_(history), rates_(rates) {}

  int part() {
    const shop::PartBook::Found found = history_.parts().find(asked_.part);
    if (found.places.empty()) {
      std::string said = "--part " + asked_.part + ": no part file lists it";
      if (!found.elsewhere.empty()) {
        said += fmt::format("; {} has this number: name that brand if it is meant",
                            history_.parts().number(found.elsewhere.front()).brand);
      } else {
        said += ": baylore stats --component shows what is listed";
      }
      complain(said);
      return kCouldNotRun;
    }
    if (found.places.size() > 1) {
      std::string names;
      for (const auto& place : found.places)
        names += (names.empty() ? "" : ", ") + history_.parts().number(place).name;
      complain("--part " + asked_.part + ": may be any of " + names + ": name the brand");
      return kCouldNotRun;
    }
    const shop::PartBook::Place place = found.places.front();
    if (plain()) {
      if (found.how == shop::PartBook::How::folded)
        fmt::print("Read as {}.\n", history_.parts().number(place).name);
      print_number(history_, place);
    }
    part_ = number_json(history_, place);
    const shop::PartFamily& family = history_.parts().family(place);
    if (!add(table_of(history_, {place.family}, chosen(By::number), asked_, family.title), true))
      return kCouldNotRun;
    lots(place);
    return finish();
  }

  int component() {
    const std::vector<std::size_t> families = families_of(history_, asked_.component);
    if (families.empty()) {
      complain("--component " + asked_.component +
               ": no part file is about it: baylore stats lists what there is");
      return kCouldNotRun;
    }
    const std::string& title = history_.parts().families()[families.front()].component;
    if (!add(table_of(history_, families, chosen(By::brand), asked_, title), true))
      return kCouldNotRun;
    return finish();
  }

  int brand() {
    const std::string wanted = shop::fold(asked_.brand);
    bool any = false;
    for (const auto& [component, families] : by_component()) {
      Table table = table_of(history_, families, By::brand, asked_, component);
      auto& rivals = table.standing.rivals;
      rivals.erase(std::remove_if(rivals.begin(), rivals.end(),
                                  [&](const quality::Rival& rival) {
                                    return shop::fold(rival.brand) != wanted;
                                  }),
                   rivals.end());
      if (rivals.empty()) continue;
      any = true;
      if (!add(table, false)) return kCouldNotRun;
    }
    for (const quality::BrandLine& line : brand_lines()) {
      if (shop::fold(line.name) != wanted) continue;
      brand_ = {{"name", line.name},
                {"components", line.components},
                {"observed", line.observed},
                {"expected", line.expected},
                {"p_worse", line.a_worse},
                {"verdict", std::string(quality::verdict_word(line.verdict))}};
      if (!plain()) continue;
      fmt::print("\n{} in all: {}; {:.1f} would have failed were it as good as its rivals: {}\n",
                 line.name, quality::in_words(line.all), line.expected,
                 quality::verdict_word(line.verdict));
    }
    if (!any) {
      complain("--brand " + asked_.brand + ": nothing of it was fitted");
      return kCouldNotRun;
    }
    return finish();
  }

  // What tips and part files say of a part, where the records say the opposite.
  int notes() {
    struct Note {
      std::string file;
      int line;
      std::string name;
      std::string text;
    };
    std::vector<Note> all;
    files::Disk& disk = files::real_disk();
    if (const auto listed = disk.list(common_.shop)) {
      for (const files::Listed& one : *listed) {
        if (one.status.folder || shop::kind_of(one.path) != shop::Kind::tip) continue;
        const auto text = shop::read_text(disk, common_.shop, one.path);
        if (!text) continue;
        const shop::Tip tip = shop::read_tip(shop::Document::parse(*text), one.path);
        for (const shop::PartRef& part : tip.parts)
          all.push_back({one.path, part.line, part.name, part.text});
      }
    }
    for (const shop::PartFamily& family : history_.parts().families()) {
      for (const shop::PartNumber& number : family.numbers)
        all.push_back({family.path, number.line, number.brand + " " + number.number, number.text});
    }
    std::map<std::size_t, quality::Standing> standings;
    json found = json::array();
    for (const Note& note : all) {
      if (quality::leaning_of(note.text) == quality::Leaning::none) continue;
      const auto places = history_.parts().find(note.name).places;
      if (places.size() != 1) continue;
      const auto [at, fresh] = standings.try_emplace(places.front().family);
      if (fresh) at->second = quality::standing_of(history_, {places.front().family}, By::number);
      for (const quality::Rival& rival : at->second.rivals) {
        if (!rival.place || !(*rival.place == places.front())) continue;
        const std::string said = quality::contradiction(note.text, rival);
        if (said.empty()) continue;
        if (!common_.json) fmt::print("{}:{}: {}: {}\n", note.file, note.line, note.name, said);
        found.push_back(
            {{"file", note.file}, {"line", note.line}, {"part", note.name}, {"said", said}});
      }
    }
    if (common_.json) print({{"notes", found}});
    return found.empty() ? kDone : kFindings;
  }

  // Every family, and of its rivals those that stand out.
  int shop() {
    for (std::size_t i = 0; i < history_.parts().families().size(); ++i) {
      Table table =
          table_of(history_, {i}, chosen(By::number), asked_, history_.parts().families()[i].title);
      if (!plain()) {
        if (!add(table, false)) return kCouldNotRun;
        continue;
      }
      fmt::print("{}: {}\n", table.title, quality::in_words(table.standing.all.all));
      for (const quality::Rival& rival : table.standing.rivals) {
        if (rival.often_dead) {
          fmt::print("  {}: often bad in the box, {} of {}\n", rival.name,
                     rival.all.dead_on_arrival, rival.all.dead_on_arrival + rival.all.fitted);
        }
        if (rival.judged.verdict < quality::Verdict::likely_worse) continue;
        fmt::print("  {}: {}; {}\n", rival.name, quality::in_words(rival.all),
                   quality::in_words(rival.judged, table.standing.window_months));
      }
    }
    if (plain()) {
      for (const quality::BrandLine& line : brand_lines()) {
        if (line.verdict < quality::Verdict::likely_worse) continue;
        fmt::print("{} in all: {}; {:.1f} would have failed were it as good as its rivals: {}\n",
                   line.name, quality::in_words(line.all), line.expected,
                   quality::verdict_word(line.verdict));
      }
      const auto& others = history_.fitted(history_.not_listed());
      if (!others.empty()) {
        fmt::print("Fitted, and in no part file: {}\n", others.size());
      }
    }
    return finish();
  }

 private:
  [[nodiscard]] bool plain() const { return !common_.json && !asked_.csv; }
  [[nodiscard]] By chosen(By usual) const { return by_of(asked_.by).value_or(usual); }

  [[nodiscard]] std::map<std::string, std::vector<std::size_t>> by_component() const {
    std::map<std::string, std::vector<std::size_t>> families;
    for (std::size_t i = 0; i < history_.parts().families().size(); ++i) {
      const shop::PartFamily& family = history_.parts().families()[i];
      families[family.component.empty() ? family.title : family.component].push_back(i);
    }
    return families;
  }

  [[nodiscard]] std::vector<quality::BrandLine> brand_lines() const {
    std::vector<std::vector<std::size_t>> components;
    for (auto& [component, families] : by_component()) components.push_back(families);
    return quality::brands_of(history_, components);
  }

  // Lots of one number, where any is known.
  void lots(const shop::PartBook::Place& place) {
    for (std::uint32_t label = 0; label < history_.labels().size(); ++label) {
      const quality::Label& known = history_.labels()[label];
      if (known.family != place.family || known.number != place.number) continue;
      quality::Among among;
      among.own_only = asked_.own;
      among.label = label;
      Table table{"Lots of " + known.name,
                  quality::standing_of(history_, {place.family}, By::lot, among)};
      if (table.standing.rivals.size() > 1) add(table, false);
    }
  }

  bool add(const Table& table, bool with_costs) {
    if (plain()) {
      fmt::print("\n");
      print_table(history_, table);
      if (with_costs && table.standing.by == By::number) print_costs(history_, table, rates_);
    }
    if (!asked_.plot.empty() && with_costs) {
      const auto drawn = plot_standing(asked_.plot, table.title, table.standing);
      if (!drawn) {
        complain(drawn.failure());
        return false;
      }
    }
    if (asked_.csv) rows_ += csv_rows(table);
    if (common_.json) tables_.push_back(to_json(history_, table, rates_));
    return true;
  }

  int finish() {
    if (asked_.csv) fmt::print("{}{}", csv_names(), rows_);
    if (common_.json) {
      json all = {{"tables", tables_}};
      if (!part_.is_null()) all["part"] = part_;
      if (!brand_.is_null()) all["brand"] = brand_;
      json findings = json::array();
      for (const shop::Finding& finding : history_.findings())
        findings.push_back(cli::to_json(finding));
      all["findings"] = findings;
      print(all);
    }
    return history_.findings().empty() ? kDone : kFindings;
  }

  const Common& common_;
  const StatsAsked& asked_;
  const History& history_;
  quality::Rates rates_;
  json tables_ = json::array();
  json part_;
  json brand_;
  std::string rows_;
};

int stats(const Common& common, const StatsAsked& asked) {
  if (!asked.plot.empty() && asked.part.empty() && asked.component.empty())
    return misused("--plot", "needs --part or --component");
  files::Disk& disk = files::real_disk();
  const auto settings = shop::read_settings(disk, common.shop);
  if (!settings) {
    complain(settings.failure());
    return kCouldNotRun;
  }
  const std::string now = asked.as_of.empty() ? files::now_text() : asked.as_of + "T23:59:59Z";
  const auto today = shop::instant_of(now);
  if (!today) {
    complain("--as-of " + asked.as_of + ": no day: write 2026-10-31");
    return kCouldNotRun;
  }
  shop::Findings findings;
  const History history = quality::read_history(
      disk, common.shop,
      {*today, settings->comeback_months, shop::instant_of(files::now_text()).value_or(0)},
      findings);
  for (const shop::Finding& finding : findings) complain(finding.text());
  for (const shop::Finding& finding : history.findings()) complain(finding.text());
  Telling telling(common, asked, history,
                  {settings->labour_rate, asked.goodwill.value_or(settings->goodwill)});
  if (asked.notes) return telling.notes();
  if (!asked.part.empty()) return telling.part();
  if (!asked.component.empty()) return telling.component();
  if (!asked.brand.empty()) return telling.brand();
  return telling.shop();
}

}  // namespace

void add_stats(Arguments& arguments) {
  const auto asked = std::make_shared<StatsAsked>();
  Verb verb = arguments.verb("stats", "How parts have lasted, here and elsewhere");
  verb.option("--shop").required();
  const Option part = verb.text("--part", asked->part, "A number or barcode, and its rivals");
  const Option component = verb.text("--component", asked->component, "The brands of a component");
  const Option brand = verb.text("--brand", asked->brand, "A brand in all components");
  part.excludes(component).excludes(brand);
  component.excludes(brand);
  verb.text("--by", asked->by, "Rows: number, brand or grade")
      .one_of({"number", "brand", "grade"})
      .excludes(brand);
  verb.flag("--notes", asked->notes, "What is written of parts against the records")
      .excludes(part)
      .excludes(component)
      .excludes(brand);
  verb.flag("--own", asked->own, "This shop's records alone");
  verb.text("--as-of", asked->as_of, "Counted to the end of this day; now when not said");
  verb.number("--goodwill", asked->goodwill,
              "What a comeback costs beyond labour and part, in place of the shop's own figure")
      .within(0.0, 1e6);
  verb.flag("--csv", asked->csv, "Print CSV").excludes(verb.option("--json"));
  verb.text("--plot", asked->plot, "Draw into FILE.svg or FILE.png");
  verb.runs([asked](const Common& common) { return stats(common, *asked); });
}

}  // namespace baylore::cli
