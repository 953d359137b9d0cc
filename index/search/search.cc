// One search, from the line to the rows:
//   1. understand the line; what it says about the vehicle adds to the job's vehicle
//   2. resolve its words, their other forms and wordings to the words that tips have (plan.cc)
//   3. give every tip that has one of them a quick score, and keep the best (candidates.cc)
//   4. read where the words stand in those, and rank them (evidence.cc, rank.cc): best first,
//      withdrawn ones last, ties by id and path
//   5. read the rows of the best, with why and what to set bold
#include "search/search.h"

#include <algorithm>
#include <memory>
#include <tuple>

#include "search/candidates.h"
#include "search/evidence.h"
#include "search/language.h"
#include "search/plan.h"
#include "search/rank.h"
#include "search/terms.h"
#include "search/title.h"
#include "shop/fold.h"
#include "store/words.h"

namespace baylore::search {
namespace {

// How many places the row's why line has room for.
constexpr std::size_t kWhyShown = 3;
constexpr std::size_t kFileName = static_cast<std::size_t>(store::Area::file_name);

// How many tips are ranked exactly: many more than are shown, and always the same for a screenful,
// so that a shorter list is the beginning of a longer one.
constexpr std::size_t kRanked = 128;
constexpr std::size_t kRankedForEach = 2;  // of a longer list

// What a reader keeps from search to search.
struct Workspace {
  Planner planner;
  Gatherer gatherer;
  Standings standings;
  EvidenceReader reader;
  Found found;
  Language language;
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
  std::string_view id;
  std::string_view path;
  FitVerdict fit = FitVerdict::no_vehicle;
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

std::vector<Why> why_of(const std::vector<Part>& parts, const FitResult& fit, const Terms& terms,
                        const Understood& understood) {
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
        field = "code";
        words = understood.codes[part.index];
        break;
      case Part::Of::vehicle:
        field = "vehicle";
        words = fit.words;
        break;
    }
    auto same = std::find_if(why.begin(), why.end(),
                             [&](const Why& other) { return other.field == field; });
    if (same == why.end()) {
      why.push_back({field, words, part.score});
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
    line += (line.empty() ? "" : ", ") + each.field;
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
        workspace_(Workspace::of(store)) {
    vehicle_ = merged(query.vehicle, answer.understood.vehicle);
    terms_ = terms_of(answer.understood, workspace_.language.phrases(), query.last_is_prefix);
  }

  void run() {
    if (query_.limit <= 0) return;
    const bool by_vehicle = terms_.terms.empty() && answer_.understood.codes.empty() &&
                            !answer_.understood.vehicle.empty();
    if (terms_.terms.empty() && answer_.understood.codes.empty() && !by_vehicle) return;
    plan_ = workspace_.planner.plan(words_, terms_, answer_.understood.codes);
    workspace_.standings.take(words_, vehicle_);
    const auto limit = static_cast<std::size_t>(query_.limit);
    const std::size_t most = std::max(kRanked, limit * kRankedForEach);
    const Gathered gathered =
        workspace_.gatherer.gather(words_, plan_, workspace_.standings, by_vehicle, most);
    count(gathered);
    rank_all(gathered.best);
    choose(limit);
  }

 private:
  void count(const Gathered& gathered) {
    const Tally& all = gathered.all;
    answer_.all_words = all.fitting + all.others > 0;
    const Tally& counted = answer_.all_words ? all : gathered.any;
    answer_.fitting = counted.fitting;
    answer_.without_vehicle = counted.others;
  }

  // Where the words stand in a candidate; piece by piece, because each has numbers of its own.
  void read(const Candidate& candidate, const store::Forward& forward) {
    if (reading_ != candidate.piece) {
      workspace_.reader.take(plan_, candidate.piece,
                             workspace_.planner.function_numbers(words_, candidate.piece));
      reading_ = candidate.piece;
    }
    workspace_.reader.read(forward, workspace_.found);
  }

  double rank_one(const Ranked& ranked, std::vector<Part>* parts) {
    const Candidate& candidate = ranked.candidate;
    const store::Forward forward = words_.pieces()[candidate.piece].part.forward(candidate.tip);
    read(candidate, forward);
    Evidence evidence{workspace_.found, {}, ranked.fit};
    const auto lists = [&](std::uint32_t code) {
      for (std::size_t i = 0; i + 1 < forward.codes.size(); i += 2) {
        const std::uint32_t listed =
            forward.codes[i] | static_cast<std::uint32_t>(forward.codes[i + 1]) << 16U;
        if (listed == code) return true;
      }
      return false;
    };
    for (const PlannedCode& code : plan_.codes) {
      CodeEvidence& standing = evidence.codes.emplace_back();
      standing.having = code.having;
      if (lists(code.exact[candidate.piece])) {
        standing.match = CodeMatch::exact;
      } else if (lists(code.base[candidate.piece])) {
        standing.match = CodeMatch::base;
      }
    }
    return rank(evidence, plan_.corpus, terms_, parts);
  }

  void rank_all(const std::vector<Candidate>& candidates) {
    ranked_.reserve(candidates.size());
    for (std::uint32_t number = 0; number < words_.pieces().size(); ++number) {
      const auto verdicts = workspace_.standings.of(number);
      for (const Candidate& candidate : candidates) {
        if (candidate.piece != number) continue;
        Ranked& ranked = ranked_.emplace_back();
        ranked.candidate = candidate;
        if (!verdicts.empty()) ranked.fit = static_cast<FitVerdict>(verdicts[candidate.tip]);
        ranked.score = rank_one(ranked, nullptr);
        const store::Part& part = words_.pieces()[number].part;
        ranked.id = part.id(candidate.tip);
        ranked.path = part.path(candidate.tip);
      }
    }
  }

  void choose(std::size_t limit) {
    const auto better = [](const Ranked& a, const Ranked& b) {
      return std::tie(a.candidate.withdrawn, b.score, a.id, a.path) <
             std::tie(b.candidate.withdrawn, a.score, b.id, b.path);
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
      const std::int64_t doc =
          words_.pieces()[ranked.candidate.piece].part.doc(ranked.candidate.tip);
      if (query_.only_ids) {
        hit.tip.doc = doc;
        hit.tip.id = ranked.id;
        hit.tip.path = ranked.path;
      } else if (!explain(ranked, doc, hit)) {
        continue;
      }
      answer_.hits.push_back(std::move(hit));
    }
  }

  // What only a screen needs.
  bool explain(const Ranked& ranked, std::int64_t doc, Hit& hit) {
    std::optional<store::TipRow> row = store_.tip(doc);
    if (!row) return false;
    hit.tip = std::move(*row);
    // The years of the bracket are known without a vehicle too.
    hit.fit = fit_of(hit.tip.fits, vehicle_);
    std::vector<Part> parts;
    rank_one(ranked, &parts);
    hit.why = why_of(parts, hit.fit, terms_, answer_.understood);
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

  const store::Store& store_;
  const store::Words& words_;
  const Query& query_;
  Answer& answer_;
  Workspace& workspace_;
  Vehicle vehicle_;
  Terms terms_;
  Plan plan_;
  std::vector<Ranked> ranked_;
  std::uint32_t reading_ = 0xFFFFFFFFU;  // the piece whose tips are being read
};

}  // namespace

Answer search(const store::Store& store, const Query& query) {
  Answer answer;
  answer.understood = understand(query.line, store.vocabulary(), query.dropped);
  const store::Snapshot snapshot = store.snapshot();
  answer.stamp = snapshot.stamp();
  if (snapshot.good()) Search(store, snapshot.words(), query, answer).run();
  return answer;
}

}  // namespace baylore::search
