// What a typed line says: codes, vehicle, years, engine, part numbers, readings, words. Nothing is
// lost: what is not recognised is a word.
#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "search/language.h"
#include "search/readings.h"
#include "search/slips.h"
#include "shop/vocabulary.h"

namespace baylore::search {

struct Vehicle {
  std::string make;
  std::string model;
  int year = 0;        // 0: not said
  std::string engine;  // "3.6 V6"
  int last_year = 0;   // of years typed as a range, `12-16`; 0: `year` is the one year meant

  [[nodiscard]] bool empty() const {
    return make.empty() && model.empty() && year == 0 && engine.empty();
  }
  [[nodiscard]] std::string text() const;  // "Corvane Hauler 2016, 3.6 V6"
  bool operator==(const Vehicle&) const = default;
};

struct Token {
  // `half_code` is a code without its letter: it asks, and searches for nothing until answered.
  enum class Kind { vehicle, code, word, vin, part, reading, half_code } kind = Kind::word;
  std::string key;    // stable name for dropping it: "vehicle", "code:P0128", "word:heater", "vin",
                      // "part:88214", "reading:9.6 V", "half:0301"
  std::string from;   // the stretch of the line it came from, as typed; empty for a VIN
  std::string shown;  // "Corvane Hauler 2016", "P0128", "heater", "88-214", "9.6 V", "0301"
  std::vector<std::string> notes;    // repairs of the input ("O read as 0"), years a VIN can mean
  std::size_t at = 0;                // where its first stretch starts in the line, in bytes
  std::vector<std::string> choices;  // of a half code, likeliest first: "P0301", "B0301" ...
};

// A part number that the shop has.
struct PartNumber {
  std::string typed;  // "88214"
  std::string shown;  // "88-214", as the shop writes it
  bool operator==(const PartNumber&) const = default;
};

struct Understood {
  std::vector<Token> tokens;
  Vehicle vehicle;                 // from the line alone
  std::vector<std::string> codes;  // normalised, base or with failure type
  std::vector<std::string> words;  // folded, in order, without the stretches above
  std::vector<PartNumber> parts;
  std::vector<Reading> readings;
  std::vector<Slip> slips;      // corrections that are in `words` (see understand_with_slips())
  std::string words_typed;      // words, parts and readings as typed, for Write's title
  bool last_word_open = false;  // the line ends inside its last word: it may still be growing
  bool vin_seen = false;  // a VIN stood in the line: it is used for the model year and never kept
  std::string line_without_vin;  // what may be stored and shown
};

// Gives back a part number as the shop writes it, asked by its folded letters and digits without
// gaps ("88214"); empty when the shop has no such part.
using KnownPart = std::function<std::string(std::string_view joined)>;

// Pure: the same line, language and parts always give the same answer. `dropped` names tokens the
// technician tapped away: a dropped vehicle or code is not used, nor are its words; a dropped word
// is left out. Tokens that were dropped are not in `tokens`.
Understood understand(std::string_view line, const Language& language,
                      const std::vector<std::string>& dropped = {}, const KnownPart& parts = {});
// The same where a line is read once in a while: the language is made for it alone.
Understood understand(std::string_view line, const shop::Vocabulary& vocabulary,
                      const std::vector<std::string>& dropped = {});

// As understand(), with the slips in its words corrected and understood again: a corrected name is
// a vehicle, corrected words are a phrase of the vocabulary. `slips` says what was corrected, and a
// slip whose key is in `dropped` is left as typed. `last_is_prefix`: the last word may be growing.
Understood understand_with_slips(std::string_view line, const Language& language,
                                 const Lexicon& lexicon, Slips& slips, bool last_is_prefix,
                                 const std::vector<std::string>& dropped = {},
                                 const KnownPart& parts = {});

// The line after a tap on one of a token's choices: it stands in place of what was typed.
std::string completed(std::string_view line, const Token& token, std::string_view choice);

}  // namespace baylore::search
