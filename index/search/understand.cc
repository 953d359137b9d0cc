// How a line is taken apart, in this order, each step on what the ones before left over:
//   1. VINs, and what looks like one: cut out at once, only the model years they can mean stay
//   2. trouble codes, in any spelling
//   3. the vehicle: make, model, years, engine
//   4. words
// What a step takes is blanked in a working copy of the same length, so that byte offsets stay
// good.
#include "search/understand.h"

#include <algorithm>
#include <map>
#include <optional>

#include "search/line.h"
#include "search/vehicle_words.h"
#include "shop/fold.h"
#include "trade/code.h"
#include "trade/vin.h"

namespace baylore::search {
namespace {

// What is longer is pasted text, not a line; the rest of it is left out.
constexpr std::size_t kLongestLine = 4096;

struct Placed {
  std::size_t at = 0;
  Token token;
};

struct Reading {
  std::string rest;  // the line, with everything taken blanked
  std::vector<Placed> placed;
  std::vector<std::vector<int>> vin_years;  // of every VIN, the model years it can mean
  std::vector<trade::Code> codes;
};

void blank(std::string& text, std::size_t at, std::size_t length) {
  std::fill_n(text.begin() + static_cast<std::ptrdiff_t>(at), std::min(length, text.size() - at),
              ' ');
}

std::string years_text(const std::vector<int>& years) {
  std::string text;
  for (const int year : years) text += (text.empty() ? "" : " or ") + std::to_string(year);
  return text;
}

void take_vins(Reading& reading) {
  while (const std::optional<trade::FoundVin> found = trade::find_vin(reading.rest)) {
    const std::string text = reading.rest.substr(found->at, found->length);
    blank(reading.rest, found->at, std::max<std::size_t>(found->length, 1));
    Token token;
    token.kind = Token::Kind::vin;
    token.key = "vin";
    token.shown = "VIN";
    std::vector<int> years;
    const auto read = trade::read_vin(text);
    if (const trade::Vin* vin = trade::value_in(read)) {
      years = vin->model_years;
      if (!vin->valid) token.notes.push_back("the check digit does not agree: read it again");
    } else {
      token.notes.push_back("looks like a VIN with a slip");
    }
    if (!years.empty()) token.notes.push_back("model year " + years_text(years));
    reading.vin_years.push_back(std::move(years));
    reading.placed.push_back({found->at, std::move(token)});
  }
}

void take_code(Reading& reading, std::size_t at, std::size_t length, const trade::ReadCode& read) {
  Token token;
  token.kind = Token::Kind::code;
  token.shown = trade::text(read.code);
  token.key = "code:" + token.shown;
  token.from = reading.rest.substr(at, length);
  token.notes = read.repairs;
  reading.codes.push_back(read.code);
  reading.placed.push_back({at, std::move(token)});
  blank(reading.rest, at, length);
}

void take_codes(Reading& reading) {
  for (const trade::FoundCode& found : trade::find_codes(reading.rest)) {
    take_code(reading, found.at, found.length, found.read);
  }
  // `P 0128`: the letter apart. Only before four characters that start like the rest of a code and
  // have two figures, so that `a c 1200` stays words.
  const std::vector<Piece> pieces = pieces_of(reading.rest);
  for (std::size_t i = 0; i + 1 < pieces.size(); ++i) {
    const Piece& letter = pieces[i];
    const Piece& rest = pieces[i + 1];
    if (letter.joined.size() != 1 || rest.joined.size() < 4) continue;
    if (rest.typed[0] < '0' || rest.typed[0] > '3') continue;
    if (std::count_if(rest.typed.begin(), rest.typed.end(),
                      [](char c) { return c >= '0' && c <= '9'; }) < 2) {
      continue;
    }
    if (letter.joined != "p" && letter.joined != "u" && rest.typed[0] != '0') continue;
    const auto read = trade::parse_code(letter.typed + " " + rest.typed);
    if (const trade::ReadCode* code = trade::value_in(read)) {
      take_code(reading, letter.from, rest.to - letter.from, *code);
    }
  }
}

// The one of a VIN's years that a model of the shop's vocabulary was built in: the named model's
// when one is named, else any. The position-7 rule is not used: it holds for light vehicles only,
// and the line does not say which class this is.
int likely_year(const std::vector<int>& years, const Vehicle& vehicle,
                const shop::Vocabulary& vocabulary) {
  if (years.size() == 1) return years.front();
  int likely = 0;
  for (const int year : years) {
    const bool built = std::any_of(vocabulary.models.begin(), vocabulary.models.end(),
                                   [&](const shop::Model& model) {
                                     if (!vehicle.make.empty() && model.make != vehicle.make)
                                       return false;
                                     if (!vehicle.model.empty() && model.name != vehicle.model)
                                       return false;
                                     if (model.first_year == 0 && model.last_year == 0)
                                       return false;
                                     return (model.first_year == 0 || model.first_year <= year) &&
                                            (model.last_year == 0 || year <= model.last_year);
                                   });
    if (!built) continue;
    if (likely != 0) return 0;
    likely = year;
  }
  return likely;
}

}  // namespace

std::string Vehicle::text() const {
  std::string text = make;
  const auto add = [&](const std::string& word, const char* gap) {
    if (!word.empty()) text += (text.empty() ? "" : gap) + word;
  };
  add(model, " ");
  if (year != 0) {
    add(std::to_string(year) + (last_year != 0 ? "\xE2\x80\x93" + std::to_string(last_year) : ""),
        " ");
  }
  add(engine, ", ");
  return text;
}

Understood understand(std::string_view line, const shop::Vocabulary& vocabulary,
                      const std::vector<std::string>& dropped) {
  const auto is_dropped = [&](const std::string& key) {
    return std::find(dropped.begin(), dropped.end(), key) != dropped.end();
  };
  if (line.size() > kLongestLine) {
    // Cut at a blank: half a VIN would not be recognised as one.
    line = line.substr(0, kLongestLine);
    line = line.substr(0, line.find_last_of(" \t\r\n") + 1);
  }

  Understood understood;
  understood.line_without_vin = trade::without_vins(line);
  Reading reading;
  reading.rest = std::string(line);
  take_vins(reading);
  understood.vin_seen = !reading.vin_years.empty();
  take_codes(reading);
  std::vector<Piece> pieces = pieces_of(reading.rest);
  understood.vehicle = take_vehicle(pieces, vocabulary);

  if (!is_dropped("vin")) {
    for (const std::vector<int>& years : reading.vin_years) {
      if (understood.vehicle.year == 0) {
        understood.vehicle.year = likely_year(years, understood.vehicle, vocabulary);
      }
    }
  }

  Token vehicle;
  vehicle.kind = Token::Kind::vehicle;
  vehicle.key = "vehicle";
  vehicle.shown = understood.vehicle.text();
  std::size_t vehicle_at = line.size();
  for (const Piece& piece : pieces) {
    if (piece.taken) {
      vehicle_at = std::min(vehicle_at, piece.from);
      vehicle.from += (vehicle.from.empty() ? "" : " ") + piece.typed;
      continue;
    }
    Token token;
    token.kind = Token::Kind::word;
    token.key = "word:";
    for (const std::string& word : piece.words) {
      token.key += (token.key.size() == 5 ? "" : " ") + word;
    }
    token.from = piece.typed;
    token.shown = piece.typed;
    if (is_dropped(token.key)) continue;
    for (const std::string& word : piece.words) understood.words.push_back(word);
    understood.words_typed += (understood.words_typed.empty() ? "" : " ") + piece.typed;
    understood.last_word_open = piece.to == line.size();
    reading.placed.push_back({piece.from, std::move(token)});
  }
  // Words brought together can make a VIN of what stood too far apart for one.
  understood.words_typed = trade::without_vins(understood.words_typed);
  vehicle.from = trade::without_vins(vehicle.from);
  if (is_dropped("vehicle")) {
    understood.vehicle = {};
  } else if (!understood.vehicle.empty()) {
    reading.placed.push_back({vehicle_at, std::move(vehicle)});
  }

  for (const trade::Code& code : reading.codes) {
    std::string text = trade::text(code);
    if (is_dropped("code:" + text)) continue;
    if (std::find(understood.codes.begin(), understood.codes.end(), text) ==
        understood.codes.end()) {
      understood.codes.push_back(std::move(text));
    }
  }

  std::stable_sort(reading.placed.begin(), reading.placed.end(),
                   [](const Placed& a, const Placed& b) { return a.at < b.at; });
  for (Placed& placed : reading.placed) {
    if (!is_dropped(placed.token.key)) understood.tokens.push_back(std::move(placed.token));
  }
  return understood;
}

}  // namespace baylore::search
