#include "trade/vin.h"

#include <algorithm>
#include <array>

#include "trade/code.h"
#include "trade/scan.h"

namespace baylore::trade {
namespace {

constexpr std::size_t kVinLength = 17;
constexpr std::size_t kCheckPlace = 8;  // position 9
constexpr std::size_t kYearPlace = 9;   // position 10
constexpr std::size_t kClassPlace = 6;  // position 7
constexpr std::size_t kTailLength = 8;  // positions 10 to 17
constexpr char kUnknown = '*';

// 49 CFR 565.15(c), tables 3 and 4: S is 2, not 1; P is 7 and R is 9.
constexpr std::string_view kVinLetters = "ABCDEFGHJKLMNPRSTUVWXYZ";
constexpr std::array<int, 23> kLetterValues = {1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4,
                                               5, 7, 9, 2, 3, 4, 5, 6, 7, 8, 9};
constexpr std::array<int, kVinLength> kWeights = {8, 7, 6, 5, 4, 3, 2, 10, 0,
                                                  9, 8, 7, 6, 5, 4, 3, 2};

// 49 CFR 565.15(d), table 7: the 30 characters of position 10 from 1980 on, then again from 2010
// on.
constexpr std::string_view kYearCharacters = "ABCDEFGHJKLMNPRSTVWXY123456789";
constexpr int kFirstYear = 1980;
constexpr int kCycle = 30;

// Value of a VIN character; -1 when no VIN has it.
int value_of(char c) {
  if (scan::is_digit(c)) return c - '0';
  const std::size_t at = kVinLetters.find(c);
  return at == std::string_view::npos ? -1 : kLetterValues[at];
}

// A typed VIN with blanks and dashes out and small letters up.
struct Packed {
  std::string text;
  std::vector<std::size_t> from;  // place of each character in the folded text
  std::vector<std::string> repairs;
};

void note(std::vector<std::string>& repairs, std::string_view repair) {
  if (std::find(repairs.begin(), repairs.end(), repair) == repairs.end()) {
    repairs.emplace_back(repair);
  }
}

Packed packed(const scan::Folded& plain) {
  Packed out;
  std::string_view text = plain.view();
  std::size_t begin = 0;
  std::size_t end = text.size();
  // Code 39 labels carry `*` at both ends.
  if (text.size() > 2 && text.front() == '*' && text.back() == '*') {
    ++begin;
    --end;
    note(out.repairs, "the start and stop signs of the label left out");
  }
  for (std::size_t i = begin; i < end; ++i) {
    if (text[i] == ' ' || text[i] == '-') {
      note(out.repairs, "blanks and dashes left out");
      continue;
    }
    if (text[i] != scan::upper(text[i])) note(out.repairs, "small letters read as capitals");
    out.text += scan::upper(text[i]);
    out.from.push_back(i);
  }
  return out;
}

// Drops the leading I that some labels carry before the 17 characters.
void drop_leading_i(Packed& vin) {
  if (vin.text.size() != kVinLength + 1 || vin.text.front() != 'I') return;
  vin.text.erase(0, 1);
  vin.from.erase(vin.from.begin());
  note(vin.repairs, "the letter I before the VIN left out");
}

// The first character no VIN has, as a refusal. `placeholders` are let through.
std::optional<Refusal> illegal(const scan::Folded& plain, const Packed& vin,
                               std::string_view placeholders) {
  for (std::size_t i = 0; i < vin.text.size(); ++i) {
    const char c = vin.text[i];
    if (value_of(c) >= 0 || placeholders.find(c) != std::string_view::npos) continue;
    const std::string place = " at place " + std::to_string(i + 1);
    if (c == 'I' || c == 'O' || c == 'Q') {
      return scan::refuse(plain, vin.from[i], std::string("no VIN has the letter ") + c + place,
                          c == 'I' ? "is it a 1?" : "is it a 0?");
    }
    return scan::refuse(plain, vin.from[i], "a character no VIN has" + place,
                        "the characters are 0 to 9 and A to Z less I, O and Q");
  }
  return std::nullopt;
}

// The years and what position 7 says of them. `seven` is kUnknown when it is not known.
void set_years(Vin& vin, char year, char seven, VehicleClass vehicle) {
  vin.model_years = model_years_of(year);
  if (vin.model_years.size() != 2 || seven == kUnknown) return;
  const int by_rule = scan::is_digit(seven) ? vin.model_years.front() : vin.model_years.back();
  if (vehicle != VehicleClass::kOther) vin.year_if_light = by_rule;
  if (vehicle == VehicleClass::kLight) vin.model_years = {by_rule};
}

}  // namespace

std::optional<CheckDigit> check_digit(std::string_view vin) {
  if (vin.size() != kVinLength) return std::nullopt;
  CheckDigit check;
  for (std::size_t i = 0; i < kVinLength; ++i) {
    const int value = value_of(vin[i]);
    if (value < 0) return std::nullopt;
    check.sum += value * kWeights[i];
  }
  // Whole numbers only: the regulation's table of decimal equivalents prints 7/11 as .634.
  check.remainder = check.sum % 11;
  check.computed = check.remainder == 10 ? 'X' : static_cast<char>('0' + check.remainder);
  check.stated = vin[kCheckPlace];
  check.agrees = check.computed == check.stated;
  return check;
}

std::vector<int> model_years_of(char position_10) {
  const std::size_t at = kYearCharacters.find(position_10);
  if (at == std::string_view::npos) return {};
  const int first = kFirstYear + static_cast<int>(at);
  return {first, first + kCycle};
}

Parsed<Vin> read_vin(std::string_view text, VehicleClass vehicle) {
  const Parsed<scan::Folded> folded = scan::fold(text, 64);
  if (value_in(folded) == nullptr) return reason_in(folded);
  const scan::Folded& plain = *value_in(folded);
  if (plain.text.empty()) return Refusal{0, "the VIN is missing", "type or scan its 17 characters"};
  Packed typed = packed(plain);
  drop_leading_i(typed);
  if (const auto refusal = illegal(plain, typed, "")) return *refusal;
  if (typed.text.size() != kVinLength) {
    return scan::refuse(plain, plain.text.size(),
                        "a VIN has 17 characters, this has " + std::to_string(typed.text.size()),
                        "compare it with the plate, character by character");
  }
  Vin vin;
  vin.text = typed.text;
  vin.repairs = std::move(typed.repairs);
  vin.check = check_digit(vin.text);
  if (!vin.check) return Refusal{0, "this is no VIN", "type or scan its 17 characters"};
  // The rule of position 7 is North American, and so is the check digit: without the one, not the
  // other.
  set_years(vin, vin.text[kYearPlace], vin.check->agrees ? vin.text[kClassPlace] : kUnknown,
            vehicle);
  const bool year_known = !vin.model_years.empty();
  vin.valid = vin.check->agrees && year_known;
  if (!vin.check->agrees) {
    vin.reason = std::string("the check digit at place 9 is ") + vin.check->stated +
                 " and should be " + vin.check->computed +
                 ": a slip, or a VIN from outside North America, which need not carry one";
  } else if (!year_known) {
    vin.reason = std::string("the check digit agrees, but no model year is written ") +
                 vin.text[kYearPlace] + " at place 10";
  } else {
    vin.reason =
        "the check digit agrees; that does not prove the VIN, as about 1 slip in 13 passes too";
  }
  return vin;
}

Parsed<Vin> read_partial_vin(std::string_view text, VehicleClass vehicle) {
  const Parsed<scan::Folded> folded = scan::fold(text, 64);
  if (value_in(folded) == nullptr) return reason_in(folded);
  const scan::Folded& plain = *value_in(folded);
  Packed typed = packed(plain);
  for (char& c : typed.text) {
    if (c == '?' || c == '_') c = kUnknown;
  }
  if (const auto refusal = illegal(plain, typed, std::string_view(&kUnknown, 1))) return *refusal;
  const std::size_t length = typed.text.size();
  const auto five_digits_at_end = [&] {
    return std::all_of(typed.text.end() - 5, typed.text.end(), scan::is_digit);
  };
  Vin vin;
  vin.complete = false;
  vin.repairs = std::move(typed.repairs);
  if (length == kTailLength && five_digits_at_end()) {
    vin.text = std::string(kVinLength - kTailLength, kUnknown) + typed.text;
    vin.reason = "the last 8 characters: the check digit cannot be looked at";
  } else if (length > kYearPlace && length <= kVinLength) {
    vin.text = typed.text + std::string(kVinLength - length, kUnknown);
    if (vin.text.find(kUnknown) == std::string::npos) {
      return scan::refuse(plain, 0, "a whole VIN where a part is wanted", "read it as a whole VIN");
    }
    vin.reason = "a part of a VIN: the check digit cannot be looked at";
  } else {
    return scan::refuse(plain, plain.text.size(),
                        std::to_string(length) + " characters do not say which part this is",
                        "give the first 10 or more, the last 8, or write * for each unknown one");
  }
  set_years(vin, vin.text[kYearPlace], vin.text[kClassPlace], vehicle);
  return vin;
}

namespace {

bool vin_like(char c) { return scan::is_digit(c) || scan::is_letter(c); }

// Whether a run of letters and digits is a VIN, or so near to one that it must not be kept.
std::optional<FoundVin> judge_run(std::string_view line, std::size_t at, std::size_t length) {
  std::string run(line.substr(at, length));
  std::size_t digits = 0;
  for (char& c : run) {
    c = scan::upper(c);
    digits += scan::is_digit(c) ? 1u : 0u;
  }
  const std::string_view core =
      run.size() == kVinLength + 1 && run.front() == 'I' ? std::string_view(run).substr(1) : run;
  const std::optional<CheckDigit> check = check_digit(core);
  const std::size_t letters = run.size() - digits;
  if (check && (check->agrees || digits >= 3)) return FoundVin{at, length, true};
  if (run.size() >= kVinLength - 1 && run.size() <= kVinLength + 1 && digits >= 5 && letters >= 2) {
    return FoundVin{at, length, false};
  }
  return std::nullopt;
}

// What people put between the groups of a VIN they read out, however often the key bounced. No
// points and commas: `hauler l 3.6 vane 2016` would be one.
bool parts_groups(std::string_view gap) {
  constexpr std::size_t kLongest = 8;
  return gap.size() <= kLongest && std::all_of(gap.begin(), gap.end(), [](char c) {
           return c == ' ' || c == '\t' || c == '\f' || c == '\v' || c == '-';
         });
}

}  // namespace

// First runs without a break. Then runs parted by blanks or dashes, as people read a VIN out in
// groups: those only when their 17 characters pass the check digit, else any sentence might be
// one.
std::optional<FoundVin> find_vin(std::string_view line) {
  struct Run {
    std::size_t at, length;
  };
  std::vector<Run> runs;
  for (std::size_t i = 0; i < line.size();) {
    std::size_t end = i;
    while (end < line.size() && vin_like(line[end])) ++end;
    if (end > i) runs.push_back({i, end - i});
    i = std::max(end, i + 1);
  }
  for (const Run& run : runs) {
    if (const auto found = judge_run(line, run.at, run.length)) return found;
  }
  for (std::size_t first = 0; first < runs.size(); ++first) {
    std::string together;
    for (std::size_t next = first; next < runs.size() && together.size() < kVinLength; ++next) {
      if (next > first) {
        const std::size_t gap_at = runs[next - 1].at + runs[next - 1].length;
        if (!parts_groups(line.substr(gap_at, runs[next].at - gap_at))) break;
      }
      if (runs[next].length > kVinLength - together.size()) break;
      for (const char c : line.substr(runs[next].at, runs[next].length)) together += scan::upper(c);
    }
    const std::optional<CheckDigit> check = check_digit(together);
    const auto digits = std::count_if(together.begin(), together.end(), scan::is_digit);
    // Words of a line come to 17 characters by chance, and to an agreeing check digit one time in
    // eleven: `lamp U0100 2016 tern`. So the last four must be figures, as 565.15 has them, and no
    // group of five may be a trouble code.
    const bool numbered = together.size() == kVinLength &&
                          std::all_of(together.end() - 4, together.end(), scan::is_digit);
    bool code = false;
    for (std::size_t run = first, length = 0; run < runs.size() && length < together.size();
         ++run) {
      const std::string_view group = line.substr(runs[run].at, runs[run].length);
      code = code || (group.size() == 5 && !find_codes(group).empty());
      length += runs[run].length;
    }
    if (check && check->agrees && digits >= 5 && numbered && !code) {
      std::size_t last = first;
      for (std::size_t left = kVinLength; left > runs[last].length; ++last)
        left -= runs[last].length;
      return FoundVin{runs[first].at, runs[last].at + runs[last].length - runs[first].at, true};
    }
  }
  return std::nullopt;
}

std::string without_vins(std::string_view line) {
  std::string out(line);
  // Each round takes out at least 16 bytes, so this ends.
  while (const std::optional<FoundVin> found = find_vin(out)) {
    std::size_t from = found->at;
    std::size_t to = found->at + found->length;
    if (from > 0 && out[from - 1] == ' ' && (to == out.size() || out[to] == ' '))
      --from;
    else if (from == 0 && to < out.size() && out[to] == ' ')
      ++to;
    out.erase(from, to - from);
  }
  return out;
}

}  // namespace baylore::trade
