#include "trade/gtin.h"

#include <algorithm>

namespace baylore::trade {
namespace {

constexpr std::size_t kLongest = 96;
constexpr std::size_t kWhole = 14;
constexpr std::size_t kLongestLot = 20;  // GS1 General Specifications 3.4.1: AI (10) is an..20
constexpr char kGroupSeparator = 29;     // FNC1 as transmitted

bool is_digit(char c) { return c >= '0' && c <= '9'; }

bool all_digits(std::string_view text) { return std::all_of(text.begin(), text.end(), is_digit); }

// The lot after application identifier 10: up to FNC1, the next bracket or the end.
std::string lot_in(std::string_view text) {
  if (text.substr(0, 4) == "(10)") {
    text.remove_prefix(4);
  } else if (text.substr(0, 2) == "10") {
    text.remove_prefix(2);
  } else {
    return {};
  }
  const auto end = std::find_if(text.begin(), text.end(),
                                [](char c) { return c == kGroupSeparator || c == '('; });
  std::string lot(text.begin(), end);
  const bool printable =
      std::all_of(lot.begin(), lot.end(), [](char c) { return c > ' ' && c < 127; });
  return printable && lot.size() <= kLongestLot ? lot : std::string();
}

struct Taken {
  std::string digits;
  std::string lot;
  std::size_t at = 0;  // where the digits begin
};

// `(01)` and 14 digits, or `01` and 14 digits with more behind them or a symbology in front.
std::optional<Taken> element_string(std::string_view text) {
  std::size_t at = 0;
  bool symbology = false;
  if (text.size() > 3 && text[0] == ']') {
    symbology = true;
    at = 3;
  }
  if (at < text.size() && text[at] == kGroupSeparator) ++at;
  const bool brackets = text.substr(at, 4) == "(01)";
  const std::size_t from = at + (brackets ? 4 : 2);
  if (!brackets && text.substr(at, 2) != "01") return std::nullopt;
  const std::string_view digits = text.substr(std::min(from, text.size()), kWhole);
  if (digits.size() != kWhole || !all_digits(digits)) return std::nullopt;
  if (!brackets && !symbology && text.size() < from + kWhole) return std::nullopt;
  return Taken{std::string(digits), lot_in(text.substr(from + kWhole)), from};
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
      if (!is_digit(text[i])) {
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
  Gtin gtin;
  gtin.length = static_cast<int>(length);
  gtin.digits = std::string(kWhole - length, '0') + taken.digits;
  gtin.lot = std::move(taken.lot);
  return gtin;
}

}  // namespace baylore::trade
