// How a line is taken apart, in this order, each step on what the ones before left over:
//   1. VINs, and what looks like one: cut out at once, only the model years they can mean stay
//   2. trouble codes, in any spelling, and codes whose letter is missing
//   3. the vehicle: make, model, years, engine
//   4. part numbers the shop has, then readings
//   5. words
// What the first two take is blanked in a working copy of the same length, so that byte offsets
// stay good.
#include "search/understand.h"

#include <algorithm>
#include <optional>
#include <utility>

#include "search/code_words.h"
#include "search/line.h"
#include "search/vehicle_words.h"
#include "shop/fold.h"
#include "trade/code.h"
#include "trade/vin.h"
#include "words/words.h"

namespace baylore::search {
namespace {

// What is longer is pasted text, not a line; the rest of it is left out.
constexpr std::size_t kLongestLine = 4096;
// A part number is written in at most so many pieces: `88 214 A`.
constexpr std::size_t kMostPartPieces = 3;
constexpr std::size_t kShortestPart = 4;

void blank(std::string& text, std::size_t at, std::size_t length) {
  std::fill_n(text.begin() + static_cast<std::ptrdiff_t>(at), std::min(length, text.size() - at),
              ' ');
}

std::string years_text(const std::vector<int>& years) {
  std::string text;
  for (const int year : years) text += (text.empty() ? "" : tr(" or ")) + std::to_string(year);
  return text;
}

// The one of a VIN's years that a model of the vocabulary was built in: the named model's when one
// is named, else any. The position-7 rule is not used: it holds for light vehicles only, and the
// line does not say which class this is.
int likely_year(const std::vector<int>& years, const Vehicle& vehicle, const Language& language) {
  if (years.size() == 1) return years.front();
  int likely = 0;
  for (const int year : years) {
    if (!language.built(vehicle.make, vehicle.model, year)) continue;
    if (likely != 0) return 0;
    likely = year;
  }
  return likely;
}

// One line being taken apart.
class Reader {
 public:
  Reader(std::string_view line, const Language& language, const std::vector<std::string>& dropped,
         const KnownPart& part)
      : line_(line), rest_(line), language_(language), dropped_(dropped), part_(part) {}

  Understood run() {
    understood_.line_without_vin = trade::without_vins(line_);
    take_vins();
    take_codes();
    pieces_ = pieces_of(rest_);
    take_the_vehicle();
    take_parts();
    for (FoundReading& found : take_readings(rest_, pieces_)) keep_reading(found);
    take_words();
    std::stable_sort(understood_.tokens.begin(), understood_.tokens.end(),
                     [](const Token& a, const Token& b) { return a.at < b.at; });
    return std::move(understood_);
  }

 private:
  [[nodiscard]] bool is_dropped(const std::string& key) const {
    return std::find(dropped_.begin(), dropped_.end(), key) != dropped_.end();
  }

  // False when it was tapped away.
  bool keep(Token token) {
    if (is_dropped(token.key)) return false;
    understood_.tokens.push_back(std::move(token));
    return true;
  }

  void take_vins() {
    while (const std::optional<trade::FoundVin> found = trade::find_vin(rest_)) {
      const std::string text = rest_.substr(found->at, found->length);
      blank(rest_, found->at, std::max<std::size_t>(found->length, 1));
      understood_.vin_seen = true;
      Token token;
      token.kind = Token::Kind::vin;
      token.key = "vin";
      token.shown = "VIN";
      token.at = found->at;
      std::vector<int> years;
      const auto read = trade::read_vin(text);
      if (const trade::Vin* vin = trade::value_in(read)) {
        years = vin->model_years;
        if (!vin->valid)
          token.notes.emplace_back(tr("the check digit does not agree: read it again"));
      } else {
        token.notes.emplace_back(tr("looks like a VIN with a slip"));
      }
      if (!years.empty()) token.notes.push_back(say("model year {0}", years_text(years)));
      if (keep(std::move(token))) vin_years_.push_back(std::move(years));
    }
  }

  void take_codes() {
    const CodesInLine found = codes_in(
        rest_, [this](std::string_view joined) { return part_ && !part_(joined).empty(); });
    for (const CodeInLine& code : found.codes) {
      Token token;
      token.kind = Token::Kind::code;
      token.shown = trade::text(code.read.code);
      token.key = "code:" + token.shown;
      token.from = rest_.substr(code.at, code.length);
      token.notes = code.read.repairs;
      token.at = code.at;
      blank(rest_, code.at, code.length);
      const std::string text = token.shown;
      if (!keep(std::move(token))) continue;
      std::vector<std::string>& codes = understood_.codes;
      if (std::find(codes.begin(), codes.end(), text) == codes.end()) codes.push_back(text);
    }
    for (const HalfCode& half : found.halves) {
      Token token;
      token.kind = Token::Kind::half_code;
      token.from = rest_.substr(half.at, half.length);
      token.shown = token.from;
      token.key = "half:" + token.from;
      token.choices = half.choices;
      token.notes.emplace_back(tr("a code without its letter"));
      token.at = half.at;
      blank(rest_, half.at, half.length);
      keep(std::move(token));
    }
  }

  void take_the_vehicle() {
    Vehicle& vehicle = understood_.vehicle;
    vehicle = take_vehicle(pieces_, language_);
    for (const std::vector<int>& years : vin_years_) {
      if (vehicle.year == 0) vehicle.year = likely_year(years, vehicle, language_);
    }
    Token token;
    token.kind = Token::Kind::vehicle;
    token.key = "vehicle";
    token.shown = vehicle.text();
    token.at = line_.size();
    for (const Piece& piece : pieces_) {
      if (!piece.taken) continue;
      token.at = std::min(token.at, piece.from);
      token.from += (token.from.empty() ? "" : " ") + piece.typed;
    }
    // Words brought together can make a VIN of what stood too far apart for one.
    token.from = trade::without_vins(token.from);
    if (vehicle.empty()) return;
    if (!keep(std::move(token))) vehicle = {};
  }

  // The longest run of pieces that is a part number, written together or apart.
  void take_parts() {
    if (!part_) return;
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      std::string joined;
      PartNumber part;
      std::size_t count = 0;
      for (std::size_t n = 1; n <= kMostPartPieces && i + n <= pieces_.size(); ++n) {
        const Piece& piece = pieces_[i + n - 1];
        if (piece.taken) break;
        joined += piece.joined;
        if (joined.size() < kShortestPart) continue;
        if (joined.find_first_of("0123456789") == std::string::npos) continue;
        std::string shown = part_(joined);
        if (shown.empty()) continue;
        count = n;
        part.shown = std::move(shown);
      }
      if (count == 0) continue;
      part.typed = rest_.substr(pieces_[i].from, pieces_[i + count - 1].to - pieces_[i].from);
      Token token;
      token.kind = Token::Kind::part;
      token.key = "part:";
      for (const std::string& word : shop::words_of(part.shown)) token.key += word;
      token.from = part.typed;
      token.shown = part.shown;
      token.at = pieces_[i].from;
      for (std::size_t n = 0; n < count; ++n) pieces_[i + n].taken = true;
      i += count - 1;
      add_typed(token.at, part.typed);
      if (keep(std::move(token))) {
        understood_.parts.push_back(std::move(part));
      } else {
        typed_.pop_back();
      }
    }
  }

  void keep_reading(FoundReading& found) {
    Token token;
    token.kind = Token::Kind::reading;
    token.from = found.reading.typed;
    token.shown = found.reading.shown;
    token.key = "reading:" + token.shown;
    token.at = pieces_[found.first].from;
    const std::size_t at = token.at;
    if (!keep(std::move(token))) return;
    add_typed(at, found.reading.typed);
    understood_.readings.push_back(std::move(found.reading));
  }

  void take_words() {
    for (const Piece& piece : pieces_) {
      if (piece.taken) continue;
      Token token;
      token.kind = Token::Kind::word;
      token.key = "word:";
      for (const std::string& word : piece.words) {
        token.key += (token.key.size() == 5 ? "" : " ") + word;
      }
      token.from = piece.typed;
      token.shown = piece.typed;
      token.at = piece.from;
      if (!keep(std::move(token))) continue;
      for (const std::string& word : piece.words) understood_.words.push_back(word);
      add_typed(piece.from, piece.typed);
      understood_.last_word_open = piece.to == line_.size();
    }
    std::stable_sort(typed_.begin(), typed_.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    std::string& all = understood_.words_typed;
    for (const auto& [at, typed] : typed_) all += (all.empty() ? "" : " ") + typed;
    all = trade::without_vins(all);
  }

  void add_typed(std::size_t at, const std::string& typed) { typed_.emplace_back(at, typed); }

  std::string_view line_;
  std::string rest_;  // the line, with everything the first steps took blanked
  const Language& language_;
  const std::vector<std::string>& dropped_;
  const KnownPart& part_;
  Understood understood_;
  std::vector<Piece> pieces_;
  std::vector<std::vector<int>> vin_years_;  // of every VIN, the model years it can mean
  std::vector<std::pair<std::size_t, std::string>> typed_;  // for words_typed, with their places
};

// A line with its slips put right, and where its bytes came from.
struct Corrected {
  std::string line;
  struct Stretch {
    std::size_t at = 0;      // in the corrected line
    std::size_t was_at = 0;  // in the line as typed
    std::size_t after = 0;   // where the stretch ends in the corrected line
    std::size_t was_after = 0;
  };
  std::vector<Stretch> stretches;  // by place

  // Moves a token of the corrected line to its place in the line as typed.
  void put_back(Token& token, std::string_view typed) const {
    std::ptrdiff_t shift = 0;
    for (const Stretch& stretch : stretches) {
      if (token.at < stretch.at) break;
      if (token.at < stretch.after) {
        // Of several words that hung together, perhaps one that is as it was typed.
        const std::string_view was =
            typed.substr(stretch.was_at, stretch.was_after - stretch.was_at);
        const std::size_t found = was.find(token.from);
        token.at = stretch.was_at + (found == std::string_view::npos ? 0 : found);
        if (found == std::string_view::npos && token.kind == Token::Kind::half_code)
          token.from = was;
        return;
      }
      shift = static_cast<std::ptrdiff_t>(stretch.was_after) -
              static_cast<std::ptrdiff_t>(stretch.after);
    }
    token.at = static_cast<std::size_t>(static_cast<std::ptrdiff_t>(token.at) + shift);
  }
};

// Every word token that has a slip is written anew, from the words it is corrected to.
Corrected correct(std::string_view line, const Understood& understood,
                  const std::vector<Slip>& slips) {
  std::vector<std::optional<std::vector<std::string>>> become(understood.words.size());
  for (const Slip& slip : slips) {
    if (slip.keeps) continue;
    for (std::size_t i = 0; i < slip.count; ++i)
      become[slip.first + i] = std::vector<std::string>();
    become[slip.first] = slip.words;
  }
  Corrected corrected;
  std::size_t copied = 0;
  std::size_t next = 0;  // word
  for (const Token& token : understood.tokens) {
    if (token.kind != Token::Kind::word) continue;
    const std::size_t count = shop::words_of(token.from).size();
    bool changed = false;
    std::string text;
    const auto add = [&](const std::string& word) { text += (text.empty() ? "" : " ") + word; };
    for (std::size_t i = next; i < next + count && i < become.size(); ++i) {
      if (!become[i]) {
        add(understood.words[i]);
        continue;
      }
      changed = true;
      for (const std::string& word : *become[i]) add(word);
    }
    next += count;
    if (!changed) continue;
    corrected.line += line.substr(copied, token.at - copied);
    copied = token.at + token.from.size();
    corrected.stretches.push_back(
        {corrected.line.size(), token.at, corrected.line.size() + text.size(), copied});
    corrected.line += text;
  }
  corrected.line += line.substr(copied);
  // The half of a word that was drawn to the one before leaves its blank behind.
  while (understood.last_word_open && !corrected.line.empty() && corrected.line.back() == ' ') {
    corrected.line.pop_back();
  }
  return corrected;
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

Understood understand(std::string_view line, const Language& language,
                      const std::vector<std::string>& dropped, const KnownPart& parts) {
  if (line.size() > kLongestLine) {
    // Cut at a blank: half a VIN would not be recognised as one.
    line = line.substr(0, kLongestLine);
    line = line.substr(0, line.find_last_of(" \t\r\n") + 1);
  }
  return Reader(line, language, dropped, parts).run();
}

Understood understand(std::string_view line, const shop::Vocabulary& vocabulary,
                      const std::vector<std::string>& dropped) {
  return understand(line, Language(vocabulary), dropped);
}

Understood understand_with_slips(std::string_view line, const Language& language,
                                 const Lexicon& lexicon, Slips& slips, bool last_is_prefix,
                                 const std::vector<std::string>& dropped, const KnownPart& parts) {
  Understood typed = understand(line, language, dropped, parts);
  std::vector<Slip> found =
      slips.find(typed.words, last_is_prefix && typed.last_word_open, lexicon, language, dropped);
  const Corrected corrected = correct(line, typed, found);
  if (corrected.stretches.empty()) {
    typed.slips = std::move(found);
    return typed;
  }
  Understood understood = understand(corrected.line, language, dropped, parts);
  understood.line_without_vin = std::move(typed.line_without_vin);
  for (Token& token : understood.tokens) corrected.put_back(token, line);
  understood.slips = std::move(found);
  return understood;
}

std::string completed(std::string_view line, const Token& token, std::string_view choice) {
  const std::string before(line.substr(0, std::min(token.at, line.size())));
  const std::string after(line.substr(std::min(token.at + token.from.size(), line.size())));
  std::string text = before + std::string(choice) + after;
  const auto codes = trade::find_codes(text);
  const bool stands_apart =
      std::any_of(codes.begin(), codes.end(),
                  [&](const trade::FoundCode& code) { return code.at == before.size(); });
  // What it hung together with would make it no code.
  return stands_apart ? text : before + " " + std::string(choice) + " " + after;
}

}  // namespace baylore::search
