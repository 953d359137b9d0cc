#include "viewer/services/part_pages.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <unordered_map>

#include "files/names.h"
#include "quality/note.h"
#include "search/search.h"
#include "shop/part_record.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

using quality::By;
using quality::History;
using Place = shop::PartBook::Place;

constexpr std::size_t kTipsNamed = 8;       // that list the family
constexpr std::size_t kTipsLookedAt = 20;   // a number, in the order of the search
constexpr std::size_t kFailuresTold = 200;  // behind a figure
constexpr std::size_t kInServiceTold = 40;

std::optional<std::uint32_t> label_of(const History& history, const Place& at) {
  const std::vector<quality::Label>& labels = history.labels();
  for (std::size_t i = 0; i < labels.size(); ++i) {
    if (labels[i].family == at.family && labels[i].number == at.number)
      return static_cast<std::uint32_t>(i);
  }
  return std::nullopt;
}

const quality::Rival* rival_at(const quality::Standing& standing, const Place& at) {
  const auto found = std::find_if(standing.rivals.begin(), standing.rivals.end(),
                                  [&](const quality::Rival& r) { return r.place == at; });
  return found == standing.rivals.end() ? nullptr : &*found;
}

const std::vector<shop::Fit>& fits_of(const shop::PartFamily& family,
                                      const shop::PartNumber& number) {
  return number.fits.empty() ? family.fits : number.fits;
}

// What was never fitted is known only as far as its rivals are alike.
quality::Rival never_fitted(const quality::Standing& standing, const shop::PartNumber& number,
                            const Place& at) {
  quality::Rival rival;
  rival.name = number.name;
  rival.brand = number.brand;
  rival.grade = number.grade;
  rival.place = at;
  rival.judged.drawn_in = standing.scatter.prior();
  rival.wear = quality::NoFit{tr("none fitted")};
  return rival;
}

void tell_fit(RivalRow& row, const search::FitResult& fit) {
  using Verdict = search::FitVerdict;
  row.fits = fit.verdict == Verdict::fits || fit.verdict == Verdict::fits_all ||
             fit.verdict == Verdict::no_vehicle;
  row.fit_words = fit.words;
}

// Every number of the family, fitted or not, the shown one first.
std::vector<RivalRow> number_rows(const History& history, const quality::Standing& standing,
                                  const PartPage& page, const quality::Rates& rates) {
  std::vector<RivalRow> rows;
  for (std::size_t i = 0; i < page.family.numbers.size(); ++i) {
    const shop::PartNumber& number = page.family.numbers[i];
    const Place at{page.place.family, i};
    const quality::Rival* rival = rival_at(standing, at);
    RivalRow row;
    row.rival = rival != nullptr ? *rival : never_fitted(standing, number, at);
    row.name = number.name;
    row.under = shop::grade_word(number.grade);
    tell_fit(row, search::fit_of(fits_of(page.family, number), page.asked.vehicle));
    row.choice = quality::choice_of(history, standing, row.rival, rates);
    if (row.choice) row.cost = quality::expected_cost(*row.choice);
    rows.push_back(std::move(row));
  }
  std::stable_sort(rows.begin(), rows.end(), [&](const RivalRow& a, const RivalRow& b) {
    const bool a_shown = a.rival.place == page.place;
    const bool b_shown = b.rival.place == page.place;
    if (a_shown != b_shown) return a_shown;
    return a.rival.all.fitted > b.rival.all.fitted;
  });
  const std::optional<quality::Choice> shown = rows.front().choice;
  for (RivalRow& row : rows) {
    if (!shown || !row.choice || row.rival.place == page.place) continue;
    row.break_even = quality::break_even_share(*shown, *row.choice);
    row.shown_costs_more = quality::chance_costs_more(*shown, *row.choice);
  }
  return rows;
}

// What the records themselves set apart: grades of the family, lots of the number.
std::vector<RivalRow> group_rows(const quality::Standing& standing, By by) {
  std::vector<RivalRow> rows;
  for (const quality::Rival& rival : standing.rivals) {
    RivalRow row;
    row.name = by == By::lot && rival.name.find(' ') == std::string::npos ? "lot " + rival.name
                                                                          : rival.name;
    row.rival = rival;
    rows.push_back(std::move(row));
  }
  return rows;
}

void tell_numbers(const shop::PartBook& parts, PartPage& page) {
  const shop::PartNumber& number = page.number();
  const shop::PartBook::Found found = parts.find(page.asked.name);
  using How = shop::PartBook::How;
  if (found.how == How::folded) page.said.push_back(say("Read as {0}", number.name));
  if (found.how == How::superseded)
    page.said.push_back(say("{0} is superseded by this one", page.asked.name));
  const shop::PartBook::Chain chain = parts.superseded(page.place);
  if (chain.ring) {
    page.said.emplace_back(tr("What supersedes it leads in a ring: ask the supplier"));
  } else if (!chain.not_listed.empty()) {
    page.said.push_back(say("Superseded by {0}, which no part file lists", chain.not_listed));
  } else if (!chain.later.empty()) {
    page.said.push_back(say("Superseded by {0}", parts.number(chain.later.back()).name));
  }
  if (!page.family.superseded_by.empty())
    page.said.push_back(say("The family is superseded by {0}", page.family.superseded_by));
}

// Tips that list a number of the family: looked for by number, and read to be sure.
std::vector<PartLink> tips_listing(const shop::PartBook& parts, const PartPage& page,
                                   store::Store& store) {
  std::vector<PartLink> links;
  std::set<std::string> seen;
  for (const shop::PartNumber& number : page.family.numbers) {
    search::Query query;
    query.line = number.number;
    query.last_is_prefix = false;
    query.only_ids = true;
    query.limit = static_cast<int>(kTipsLookedAt);
    for (const search::Hit& hit : search::search(store, query).hits) {
      if (links.size() >= kTipsNamed || !seen.insert(hit.tip.id).second) continue;
      const auto row = store.find(hit.tip.id);
      const auto bytes = row ? store.bytes(row->doc) : std::nullopt;
      if (!bytes) continue;
      const shop::Tip tip = shop::read_tip(shop::Document::parse(*bytes), row->path);
      const bool lists =
          std::any_of(tip.parts.begin(), tip.parts.end(), [&](const shop::PartRef& part) {
            if (part.family == page.family.id || part.family == page.family.slug) return true;
            const auto found = parts.find(part.name);
            return found.places.size() == 1 && found.places.front().family == page.place.family;
          });
      if (lists) links.push_back({row->id, row->title});
    }
  }
  return links;
}

}  // namespace

const quality::Standing& Standings::of(std::size_t family) {
  const auto at = by_number_.find(family);
  if (at != by_number_.end()) return at->second;
  return by_number_.emplace(family, quality::standing_of(*history_, {family}, By::number))
      .first->second;
}

PartPage part_page(Standings& standings, const PartAsked& asked, const Place& at,
                   const shop::Settings& settings, store::Store* store) {
  const History& history = standings.history();
  const shop::PartBook& parts = history.parts();
  PartPage page;
  page.asked = asked;
  page.place = at;
  page.family = parts.family(at);
  page.lot = parts.find(asked.name).lot;
  page.elsewhere = static_cast<int>(history.locations().size()) - 1;
  page.fit = search::fit_of(fits_of(page.family, page.number()), asked.vehicle);
  page.cautions = shop::cautions_for(page.family.system, page.family.component);
  tell_numbers(parts, page);
  const quality::Rates rates{settings.labour_rate, settings.goodwill};
  if (asked.by == By::number) {
    page.standing = standings.of(at.family);
    page.rows = number_rows(history, page.standing, page, rates);
  } else {
    quality::Among among;
    if (asked.by == By::lot) {
      among.label = label_of(history, at);
      // Never fitted: no lot of it either, and nobody else's.
      if (!among.label) among.label = std::numeric_limits<std::uint32_t>::max();
    }
    page.standing = quality::standing_of(history, {at.family}, asked.by, among);
    page.rows = group_rows(page.standing, asked.by);
  }
  if (store != nullptr) page.tips = tips_listing(parts, page, *store);
  return page;
}

std::vector<PartEvidence> evidence_of(Standings& standings, const std::vector<shop::PartRef>& parts,
                                      const search::Vehicle& vehicle) {
  const History& history = standings.history();
  std::vector<PartEvidence> all;
  for (const shop::PartRef& part : parts) {
    PartEvidence& evidence = all.emplace_back();
    evidence.window_months = history.counting().window_months;
    const shop::PartBook::Found found = history.parts().find(part.name);
    if (found.places.size() != 1) continue;
    const Place& at = found.places.front();
    const shop::PartFamily& family = history.parts().family(at);
    const shop::PartNumber& number = history.parts().number(at);
    evidence.listed = true;
    evidence.grade = shop::grade_word(number.grade);
    RivalRow fit;
    tell_fit(fit, search::fit_of(fits_of(family, number), vehicle));
    if (!fit.fits) evidence.fit_words = fit.fit_words;
    const quality::Standing& standing = standings.of(at.family);
    const quality::Rival* rival = rival_at(standing, at);
    evidence.rival = rival != nullptr ? *rival : never_fitted(standing, number, at);
    if (rival != nullptr) evidence.against = quality::contradiction(part.text, *rival);
  }
  return all;
}

// 1. The number's fitted parts: all that failed, the newest in service, the dead ones.
// 2. Their outcomes, looked up by id in this shop's records, the rest in what came from elsewhere.
std::vector<PartRecord> records_behind(const History& history, const Place& place,
                                       const std::string& lot, const std::vector<shop::Record>& own,
                                       files::Disk& disk, const std::string& shop_folder) {
  const auto label = label_of(history, place);
  if (!label) return {};
  const auto wanted = [&](const quality::FittedPart& part) {
    return part.label == *label && (lot.empty() || history.lots()[part.lot] == lot);
  };
  std::vector<const quality::FittedPart*> failed;
  std::vector<const quality::FittedPart*> in_service;
  for (const quality::FittedPart& part : history.fitted(place.family)) {
    if (wanted(part)) (part.failed ? failed : in_service).push_back(&part);
  }
  const auto newer = [](const quality::FittedPart* a, const quality::FittedPart* b) {
    return a->months < b->months;
  };
  std::sort(failed.begin(), failed.end(), newer);
  std::sort(in_service.begin(), in_service.end(), newer);
  if (failed.size() > kFailuresTold) failed.resize(kFailuresTold);
  if (in_service.size() > kInServiceTold) in_service.resize(kInServiceTold);

  std::vector<PartRecord> all;
  std::unordered_map<std::string, std::size_t> by_id;
  const auto add = [&](const quality::FittedPart& part, bool dead) {
    PartRecord record;
    record.outcome = history.record_id(part.record);
    record.location = history.locations()[part.location];
    record.failed = part.failed;
    record.dead = dead;
    record.months = part.months;
    record.km = part.estimated ? std::numeric_limits<double>::quiet_NaN() : part.km;
    by_id.emplace(record.outcome, all.size());
    all.push_back(std::move(record));
  };
  for (const quality::FittedPart* part : failed) add(*part, false);
  for (const quality::FittedPart& part : history.dead(place.family)) {
    if (wanted(part)) add(part, true);
  }
  for (const quality::FittedPart* part : in_service) add(*part, false);

  const auto take = [&](const std::vector<shop::Record>& records) {
    shop::each_finished_job(records, [&](const shop::Finished& job) {
      const auto at = by_id.find(job.outcome.id);
      if (at == by_id.end()) return;
      PartRecord& record = all[at->second];
      record.when = job.outcome.when;
      record.car = job.outcome.car;
      for (const shop::Comeback& comeback : job.comebacks) {
        if (record.failed && record.reason.empty())
          record.reason =
              comeback.text.empty() ? comeback.reason : comeback.reason + ", " + comeback.text;
      }
    });
    for (const shop::DeadOnArrival& dead : shop::dead_on_arrival(records)) {
      const auto at = by_id.find(dead.id);
      if (at == by_id.end()) continue;
      PartRecord& record = all[at->second];
      record.when = dead.when;
      record.car = dead.car;
      record.reason = dead.text;
    }
  };
  take(own);
  std::set<std::string> others;
  for (const PartRecord& record : all) {
    if (!record.location.empty()) others.insert(record.location);
  }
  for (const std::string& other : others) {
    const std::string folder = files::join(files::join(shop_folder, "received"), other);
    take(shop::read_records(disk, folder).records);
  }
  return all;
}

}  // namespace baylore::viewer
