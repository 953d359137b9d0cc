// From one typed line to ranked tips, each with why it matched.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "search/understand.h"
#include "store/store.h"

namespace baylore::search {

// How a tip stands to the vehicle asked for.
enum class FitVerdict {
  no_vehicle,    // none asked for
  fits,          // make, model, year and engine as far as both say
  fits_all,      // the tip names no vehicle
  other_year,    // model fits, its years end before or begin after
  other_engine,  // model and year fit, the engine differs
  other_model,   // another model or make
};

struct FitResult {
  FitVerdict verdict = FitVerdict::no_vehicle;
  int first_year = 0;  // of the nearest fit line, for the bracket; 0 when open
  int last_year = 0;
  int year = 0;       // of the vehicle asked for
  std::string words;  // "fits", "fits all", "to 2013 only", "from 2016", "5.3 V8 only", "other
                      // model: Ostrel Vane"
};

// One reason a result is where it is, in the order of its weight.
struct Why {
  std::string field;  // "title", "symptom", "code", "vehicle" ...
  std::string words;  // what matched there, as typed: "heater"
  double score = 0;   // its part of the result's score
  bool prose = true;  // words of the line; not a code, the vehicle or what the tip has proved
};

// A stretch of the title to set bold: byte offsets.
struct Span {
  std::size_t from = 0;
  std::size_t to = 0;
};

struct Hit {
  store::TipRow tip;
  double score = 0;
  double words = 0;  // of it, what words brought; not codes, wherever they stand
  FitResult fit;
  std::vector<Why> why;
  std::vector<Span> bold;  // matched words in the title
  std::string why_line;    // "title, vehicle" for the row
};

// What a tip has proved in this shop: jobs on which it was worked with, of these those it was the
// cause of, of these those that came back.
struct Track {
  int used = 0;
  int right = 0;
  int came_back = 0;
};
using TrackRecord = std::unordered_map<std::string, Track, TextHash, std::equal_to<>>;  // by tip id

struct Answer {
  Understood understood;
  // Best first, those for other vehicles behind all others; ties broken by tip id, so that the
  // order is always the same.
  std::vector<Hit> hits;
  std::size_t above = 0;    // how many of the hits are not for another vehicle: a rule goes there
  std::size_t fitting = 0;  // of all matches, how many fit the vehicle (or fit all)
  std::size_t without_vehicle = 0;  // how many more there are for other vehicles
  std::uint64_t stamp = 0;          // of the store that answered
  bool all_words = true;    // false when no tip had all the words and any of them was asked for
  bool by_vehicle = false;  // nothing has any of the line: the hits are what fits the vehicle
  std::string shortfall;    // what the answer could not keep of the line: see relax.h
};

struct Query {
  std::string line;
  Vehicle vehicle;                   // of the job; what the line says about the vehicle adds to it
  std::vector<std::string> dropped;  // tokens the technician tapped away, by Token::key
  int limit = 20;
  bool last_is_prefix = true;                 // false for finished queries from scripts
  bool only_ids = false;                      // skip what only a screen needs
  std::shared_ptr<const TrackRecord> tracks;  // what the records say of the tips; may be empty
};

// Slips in the line are corrected (understood.slips) and what no tip has is left out (shortfall),
// both said. Never fails: a damaged store answers with no hits (the build notices it).
Answer search(const store::Store& store, const Query& query);

// How one tip stands to a vehicle; used by the Tip screen too.
FitResult fit_of(const std::vector<shop::Fit>& fits, const Vehicle& vehicle);

}  // namespace baylore::search
