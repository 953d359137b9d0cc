#include "diagnosis/find.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "shop/document.h"
#include "shop/fold.h"
#include "trade/code.h"
#include "words/words.h"

namespace baylore::diagnosis {
namespace {

// A hit with less than this part of the best one's words is not about the complaint: in the demo
// shop the tips that a technician would name stand above it, one common word alone below.
constexpr double kLeastWords = 0.35;
// How many places of the words are told.
constexpr int kPlacesTold = 3;

const double kHint = ratio_of(Strength::kHints);
const double kSuggestion = ratio_of(Strength::kSuggests);

// A code of the car: its state is empty when nobody said.
struct CarCode {
  trade::Code code;
  std::string state;
};

// A tip on its way to be a candidate.
struct Found {
  store::TipRow row;
  search::FitResult fit;
  double words = 0;           // its part of the best score for words, 0 .. 1
  std::string matched;        // "title, symptom"
  std::string look_alike_of;  // title of the tip that led to it
};

class Finder {
 public:
  Finder(const store::Store& store, const Complaint& complaint, const Experience& experience)
      : store_(store), complaint_(complaint), experience_(experience) {}

  Case run() {
    search_tips();
    add_look_alikes();
    return join();
  }

 private:
  void search_tips() {
    search::Query query;
    query.line = complaint_.line;
    query.vehicle = complaint_.vehicle;
    query.dropped = complaint_.dropped;
    query.limit = static_cast<int>(2 * kMostCauses);
    query.last_is_prefix = false;
    for (const auto& [code, state] : complaint_.codes) query.line += " " + code;
    const search::Answer answer = search::search(store_, query);
    take_vehicle(answer.understood.vehicle);
    take_codes(answer.understood.codes);

    double best = 0;
    for (const search::Hit& hit : answer.hits) best = std::max(best, hit.words);
    asked_words_ = best > 0;
    for (const search::Hit& hit : answer.hits) {
      const double words = asked_words_ ? hit.words / best : 0;
      const bool by_code = std::any_of(hit.why.begin(), hit.why.end(),
                                       [](const search::Why& why) { return why.field == "code"; });
      if (words < kLeastWords && !by_code) continue;
      std::string matched;
      int told = 0;
      for (const search::Why& why : hit.why) {
        if (why.prose && told++ < kPlacesTold)
          matched += (matched.empty() ? "" : ", ") + tr(why.field);
      }
      add({hit.tip, hit.fit, words, matched, {}});
    }
  }

  void take_vehicle(const search::Vehicle& in_line) {
    vehicle_ = complaint_.vehicle;
    if (vehicle_.make.empty()) vehicle_.make = in_line.make;
    if (vehicle_.model.empty()) vehicle_.model = in_line.model;
    if (vehicle_.engine.empty()) vehicle_.engine = in_line.engine;
    if (vehicle_.year == 0) {
      vehicle_.year = in_line.year;
      vehicle_.last_year = in_line.last_year;
    }
  }

  void take_codes(const std::vector<std::string>& in_line) {
    for (const std::string& text : in_line) {
      const auto read = trade::parse_code(text);
      const trade::ReadCode* code = trade::value_in(read);
      if (code == nullptr) continue;
      CarCode on_car{code->code, {}};
      for (const auto& [written, state] : complaint_.codes) {
        const auto same = trade::parse_code(written);
        const trade::ReadCode* known = trade::value_in(same);
        if (known != nullptr && known->code == code->code) on_car.state = state;
      }
      codes_.push_back(on_car);
    }
  }

  // Withdrawn tips, tips for another model and translations of a tip that is there are no causes.
  void add(Found found) {
    if (found_.size() >= kMostCauses || found.row.status == "withdrawn") return;
    if (found.fit.verdict == search::FitVerdict::other_model) return;
    if (!seen_.insert(original_of(found.row)).second) return;
    found_.push_back(std::move(found));
  }

  std::string original_of(const store::TipRow& row) const {
    const shop::Tip tip = read(row);
    if (tip.translation_of.empty()) return row.id;
    const auto original = store_.find(tip.translation_of);
    return original ? original->id : tip.translation_of;
  }

  shop::Tip read(const store::TipRow& row) const {
    return shop::read_tip(shop::Document::parse(store_.bytes(row.doc).value_or("")), row.path);
  }

  // What a found tip is easily mistaken for, in either direction: it has the same complaint,
  // whatever words it uses.
  void add_look_alikes() {
    const std::size_t found = found_.size();
    for (std::size_t i = 0; i < found; ++i) {
      const store::TipRow row = found_[i].row;
      std::vector<store::TipRow> others;
      for (const shop::MistakenFor& other : read(row).mistaken_for) {
        if (auto named = store_.find(other.tip)) others.push_back(std::move(*named));
      }
      for (auto& [other, note] : store_.mistaken_by(row)) others.push_back(std::move(other));
      for (store::TipRow& other : others) {
        search::FitResult fit = search::fit_of(other.fits, vehicle_);
        add({std::move(other), std::move(fit), 0, {}, row.title});
      }
    }
  }

  // --- what speaks for a tip before the first check

  // From 1/3 where a tip just counts as found to 3 for the best one.
  static double words_ratio(double words) {
    const double place = std::max((words - kLeastWords) / (1 - kLeastWords), 0.0);
    return std::pow(kHint, 2 * place - 1);
  }

  [[nodiscard]] std::vector<Known> known_of(const Found& found, const shop::Tip& tip) const {
    std::vector<Known> known;
    if (!found.look_alike_of.empty()) {
      known.push_back({tr("words"), say("a look-alike of “{0}”", found.look_alike_of), 1 / kHint});
    } else if (asked_words_) {
      known.push_back({tr("words"),
                       found.matched.empty() ? std::string(tr("none of the complaint's"))
                                             : say("in its {0}", found.matched),
                       std::pow(kHint, 2 * found.words - 1)});
    }
    if (found.fit.verdict == search::FitVerdict::other_year ||
        found.fit.verdict == search::FitVerdict::other_engine) {
      known.push_back({tr("vehicle"), found.fit.words, 1 / kHint});
    }
    if (const auto code = code_known(tip)) known.push_back(*code);
    if (const auto when = when_known(tip)) known.push_back(*when);
    return known;
  }

  // One code's failure sets others: the strongest counts, not each.
  [[nodiscard]] std::optional<Known> code_known(const shop::Tip& tip) const {
    if (codes_.empty() || tip.codes.empty()) return std::nullopt;
    std::optional<Known> best;
    for (const CarCode& on_car : codes_) {
      for (const std::string& text : tip.codes) {
        const auto read = trade::parse_code(text);
        const trade::ReadCode* listed = trade::value_in(read);
        if (listed == nullptr || !trade::matches(listed->code, on_car.code)) continue;
        const double ratio = on_car.state == "pending" ? kHint : kSuggestion;
        if (best && best->ratio >= ratio) continue;
        best = Known{say("code {0}", trade::text(on_car.code)),
                     say("{0}, and the tip lists it",
                         on_car.state.empty() ? tr_in("a code", "read") : tr(on_car.state)),
                     ratio};
      }
    }
    if (best) return best;
    std::string listed;
    for (const std::string& code : tip.codes) listed += (listed.empty() ? "" : ", ") + code;
    return Known{tr("codes"), say("none read that the tip lists: {0}", listed), 1 / kHint};
  }

  // A condition of the tip counts when all its words are in what the customer said, or the other
  // way round.
  [[nodiscard]] std::optional<Known> when_known(const shop::Tip& tip) const {
    const auto inside = [](const std::vector<std::string>& a, const std::vector<std::string>& b) {
      return !a.empty() && std::all_of(a.begin(), a.end(), [&](const std::string& word) {
        return std::find(b.begin(), b.end(), word) != b.end();
      });
    };
    for (const std::string* said : {&complaint_.when, &complaint_.after, &complaint_.often}) {
      const std::vector<std::string> words = shop::words_of(*said);
      const auto& listed = said == &complaint_.often ? tip.often : tip.when;
      for (const std::string& condition : listed) {
        const std::vector<std::string> own = shop::words_of(condition);
        if (inside(own, words) || inside(words, own))
          return Known{tr("when"), say("{0}, as the tip has it", condition), kHint};
      }
    }
    return std::nullopt;
  }

  Case join() const {
    std::vector<std::string> ids;
    for (const Found& found : found_) ids.push_back(found.row.id);
    const shop::Car car{vehicle_.make, vehicle_.model, vehicle_.year, vehicle_.engine};
    const Experience::Shares shares = experience_.shares(ids, car);
    const double alike = found_.empty() ? 0 : (1 - shares.none) / static_cast<double>(ids.size());
    std::vector<Candidate> candidates;
    for (std::size_t i = 0; i < found_.size(); ++i) {
      Candidate candidate;
      candidate.tip = read(found_[i].row);
      candidate.tip.id = found_[i].row.id;
      candidate.share = alike;
      candidate.known = known_of(found_[i], candidate.tip);
      if (experience_.jobs() > 0) {
        candidate.known.push_back({tr("records"),
                                   say("the cause in {0} of {1} jobs, {2} of them on this model",
                                       shares.right[i], experience_.jobs(), shares.right_here[i]),
                                   shares.tips[i] / alike});
      }
      candidates.push_back(std::move(candidate));
    }
    return make_case(candidates, shares.none);
  }

  const store::Store& store_;
  const Complaint& complaint_;
  const Experience& experience_;
  search::Vehicle vehicle_;
  std::vector<CarCode> codes_;
  bool asked_words_ = false;
  std::vector<Found> found_;
  std::set<std::string> seen_;
};

}  // namespace

Case find_case(const store::Store& store, const Complaint& complaint,
               const Experience& experience) {
  return Finder(store, complaint, experience).run();
}

}  // namespace baylore::diagnosis
