// One search, from the line to the rows:
//   1. understand the line; what it says about the vehicle adds to the job's vehicle
//   2. ask the index for tips with all the words; when these are few, for tips with any of them
//   3. add the tips that list a code of the line
//   4. rank them all, best first, withdrawn ones last, ties by id and path
//   5. read the rows of the best, with why and what to set bold
#include "search/search.h"

#include <sqlite3.h>

#include <algorithm>
#include <map>
#include <memory>
#include <set>
#include <tuple>
#include <unordered_map>

#include "search/candidates.h"
#include "search/rank.h"
#include "search/terms.h"
#include "search/title.h"
#include "shop/fold.h"
#include "trade/code.h"

namespace baylore::search {
namespace {

// How many places the row's why line has room for.
constexpr std::size_t kWhyShown = 3;
constexpr const char* kFileName = "file name";

struct Candidate {
  std::int64_t doc = 0;
  std::string id;
  std::string path;
  bool withdrawn = false;
  bool all_words = false;
  FitResult fit;
  Scored scored;
  std::vector<int> title;  // positions of matched words
};

// What the ranking needs of a tip besides its words. One statement of each kind for a whole search.
class Facts {
 public:
  explicit Facts(sqlite3* connection)
      : tip_(prepare(connection, "SELECT id, path, status FROM tips WHERE doc = ?1")),
        fits_(prepare(connection,
                      "SELECT make, model, first_year, last_year, engine FROM fits WHERE doc = ?1 "
                      "ORDER BY seq")) {}

  bool read_tip(Candidate& candidate) {
    if (!tip_) return false;
    sqlite3_reset(tip_.get());
    sqlite3_bind_int64(tip_.get(), 1, candidate.doc);
    if (sqlite3_step(tip_.get()) != SQLITE_ROW) return false;
    candidate.id = text(tip_, 0);
    candidate.path = text(tip_, 1);
    candidate.withdrawn = text(tip_, 2) == "withdrawn";
    return true;
  }

  std::vector<shop::Fit> fits(std::int64_t doc) {
    std::vector<shop::Fit> fits;
    if (!fits_) return fits;
    sqlite3_reset(fits_.get());
    sqlite3_bind_int64(fits_.get(), 1, doc);
    while (sqlite3_step(fits_.get()) == SQLITE_ROW) {
      shop::Fit fit;
      fit.make = text(fits_, 0);
      fit.model = text(fits_, 1);
      fit.first_year = sqlite3_column_int(fits_.get(), 2);
      fit.last_year = sqlite3_column_int(fits_.get(), 3);
      fit.engine = text(fits_, 4);
      fits.push_back(std::move(fit));
    }
    return fits;
  }

 private:
  struct Finalize {
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
  };
  using Statement = std::unique_ptr<sqlite3_stmt, Finalize>;

  static Statement prepare(sqlite3* connection, const char* sql) {
    sqlite3_stmt* statement = nullptr;
    sqlite3_prepare_v2(connection, sql, -1, &statement, nullptr);
    return Statement(statement);
  }
  static std::string text(const Statement& statement, int column) {
    const auto* bytes = sqlite3_column_text(statement.get(), column);
    if (bytes == nullptr) return {};
    return std::string(bytes, bytes + sqlite3_column_bytes(statement.get(), column));
  }

  Statement tip_;
  Statement fits_;
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

bool has_all_words(const Found& found, const std::vector<Term>& terms) {
  std::vector<bool> has(terms.size(), false);
  for (const Occurrence& occurrence : found.occurrences) has[occurrence.term] = true;
  for (std::size_t i = 0; i < terms.size(); ++i) {
    if (terms[i].required && !has[i]) return false;
  }
  return true;
}

// --- why ---------------------------------------------------------------------------------------

// Whether two folded words can be one to the stemmer: the same beginning, other endings.
bool related(const std::string& a, const std::string& b) {
  if (a == b) return true;
  const std::size_t least = std::min(a.size(), b.size());
  std::size_t same = 0;
  while (same < least && a[same] == b[same]) ++same;
  return same >= 4 && same + 2 >= least;
}

bool speaks_of(const std::string& text, const Term& term) {
  for (const std::string& word : shop::words_of(text)) {
    for (const Phrase& phrase : term.phrases) {
      for (const std::string& sought : shop::words_of(phrase.words)) {
        if (related(word, sought) || (phrase.prefix && word.rfind(sought, 0) == 0)) return true;
      }
    }
  }
  return false;
}

// The columns `names` and `other` hold several things of a tip: which of them has the term, as far
// as the row tells. What is left is `when` in the one and prose of further sections in the other.
std::string field_of(std::size_t column, const Term& term, const store::TipRow& tip) {
  switch (static_cast<store::FtsColumn>(column)) {
    case store::FtsColumn::names:
      if (speaks_of(tip.component, term)) return "component";
      if (speaks_of(tip.system, term)) return "system";
      for (const shop::Fit& fit : tip.fits) {
        if (speaks_of(fit.make + " " + fit.model + " " + fit.engine, term)) return "vehicle";
      }
      for (const std::string& code : tip.codes) {
        if (speaks_of(code, term)) return "code";
      }
      return "when";
    case store::FtsColumn::other:
      if (speaks_of(tip.slug, term)) return kFileName;
      if (speaks_of(tip.author, term)) return "author";
      return "background";
    default:
      return std::string(store::kFtsColumns[column]);
  }
}

std::vector<Why> why_of(const Candidate& candidate, const store::TipRow& tip, const Terms& terms,
                        const Understood& understood) {
  std::vector<Why> why;
  for (const Part& part : candidate.scored.parts) {
    std::string field;
    std::string words;
    switch (part.of) {
      case Part::Of::word: {
        const Term& term = terms.terms[part.index];
        words = term.typed;
        field = field_of(part.column, term, tip);
        break;
      }
      case Part::Of::code:
        field = "code";
        words = understood.codes[part.index];
        break;
      case Part::Of::vehicle:
        field = "vehicle";
        words = candidate.fit.words;
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
    if (each.field == kFileName && why.size() > 1) continue;
    if (shown++ == kWhyShown) break;
    line += (line.empty() ? "" : ", ") + each.field;
  }
  return line;
}

// --- the search --------------------------------------------------------------------------------

class Search {
 public:
  Search(const store::Store& store, const Query& query, Answer& answer)
      : store_(store), query_(query), answer_(answer), facts_(store.connection()) {
    vehicle_ = merged(query.vehicle, answer.understood.vehicle);
    terms_ = terms_of(answer.understood, store.vocabulary(), query.last_is_prefix);
  }

  void run() {
    if (query_.limit <= 0 || store_.connection() == nullptr) return;
    for (const std::string& code : answer_.understood.codes) {
      codes_.push_back(find_code(store_.connection(), code));
    }
    if (!terms_.terms.empty()) {
      find_by_words();
    } else if (!answer_.understood.vehicle.empty()) {
      for (const std::int64_t doc : find_vehicle(store_.connection(), vehicle_)) {
        Found found;
        found.doc = doc;
        consider(found);
      }
    }
    count();
    choose();
  }

 private:
  void find_by_words() {
    sqlite3* connection = store_.connection();
    const auto ask = [&](bool all_words) {
      candidates_.clear();
      const int code = find_words(connection, terms_.terms, all_words, corpus_,
                                  [&](const Found& found) { consider(found); });
      if (code == SQLITE_OK) return;
      store_.failed(code);
      candidates_.clear();
    };
    // With a code in the line a tip may be right that has none of the words.
    if (codes_.empty()) {
      ask(true);
      if (candidates_.size() >= static_cast<std::size_t>(query_.limit)) return;
    }
    ask(false);
    if (corpus_.tips <= 0) corpus_.tips = static_cast<double>(store_.counts().tips);
    std::set<std::int64_t> seen;
    for (const Candidate& candidate : candidates_) seen.insert(candidate.doc);
    for (const std::vector<CodeFound>& tips : codes_) {
      for (const CodeFound& tip : tips) {
        if (!seen.insert(tip.doc).second) continue;
        Found found;
        found.doc = tip.doc;
        consider(found);
      }
    }
  }

  void consider(const Found& found) {
    Candidate candidate;
    candidate.doc = found.doc;
    if (!facts_.read_tip(candidate)) return;
    if (!vehicle_.empty()) candidate.fit = fit_of(facts_.fits(found.doc), vehicle_);
    candidate.all_words = has_all_words(found, terms_.terms);
    for (const Occurrence& occurrence : found.occurrences) {
      if (occurrence.column != static_cast<std::size_t>(store::FtsColumn::title)) continue;
      for (int i = 0; i < occurrence.words; ++i) {
        candidate.title.push_back(occurrence.position + i);
      }
    }
    Evidence evidence{found, candidate.all_words, {}, candidate.fit.verdict};
    for (const std::vector<CodeFound>& tips : codes_) {
      CodeEvidence code;
      code.having = static_cast<double>(tips.size());
      const auto tip = std::lower_bound(
          tips.begin(), tips.end(), found.doc,
          [](const CodeFound& listed, std::int64_t doc) { return listed.doc < doc; });
      if (tip != tips.end() && tip->doc == found.doc) {
        code.match = tip->exact ? CodeMatch::exact : CodeMatch::base;
      }
      evidence.codes.push_back(code);
    }
    candidate.scored = rank(evidence, corpus_, terms_);
    candidates_.push_back(std::move(candidate));
  }

  void count() {
    answer_.all_words = std::any_of(candidates_.begin(), candidates_.end(),
                                    [](const Candidate& each) { return each.all_words; });
    for (const Candidate& candidate : candidates_) {
      if (answer_.all_words && !candidate.all_words) continue;
      const FitVerdict verdict = candidate.fit.verdict;
      if (verdict == FitVerdict::no_vehicle || verdict == FitVerdict::fits ||
          verdict == FitVerdict::fits_all) {
        ++answer_.fitting;
      } else {
        ++answer_.without_vehicle;
      }
    }
  }

  void choose() {
    const auto better = [](const Candidate& a, const Candidate& b) {
      return std::tie(a.withdrawn, b.scored.total, a.id, a.path) <
             std::tie(b.withdrawn, a.scored.total, b.id, b.path);
    };
    const std::size_t wanted = std::min(candidates_.size(), static_cast<std::size_t>(query_.limit));
    std::partial_sort(candidates_.begin(),
                      candidates_.begin() + static_cast<std::ptrdiff_t>(wanted), candidates_.end(),
                      better);
    for (std::size_t i = 0; i < wanted; ++i) {
      Candidate& candidate = candidates_[i];
      Hit hit;
      hit.score = candidate.scored.total;
      hit.fit = candidate.fit;
      if (query_.only_ids) {
        hit.tip.doc = candidate.doc;
        hit.tip.id = std::move(candidate.id);
        hit.tip.path = std::move(candidate.path);
      } else {
        std::optional<store::TipRow> row = store_.tip(candidate.doc);
        if (!row) continue;
        hit.tip = std::move(*row);
        // The years of the bracket are known without a vehicle too.
        if (vehicle_.empty()) hit.fit = fit_of(hit.tip.fits, vehicle_);
        hit.why = why_of(candidate, hit.tip, terms_, answer_.understood);
        hit.why_line = why_line_of(hit.why);
        hit.bold = spans_of(hit.tip.title, candidate.title);
      }
      answer_.hits.push_back(std::move(hit));
    }
  }

  const store::Store& store_;
  const Query& query_;
  Answer& answer_;
  Facts facts_;
  Vehicle vehicle_;
  Terms terms_;
  Corpus corpus_;
  std::vector<std::vector<CodeFound>> codes_;  // of each code of the line, by doc
  std::vector<Candidate> candidates_;
};

}  // namespace

Answer search(const store::Store& store, const Query& query) {
  Answer answer;
  answer.stamp = store.stamp();
  answer.understood = understand(query.line, store.vocabulary(), query.dropped);
  Search(store, query, answer).run();
  return answer;
}

}  // namespace baylore::search
