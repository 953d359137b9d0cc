// One search, from the line to the rows:
//   1. understand the line, its slips put right; what it says about the vehicle adds to the job's
//   2. resolve its words, their other forms and wordings to the words that tips have (plan.cc)
//   3. give every tip that has one of them a quick score, and keep the best (candidates.cc)
//   4. read where the words stand in those, and rank them (evidence.cc, rank.cc): best first,
//      withdrawn ones last, ties by id and path
//   5. read the rows of the best, with why and what to set bold
//   6. say what the answer could not keep of the line; when nothing has any of it, give what fits
//      the vehicle
#include "search/search.h"

#include <algorithm>
#include <memory>
#include <optional>
#include <span>
#include <unordered_map>
#include <utility>

#include "search/candidates.h"
#include "search/evidence.h"
#include "search/known_parts.h"
#include "search/language.h"
#include "search/lexicon.h"
#include "search/plan.h"
#include "search/rank.h"
#include "search/relax.h"
#include "search/slips.h"
#include "search/terms.h"
#include "search/title.h"
#include "shop/fold.h"
#include "store/words.h"
#include "words/words.h"

namespace baylore::search {
namespace {

// How many places the row's why line has room for.
constexpr std::size_t kWhyShown = 3;
constexpr std::size_t kFileName = static_cast<std::size_t>(store::Area::file_name);

// How many tips are ranked exactly: many more than are shown, and always the same for a screenful,
// so that a shorter list is the beginning of a longer one.
constexpr std::size_t kRanked = 128;
constexpr std::size_t kRankedForEach = 2;  // of a list longer than that

constexpr std::size_t kMostRows = 1024;

// A tip that fits the vehicle stands above the rule from this share of the best one's score on:
// less is one common word of many, and no answer.
constexpr double kAboveRule = 0.35;

// What a reader keeps from search to search.
struct Workspace {
  Planner planner;
  Gatherer gatherer;
  Standings standings;
  EvidenceReader reader;
  Found found;
  Language language;
  Slips slips;
  KnownParts parts;
  // Rows read lately: from key to key mostly the same tips are shown.
  std::unordered_map<std::int64_t, store::TipRow> rows;
  std::uint64_t rows_stamp = 0;
  std::uint64_t documents = 0;  // of which the vocabulary was that the language was made from

  static Workspace& of(const store::Store& store) {
    std::shared_ptr<void>& place = store.companion();
    if (!place) place = std::make_shared<Workspace>();
    auto& workspace = *static_cast<Workspace*>(place.get());
    if (workspace.documents != store.documents_version()) {
      workspace.documents = store.documents_version();
      workspace.language = Language(store.vocabulary());
    }
    return workspace;
  }
};

struct Ranked {
  Candidate candidate;
  store::Forward forward;
  FitVerdict fit = FitVerdict::no_vehicle;
  bool below = false;  // the rule
  double score = 0;
};

// The job's vehicle, with what the line says put over it. A line about another make or model is
// about another car: nothing of the job's is carried over.
Vehicle merged(const Vehicle& job, const Vehicle& line) {
  const auto differs = [](const std::string& a, const std::string& b) {
    return !a.empty() && !b.empty() && shop::fold(a) != shop::fold(b);
  };
  if (differs(job.make, line.make) || differs(job.model, line.model)) return line;
  Vehicle vehicle = job;
  if (!line.make.empty()) vehicle.make = line.make;
  if (!line.model.empty()) vehicle.model = line.model;
  if (line.year != 0) {
    vehicle.year = line.year;
    vehicle.last_year = line.last_year;
  }
  if (!line.engine.empty()) vehicle.engine = line.engine;
  return vehicle;
}

// --- why ---------------------------------------------------------------------------------------

std::vector<Why> why_of(const std::vector<Part>& parts, const FitResult& fit, const Track& track,
                        const Terms& terms, const std::vector<std::string>& codes) {
  std::vector<Why> why;
  for (const Part& part : parts) {
    std::string field;
    std::string words;
    switch (part.of) {
      case Part::Of::word:
        words = terms.terms[part.index].typed;
        field = store::kAreaNames[part.area];
        break;
      case Part::Of::code:
        field = marked("code");
        words = codes[part.index];
        break;
      case Part::Of::near_code:
        field = marked("near code");
        words = codes[part.index];
        break;
      case Part::Of::vehicle:
        field = marked("vehicle");
        words = fit.words;
        break;
      case Part::Of::proved:
        field = marked("proved here");
        words = say("{0} of {1}", track.right, track.used);
        break;
    }
    auto same = std::find_if(why.begin(), why.end(),
                             [&](const Why& other) { return other.field == field; });
    if (same == why.end()) {
      why.push_back({field, words, part.score, part.of == Part::Of::word});
    } else {
      same->score += part.score;
      const std::string padded = " " + same->words + " ";
      if (padded.find(" " + words + " ") == std::string::npos) same->words += " " + words;
    }
  }
  std::stable_sort(why.begin(), why.end(),
                   [](const Why& a, const Why& b) { return a.score > b.score; });
  return why;
}

std::string why_line_of(const std::vector<Why>& why) {
  std::string line;
  std::size_t shown = 0;
  for (const Why& each : why) {
    // The file's name repeats the title: no news, unless it is all there is.
    if (each.field == store::kAreaNames[kFileName] && why.size() > 1) continue;
    if (shown++ == kWhyShown) break;
    line += (line.empty() ? "" : ", ") + tr(each.field);
  }
  return line;
}

// --- the search --------------------------------------------------------------------------------

class Search {
 public:
  Search(const store::Store& store, const store::Words& words, const Query& query, Answer& answer)
      : store_(store),
        words_(words),
        query_(query),
        answer_(answer),
        workspace_(Workspace::of(store)) {}

  void run() {
    understand_line();
    if (query_.limit <= 0) return;
    vehicle_ = merged(query_.vehicle, answer_.understood.vehicle);
    terms_ = terms_of(answer_.understood, workspace_.language.phrases(), query_.last_is_prefix);
    take_codes();
    const bool nothing_said = terms_.terms.empty() && codes_.empty();
    if (nothing_said && vehicle_.empty()) return;
    plan_ = workspace_.planner.plan(words_, terms_, codes_);
    workspace_.standings.take(words_, vehicle_);
    Gathered gathered = gather(nothing_said);
    if (!nothing_said) {
      const bool nothing = gathered.any.fitting + gathered.any.others == 0;
      shortfall_.by_vehicle = nothing && !vehicle_.empty();
      answer_.by_vehicle = shortfall_.by_vehicle;
      if (shortfall_.by_vehicle) gathered = gather(true);
    }
    count(gathered);
    rank_all(gathered.best);
    choose(static_cast<std::size_t>(query_.limit));
    if (!nothing_said && !query_.only_ids) say_shortfall(gathered);
  }

 private:
  void understand_line() {
    const ShopLexicon lexicon(words_);
    const KnownPart part = [this](std::string_view joined) {
      return workspace_.parts.find(store_, words_, joined);
    };
    answer_.understood =
        understand_with_slips(query_.line, workspace_.language, lexicon, workspace_.slips,
                              query_.last_is_prefix, query_.dropped, part);
  }

  // The codes of the line; while one has no letter, those it can be that the shop has tips for.
  void take_codes() {
    codes_ = answer_.understood.codes;
    for (const Token& token : answer_.understood.tokens) {
      if (token.kind != Token::Kind::half_code) continue;
      for (const std::string& choice : token.choices) {
        if (words_.tips_with_code(choice) > 0) codes_.push_back(choice);
      }
    }
  }

  Gathered gather(bool by_vehicle) {
    const auto limit = static_cast<std::size_t>(query_.limit);
    const std::size_t most = limit * kRankedForEach > kRanked ? limit * kRankedForEach : kRanked;
    return workspace_.gatherer.gather(words_, plan_, workspace_.standings, by_vehicle, most);
  }

  void count(const Gathered& gathered) {
    const Tally& all = gathered.all;
    answer_.all_words = all.fitting + all.others > 0;
    const Tally& counted = answer_.all_words ? all : gathered.any;
    answer_.fitting = counted.fitting;
    answer_.without_vehicle = counted.others;
  }

  double rank_one(const Ranked& ranked, std::vector<Part>* parts) {
    const std::uint32_t number = ranked.candidate.piece;
    if (reading_ != number) {
      workspace_.reader.take(plan_, number, workspace_.planner.function_numbers(words_, number));
      reading_ = number;
    }
    workspace_.reader.read(ranked.forward, workspace_.found);
    const auto lists = [&](std::uint32_t code) {
      const std::span<const std::uint16_t> codes = ranked.forward.codes;
      for (std::size_t i = 0; i + 1 < codes.size(); i += 2) {
        if ((codes[i] | static_cast<std::uint32_t>(codes[i + 1]) << 16U) == code) return true;
      }
      return false;
    };
    code_evidence_.clear();
    for (const PlannedCode& code : plan_.codes) {
      CodeMatch match = CodeMatch::none;
      if (std::any_of(code.near[number].begin(), code.near[number].end(), lists)) {
        match = CodeMatch::near;
      }
      if (lists(code.base[number])) match = CodeMatch::base;
      if (lists(code.exact[number])) match = CodeMatch::exact;
      code_evidence_.push_back({match, code.rarity});
    }
    return rank({workspace_.found, code_evidence_, ranked.fit, track_of(ranked)}, plan_, terms_,
                parts);
  }

  [[nodiscard]] Track track_of(const Ranked& ranked) const {
    if (query_.tracks == nullptr || query_.tracks->empty()) return {};
    const auto found = query_.tracks->find(part_of(ranked).id(ranked.candidate.tip));
    return found == query_.tracks->end() ? Track{} : found->second;
  }

  // Piece by piece, because words have other numbers in each. The tips lie anywhere in the part:
  // what is known to be needed soon is fetched while others are looked at.
  void rank_all(const std::vector<Candidate>& candidates) {
    ranked_.reserve(candidates.size());
    for (std::uint32_t number = 0; number < words_.pieces().size(); ++number) {
      const store::Part& part = words_.pieces()[number].part;
      const auto verdicts = workspace_.standings.of(number);
      const std::size_t first = ranked_.size();
      for (const Candidate& candidate : candidates) {
        if (candidate.piece != number) continue;
        part.expect_forward(candidate.tip);
        Ranked& ranked = ranked_.emplace_back();
        ranked.candidate = candidate;
        if (!verdicts.empty()) ranked.fit = static_cast<FitVerdict>(verdicts[candidate.tip]);
      }
      for (std::size_t i = first; i < ranked_.size(); ++i) {
        ranked_[i].forward = part.forward(ranked_[i].candidate.tip);
        for (std::size_t at = 0; at < ranked_[i].forward.words.size(); at += 32) {
          __builtin_prefetch(ranked_[i].forward.words.data() + at);
        }
      }
      for (std::size_t i = first; i < ranked_.size(); ++i) {
        ranked_[i].score = rank_one(ranked_[i], nullptr);
      }
    }
  }

  [[nodiscard]] const store::Part& part_of(const Ranked& ranked) const {
    return words_.pieces()[ranked.candidate.piece].part;
  }

  // Tips for other vehicles go below a rule, and so does what fits but answers next to nothing.
  void draw_rule() {
    if (vehicle_.empty()) return;
    double best = 0;
    for (const Ranked& ranked : ranked_) best = std::max(best, ranked.score);
    for (Ranked& ranked : ranked_) {
      ranked.below = ranked.fit > FitVerdict::fits_all || ranked.score < kAboveRule * best;
    }
  }

  void choose(std::size_t limit) {
    draw_rule();
    const auto better = [this](const Ranked& a, const Ranked& b) {
      if (a.candidate.withdrawn != b.candidate.withdrawn) return b.candidate.withdrawn;
      if (a.below != b.below) return b.below;
      if (a.score != b.score) return a.score > b.score;
      const auto name = [this](const Ranked& ranked) {
        const store::Part& part = part_of(ranked);
        return std::pair(part.id(ranked.candidate.tip), part.path(ranked.candidate.tip));
      };
      return name(a) < name(b);
    };
    const std::size_t wanted = std::min(ranked_.size(), limit);
    std::partial_sort(ranked_.begin(), ranked_.begin() + static_cast<std::ptrdiff_t>(wanted),
                      ranked_.end(), better);
    answer_.hits.reserve(wanted);
    for (std::size_t i = 0; i < wanted; ++i) {
      const Ranked& ranked = ranked_[i];
      Hit hit;
      hit.score = ranked.score;
      hit.fit.verdict = ranked.fit;
      const store::Part& part = part_of(ranked);
      const std::int64_t doc = part.doc(ranked.candidate.tip);
      if (query_.only_ids) {
        hit.tip.doc = doc;
        hit.tip.id = part.id(ranked.candidate.tip);
        hit.tip.path = part.path(ranked.candidate.tip);
      } else if (!explain(ranked, doc, hit)) {
        continue;
      }
      answer_.hits.push_back(std::move(hit));
      if (!ranked.below && !ranked.candidate.withdrawn) answer_.above = answer_.hits.size();
    }
  }

  const store::TipRow* row_of(std::int64_t doc) {
    auto& rows = workspace_.rows;
    if (workspace_.rows_stamp != answer_.stamp || rows.size() >= kMostRows) {
      rows.clear();
      workspace_.rows_stamp = answer_.stamp;
    }
    const auto known = rows.find(doc);
    if (known != rows.end()) return &known->second;
    std::optional<store::TipRow> row = store_.tip(doc);
    return row ? &rows.emplace(doc, std::move(*row)).first->second : nullptr;
  }

  // What only a screen needs.
  bool explain(const Ranked& ranked, std::int64_t doc, Hit& hit) {
    const store::TipRow* row = row_of(doc);
    if (row == nullptr) return false;
    hit.tip = *row;
    // The years of the bracket are known without a vehicle too.
    hit.fit = fit_of(hit.tip.fits, vehicle_);
    std::vector<Part> parts;
    rank_one(ranked, &parts);
    hit.why = why_of(parts, hit.fit, track_of(ranked), terms_, codes_);
    for (const Part& part : parts) {
      if (part.of == Part::Of::word && !terms_.terms[part.index].code) hit.words += part.score;
    }
    note_missing();
    hit.why_line = why_line_of(hit.why);
    std::vector<int> title;  // positions of matched words
    for (const std::vector<Place>& places : workspace_.found.places) {
      for (const Place& place : places) {
        if (place.area() != static_cast<std::size_t>(store::Area::title)) break;
        for (int i = 0; i < place.words; ++i) title.push_back(place.position() + i);
      }
    }
    hit.bold = spans_of(hit.tip.title, std::move(title));
    return true;
  }

  // Keeps which words the nearest of the tips shown lacks: the one that was just read, if it has
  // more than the others.
  void note_missing() {
    if (answer_.all_words) return;
    std::vector<std::string> missing;
    std::size_t there = 0;
    for (std::size_t term = 0; term < terms_.terms.size(); ++term) {
      if (!tells(terms_.terms[term]) || plan_.terms[term].rarity <= 0) continue;
      if (workspace_.found.places[term].empty()) {
        missing.push_back(terms_.terms[term].typed);
      } else {
        ++there;
      }
    }
    if (there <= most_there_) return;
    most_there_ = there;
    shortfall_.missing = std::move(missing);
  }

  // What is worth saying that no tip has it.
  [[nodiscard]] static bool tells(const Term& term) { return term.required && !term.says_little; }

  void say_shortfall(const Gathered& gathered) {
    for (std::size_t term = 0; term < plan_.terms.size(); ++term) {
      const Term& asked = terms_.terms[term];
      if (tells(asked) && plan_.terms[term].rarity <= 0) shortfall_.unknown.push_back(asked.typed);
    }
    if (shortfall_.by_vehicle) shortfall_.missing.clear();
    for (std::size_t i = 0; i < answer_.understood.codes.size(); ++i) {
      if (plan_.codes[i].listed) continue;
      shortfall_.codes.push_back(answer_.understood.codes[i]);
      for (const std::string& near : near_codes(i)) {
        std::vector<std::string>& all = shortfall_.near_codes;
        if (std::find(all.begin(), all.end(), near) == all.end()) all.push_back(near);
      }
    }
    const bool none_fits = gathered.any.fitting == 0 && gathered.any.others > 0;
    if (shortfall_.by_vehicle || none_fits) shortfall_.vehicle = vehicle_;
    if (none_fits) {
      // The engine gives way before the years, the years before the model.
      const auto shown = [this](FitVerdict verdict) {
        return std::any_of(answer_.hits.begin(), answer_.hits.end(),
                           [&](const Hit& hit) { return hit.fit.verdict == verdict; });
      };
      shortfall_.nearest = shown(FitVerdict::other_engine) ? FitVerdict::other_engine
                           : shown(FitVerdict::other_year) ? FitVerdict::other_year
                                                           : FitVerdict::other_model;
    }
    answer_.shortfall = said(shortfall_);
  }

  // The codes near this one that tips shown list, without their failure types.
  [[nodiscard]] std::vector<std::string> near_codes(std::size_t index) const {
    std::vector<std::string> near;
    const std::string& code = codes_[index];
    for (const Hit& hit : answer_.hits) {
      for (const std::string& listed : hit.tip.codes) {
        const std::string base = listed.substr(0, listed.find('-'));
        if (base.substr(0, kCodeFamily) != code.substr(0, kCodeFamily)) continue;
        if (std::find(near.begin(), near.end(), base) == near.end()) near.push_back(base);
      }
    }
    std::sort(near.begin(), near.end());
    return near;
  }

  const store::Store& store_;
  const store::Words& words_;
  const Query& query_;
  Answer& answer_;
  Workspace& workspace_;
  Vehicle vehicle_;
  Terms terms_;
  Plan plan_;
  std::vector<Ranked> ranked_;
  std::vector<std::string> codes_;           // of the line
  std::vector<CodeEvidence> code_evidence_;  // of the tip at hand
  std::uint32_t reading_ = 0xFFFFFFFFU;      // the piece whose tips are being read
  Shortfall shortfall_;
  std::size_t most_there_ = 0;
};

}  // namespace

Answer search(const store::Store& store, const Query& query) {
  Answer answer;
  const store::Snapshot snapshot = store.snapshot();
  answer.stamp = snapshot.stamp();
  if (snapshot.good()) {
    Search(store, snapshot.words(), query, answer).run();
  } else {
    answer.understood = understand(query.line, store.vocabulary(), query.dropped);
  }
  return answer;
}

}  // namespace baylore::search
