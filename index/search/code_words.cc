#include "search/code_words.h"

#include <algorithm>
#include <optional>
#include <utility>

#include "search/line.h"
#include "shop/scan.h"
#include "trade/unit.h"

namespace baylore::search {
namespace {

constexpr std::string_view kLetters = "PBCU";

std::size_t digits_in(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), shop::scan::is_digit));
}

// `P 0128`: the letter apart. Only before four characters that start like the rest of a code and
// have two figures, so that `a c 1200` stays words. `po 301`, `p0 301`: the letter and the zero
// apart; `co` and `bo` are left alone, `co 200 ppm` is exhaust gas.
bool letter_apart(const Piece& letter, const Piece& rest) {
  const std::string& start = letter.joined;
  if (start.size() == 2) {
    const bool zero =
        start[1] == '0' && std::string_view("pbcu").find(start[0]) != std::string::npos;
    return (zero || start == "po" || start == "uo") && rest.joined.size() >= 3 &&
           shop::scan::is_digit(rest.typed[0]) && digits_in(rest.typed) >= 2;
  }
  if (start.size() != 1 || rest.joined.size() < 4) return false;
  if (rest.typed[0] < '0' || rest.typed[0] > '3' || digits_in(rest.typed) < 2) return false;
  return start == "p" || start == "u" || rest.typed[0] == '0';
}

// The code that `typed` is with that letter before it.
std::optional<trade::Code> with_letter(char letter, const std::string& typed) {
  const auto parsed = trade::parse_code(letter + typed);
  const trade::ReadCode* read = trade::value_in(parsed);
  if (read == nullptr) return std::nullopt;
  return read->code;
}

bool looks_like_half(std::string_view typed) {
  if (typed.size() != 4 && !(typed.size() == 7 && typed[4] == '-')) return false;
  if (typed[0] < '0' || typed[0] > '3' || digits_in(typed) < 2) return false;
  return std::all_of(typed.begin(), typed.end(), [](char c) {
    return shop::scan::is_digit(c) || c == '-' || (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F');
  });
}

bool year(std::string_view typed) {
  return typed.size() == 4 && digits_in(typed) == 4 && typed >= "1980" && typed <= "2039";
}

}  // namespace

CodesInLine codes_in(std::string_view line,
                     const std::function<bool(std::string_view joined)>& is_part) {
  CodesInLine found;
  std::string rest(line);
  // Of all the blanks there are, the reader of codes knows one.
  std::replace_if(
      rest.begin(), rest.end(), [](char c) { return c >= '\t' && c <= '\r'; }, ' ');
  const auto take = [&](std::size_t at, std::size_t length, const trade::ReadCode& read) {
    found.codes.push_back({at, length, read});
    std::fill_n(rest.begin() + static_cast<std::ptrdiff_t>(at), length, ' ');
  };
  for (const trade::FoundCode& code : trade::find_codes(line))
    take(code.at, code.length, code.read);

  const std::vector<Piece> pieces = pieces_of(rest);
  std::size_t since = 0;  // after the last piece that is no code
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const Piece& piece = pieces[i];
    const std::size_t earlier = std::exchange(since, piece.to);
    if (i + 1 < pieces.size() && letter_apart(piece, pieces[i + 1])) {
      const auto parsed = trade::parse_code(piece.typed + " " + pieces[i + 1].typed);
      if (const trade::ReadCode* read = trade::value_in(parsed)) {
        take(piece.from, pieces[i + 1].to - piece.from, *read);
        since = earlier;
        ++i;
        continue;
      }
    }
    if (!looks_like_half(piece.typed) || is_part(piece.joined)) continue;
    if (i + 1 < pieces.size() && trade::find_unit(pieces[i + 1].typed) != nullptr) continue;

    // After a code and nothing else: the next one of a list.
    const trade::Code* before = nullptr;
    std::size_t nearest = 0;
    for (const CodeInLine& code : found.codes) {
      if (code.at < earlier || code.at > piece.from || code.at < nearest) continue;
      nearest = code.at;
      before = &code.read.code;
    }
    if (before != nullptr && !year(piece.typed)) {
      const char letter = trade::system_letter(*before);
      if (const auto code = with_letter(letter, piece.typed)) {
        const std::string note =
            std::string("the letter ") + letter + " taken from the code before";
        take(piece.from, piece.to - piece.from, {*code, {note}});
        since = earlier;
        continue;
      }
    }
    const bool alone = pieces.size() == 1 && found.codes.empty();
    if (piece.typed[0] != '0' && (!alone || year(piece.typed))) continue;
    HalfCode half{piece.from, piece.to - piece.from, {}};
    for (const char letter : kLetters) {
      if (const auto code = with_letter(letter, piece.typed))
        half.choices.push_back(trade::text(*code));
    }
    if (!half.choices.empty()) found.halves.push_back(std::move(half));
  }
  std::sort(found.codes.begin(), found.codes.end(),
            [](const CodeInLine& a, const CodeInLine& b) { return a.at < b.at; });
  return found;
}

}  // namespace baylore::search
