#include "trade/gtin.h"

#include <algorithm>

#include "trade/scan.h"

namespace baylore::trade {
namespace {

constexpr std::size_t kLongest = 96;
constexpr std::size_t kWhole = 14;
constexpr std::size_t kLongestLot = 20;  // GS1 General Specifications 3.4.1: AI (10) is an..20
constexpr char kGroupSeparator = 29;     // FNC1 as transmitted

bool all_digits(std::string_view text) {
  return std::all_of(text.begin(), text.end(), scan::is_digit);
}

// What stands behind the article number: nothing, or application identifiers, whose names are
// digits. The lot is that of identifier 10, when it comes first: up to FNC1, the next bracket or
// the end.
Parsed<std::string> lot_in(std::string_view text, std::size_t at) {
  const std::string_view rest = text.substr(at);
  const std::string_view name = rest.substr(0, 1) == "(" ? rest.substr(1) : rest;
  if (rest.empty() || rest == std::string_view(&kGroupSeparator, 1)) return std::string();
  if (name.empty() || !scan::is_digit(name[0])) {
    return Refusal{at, "what follows the article number is no application identifier",
                   "scan it again, or type the 14 digits alone"};
  }
  if (name.substr(0, 2) != "10") return std::string();
  const std::size_t from = at + (rest[0] == '(' ? 4 : 2);
  if (rest[0] == '(' && rest.substr(0, 4) != "(10)") return std::string();
  std::size_t end = from;
  while (end < text.size() && text[end] != kGroupSeparator && text[end] != '(') ++end;
  const std::string_view lot = text.substr(from, end - from);
  const bool printable =
      std::all_of(lot.begin(), lot.end(), [](char c) { return c > ' ' && c < 127; });
  if (lot.empty() || lot.size() > kLongestLot || !printable) {
    return Refusal{from, "the lot has 1 to 20 letters, digits and marks",
                   "scan it again, or type the article number alone"};
  }
  return std::string(lot);
}

struct Taken {
  std::string digits;
  std::size_t at = 0;      // where the digits begin
  std::size_t behind = 0;  // an element string: where the rest begins; 0: none
};

// `(01)` and 14 digits, or `01` and 14 digits with more behind them or a symbology in front.
std::optional<Taken> element_string(std::string_view text) {
  std::size_t at = text.size() > 3 && text[0] == ']' ? 3 : 0;
  if (at < text.size() && text[at] == kGroupSeparator) ++at;
  const bool brackets = text.substr(at, 4) == "(01)";
  const std::size_t from = at + (brackets ? 4 : 2);
  if (!brackets && text.substr(at, 2) != "01") return std::nullopt;
  const std::string_view digits = text.substr(std::min(from, text.size()), kWhole);
  if (digits.size() != kWhole || !all_digits(digits)) return std::nullopt;
  return Taken{std::string(digits), from, from + kWhole};
}

}  // namespace

std::optional<char> gtin_check_digit(std::string_view digits) {
  if (digits.empty() || !all_digits(digits)) return std::nullopt;
  int sum = 0;
  int weight = 3;
  for (auto c = digits.rbegin(); c != digits.rend(); ++c) {
    sum += weight * (*c - '0');
    weight = 4 - weight;
  }
  return static_cast<char>('0' + (10 - sum % 10) % 10);
}

Parsed<Gtin> read_gtin(std::string_view text) {
  if (text.size() > kLongest) {
    return Refusal{kLongest, "too long for a barcode's number", "scan or type the article number"};
  }
  Taken taken;
  if (const auto element = element_string(text)) {
    taken = *element;
  } else {
    // A single symbol of the retail kind may come with its identifier alone: `]E0` and 13 digits.
    taken.at = text.size() > 3 && text[0] == ']' ? 3 : 0;
    for (std::size_t i = taken.at; i < text.size(); ++i) {
      if (text[i] == ' ' || text[i] == '-') continue;
      if (!scan::is_digit(text[i])) {
        return Refusal{i, "a barcode's number has digits only", "type the digits under the bars"};
      }
      taken.digits += text[i];
    }
  }
  const std::size_t length = taken.digits.size();
  if (length != 8 && length != 12 && length != 13 && length != kWhole) {
    return Refusal{text.size(), std::to_string(length) + " digits",
                   "a barcode's number has 8, 12, 13 or 14"};
  }
  const std::string_view body = std::string_view(taken.digits).substr(0, length - 1);
  const char check = gtin_check_digit(body).value_or('0');
  if (check != taken.digits.back()) {
    return Refusal{
        text.size(),
        std::string("the check digit should be ") + check + " and is " + taken.digits.back(),
        "scan it again, or compare digit by digit"};
  }
  if (taken.digits.find_first_not_of('0') == std::string::npos) {
    return Refusal{taken.at, "only zeros, which is no article", "type the digits under the bars"};
  }
  Gtin gtin;
  if (taken.behind > 0) {
    const Parsed<std::string> lot = lot_in(text, taken.behind);
    if (const Refusal* refusal = refusal_in(lot)) return *refusal;
    gtin.lot = baylore::trade::taken(lot).value_or("");
  }
  gtin.length = static_cast<int>(length);
  gtin.digits = std::string(kWhole - length, '0') + taken.digits;
  return gtin;
}

}  // namespace baylore::trade
