// What a typed line says: codes, vehicle, years, engine, words. Nothing is lost: what is not
// recognised is a word.
#pragma once

#include <string>
#include <string_view>
#include <vector>

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
  enum class Kind { vehicle, code, word, vin } kind = Kind::word;
  std::string key;    // stable name for dropping it: "vehicle", "code:P0128", "word:heater", "vin"
  std::string from;   // the stretch of the line it came from, as typed; empty for a VIN
  std::string shown;  // "Corvane Hauler 2016", "P0128", "heater"
  std::vector<std::string> notes;  // repairs of the input ("O read as 0"), years a VIN can mean
};

struct Understood {
  std::vector<Token> tokens;
  Vehicle vehicle;                 // from the line alone
  std::vector<std::string> codes;  // normalised, base or with failure type
  std::vector<std::string> words;  // folded, in order, without the stretches above
  std::string words_typed;         // the same as typed, for Write's title
  bool last_word_open = false;     // the line ends inside its last word: it may still be growing
  bool vin_seen = false;  // a VIN stood in the line: it is used for the model year and never kept
  std::string line_without_vin;  // what may be stored and shown
};

// Pure: the same line and vocabulary always give the same answer. `dropped` names tokens the
// technician tapped away: a dropped vehicle or code is not used, nor are its words; a dropped word
// is left out. Tokens that were dropped are not in `tokens`.
Understood understand(std::string_view line, const shop::Vocabulary& vocabulary,
                      const std::vector<std::string>& dropped = {});

}  // namespace baylore::search
