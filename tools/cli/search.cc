#include "search/search.h"

#include <fmt/format.h>

#include <memory>
#include <nlohmann/json.hpp>

#include "files/disk.h"
#include "opened.h"

namespace baylore::cli {
namespace {

struct SearchAsked {
  std::vector<std::string> words;
  std::string queries;  // file of `QID<TAB>words` lines
  bool as_run = false;
  int limit = 20;
};

std::string_view kind_word(search::Token::Kind kind) {
  switch (kind) {
    case search::Token::Kind::vehicle:
      return "vehicle";
    case search::Token::Kind::code:
      return "code";
    case search::Token::Kind::word:
      return "word";
    case search::Token::Kind::vin:
      return "vin";
    case search::Token::Kind::part:
      return "part";
    case search::Token::Kind::reading:
      return "reading";
    case search::Token::Kind::half_code:
      return "half-code";
  }
  return "word";
}

std::string_view verdict_word(search::FitVerdict verdict) {
  switch (verdict) {
    case search::FitVerdict::no_vehicle:
      return "no vehicle";
    case search::FitVerdict::fits:
      return "fits";
    case search::FitVerdict::fits_all:
      return "fits all";
    case search::FitVerdict::other_year:
      return "other year";
    case search::FitVerdict::other_engine:
      return "other engine";
    case search::FitVerdict::other_model:
      return "other model";
  }
  return "no vehicle";
}

nlohmann::json to_json(const search::Understood& understood) {
  nlohmann::json tokens = nlohmann::json::array();
  for (const search::Token& token : understood.tokens) {
    tokens.push_back({{"kind", std::string(kind_word(token.kind))},
                      {"key", token.key},
                      {"from", token.from},
                      {"shown", token.shown},
                      {"notes", token.notes},
                      {"choices", token.choices}});
  }
  nlohmann::json slips = nlohmann::json::array();
  for (const search::Slip& slip : understood.slips) {
    slips.push_back({{"typed", slip.typed}, {"shown", slip.shown}, {"keeps", slip.keeps}});
  }
  nlohmann::json parts = nlohmann::json::array();
  for (const search::PartNumber& part : understood.parts) parts.push_back(part.shown);
  nlohmann::json readings = nlohmann::json::array();
  for (const search::Reading& reading : understood.readings) readings.push_back(reading.shown);
  const search::Vehicle& vehicle = understood.vehicle;
  return {{"tokens", tokens},
          {"vehicle",
           {{"make", vehicle.make},
            {"model", vehicle.model},
            {"year", vehicle.year},
            {"last_year", vehicle.last_year},
            {"engine", vehicle.engine}}},
          {"codes", understood.codes},
          {"words", understood.words},
          {"parts", parts},
          {"readings", readings},
          {"slips", slips},
          {"vin_seen", understood.vin_seen}};
}

nlohmann::json to_json(const search::Hit& hit) {
  nlohmann::json why = nlohmann::json::array();
  for (const search::Why& each : hit.why) {
    why.push_back({{"field", each.field}, {"words", each.words}, {"score", each.score}});
  }
  nlohmann::json bold = nlohmann::json::array();
  for (const search::Span& span : hit.bold) bold.push_back({span.from, span.to});
  return {{"id", hit.tip.id},
          {"title", hit.tip.title},
          {"score", hit.score},
          {"fit", hit.fit.words},
          {"verdict", std::string(verdict_word(hit.fit.verdict))},
          {"why", why},
          {"bold", bold},
          {"path", hit.tip.path},
          {"status", hit.tip.status},
          {"system", hit.tip.system},
          {"component", hit.tip.component},
          {"codes", hit.tip.codes},
          {"fits", cli::to_json(hit.tip.fits)},
          {"broken", hit.tip.broken}};
}

void print_for_people(const search::Answer& answer) {
  std::string understood;
  for (const search::Token& token : answer.understood.tokens) {
    understood += (understood.empty() ? "" : " + ") + token.shown;
    std::string notes;
    for (const std::string& note : token.notes) notes += (notes.empty() ? "" : "; ") + note;
    for (const std::string& choice : token.choices) {
      notes += (choice == token.choices.front() ? ": " : ", ") + choice + "?";
    }
    if (!notes.empty()) understood += " (" + notes + ")";
  }
  const auto say = [&] {
    for (const search::Slip& slip : answer.understood.slips) fmt::print("{}\n", slip.said());
    if (!answer.shortfall.empty() && !answer.hits.empty()) fmt::print("{}\n", answer.shortfall);
  };
  if (answer.hits.empty()) {
    fmt::print("Nothing for {}.\n", understood.empty() ? "an empty line" : understood);
    say();
    return;
  }
  fmt::print("{}\n", understood);
  say();
  std::size_t rank = 0;
  for (const search::Hit& hit : answer.hits) {
    if (rank == answer.above && rank > 0) fmt::print("---- for other vehicles, or less alike\n");
    ++rank;
    fmt::print("{:>3}. {}{}\n", rank, hit.tip.title,
               hit.tip.status == "withdrawn" ? " (withdrawn)" : "");
    fmt::print("     {}{}{}  [{}]\n", hit.fit.words, hit.fit.words.empty() ? "" : ": ",
               hit.why_line, hit.tip.id);
  }
}

// One query of a file: `QID<TAB>words`, further columns ignored.
struct Line {
  std::string id;
  std::string words;
};

// The queries of a file; nothing when a line is not one.
std::optional<std::vector<Line>> read_queries(const std::string& path) {
  const auto bytes = files::real_disk().read(path, files::kTextLimit);
  if (!bytes) {
    complain(bytes.failure());
    return std::nullopt;
  }
  std::vector<Line> lines;
  std::size_t at = 0;
  int number = 0;
  while (at < bytes->size()) {
    const std::size_t end = std::min(bytes->find('\n', at), bytes->size());
    std::string text = bytes->substr(at, end - at);
    at = end + 1;
    ++number;
    if (!text.empty() && text.back() == '\r') text.pop_back();
    if (text.empty() || text.front() == '#') continue;
    const std::size_t tab = text.find('\t');
    if (tab == std::string::npos || tab == 0 || text.find(' ') < tab) {
      complain(fmt::format("{}:{}:1: not a query: write an id without blanks, a tab and the words",
                           path, number));
      return std::nullopt;
    }
    const std::size_t next = text.find('\t', tab + 1);
    lines.push_back({text.substr(0, tab),
                     text.substr(tab + 1, next == std::string::npos ? next : next - tab - 1)});
  }
  return lines;
}

// A TREC run of the lines in a file.
int run(const store::Store& store, const SearchAsked& asked) {
  const std::optional<std::vector<Line>> lines = read_queries(asked.queries);
  if (!lines) return kCouldNotRun;
  for (const Line& line : *lines) {
    search::Query query;
    query.line = line.words;
    query.limit = asked.limit;
    query.last_is_prefix = false;
    query.only_ids = true;
    // Programs that read runs sort by the score: it falls with the rank, also where a tip for
    // another vehicle stands behind one that fits.
    int rank = 0;
    for (const search::Hit& hit : search::search(store, query).hits) {
      fmt::print("{} Q0 {} {} {:.6f} baylore\n", line.id, hit.tip.id, rank + 1, 1.0 / (rank + 1));
      ++rank;
    }
  }
  return kDone;
}

// The rows for the words; with `queries` a TREC run instead.
int search(const Common& common, const SearchAsked& asked) {
  const std::optional<Opened> opened = open(common);
  if (!opened) return kCouldNotRun;
  if (!asked.queries.empty()) return run(opened->store, asked);

  search::Query query;
  for (const std::string& word : asked.words) {
    query.line += (query.line.empty() ? "" : " ") + word;
  }
  query.limit = asked.limit;
  query.last_is_prefix = false;
  const search::Answer answer = search::search(opened->store, query);
  if (common.json) {
    nlohmann::json results = nlohmann::json::array();
    for (const search::Hit& hit : answer.hits) results.push_back(to_json(hit));
    print({{"understood", to_json(answer.understood)},
           {"results", results},
           {"all_words", answer.all_words},
           {"above", answer.above},
           {"shortfall", answer.shortfall},
           {"fitting", answer.fitting},
           {"without_vehicle", answer.without_vehicle}});
  } else {
    print_for_people(answer);
  }
  return kDone;
}

}  // namespace

void add_search(Arguments& arguments) {
  Verb verb = arguments.verb("search", "Tips for a line as typed at the bay");
  verb.option("--shop").required();
  const auto asked = std::make_shared<SearchAsked>();
  verb.texts("words", asked->words, "Words, codes, vehicle");
  const Option queries = verb.text("--queries", asked->queries, "File of `QID<TAB>words` lines");
  const Option as_run = verb.flag("--run", asked->as_run, "Print a TREC run for --queries");
  verb.number("--limit", asked->limit, "At most so many results").within(1, 100000).shows_default();
  queries.needs(as_run);
  as_run.needs(queries);
  verb.runs([asked](const Common& common) { return search(common, *asked); });
}

}  // namespace baylore::cli
