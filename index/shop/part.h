// A part family: one component, and the numbers that are sold for it. Read from parts/.../SLUG.md;
// everything but the title is optional.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shop/document.h"
#include "shop/finding.h"
#include "shop/tip.h"
#include "trade/part_number.h"

namespace baylore::shop {

enum class Grade { unknown, original, original_supplier, aftermarket, remanufactured, used };
// "original", "supplier of the original", "aftermarket", "remanufactured", "used"; "" when unknown.
std::string_view grade_word(Grade grade);
std::optional<Grade> read_grade(std::string_view word);  // small or capital letters
inline constexpr int kGrades = 6;

// How long the seller stands behind a part; whichever ends first.
struct Warranty {
  int months = 0;  // 0: not said
  double km = 0;
  std::string text;  // as authored
};

struct PartNumber {
  std::string name;    // the entry's: "Halden 88-214"
  std::string brand;   // "Halden"; empty when the entry does not tell
  std::string number;  // "88-214"
  trade::PartKey key;  // of the number; empty when it cannot be one
  std::string gtin;    // 14 digits, or empty
  Grade grade = Grade::unknown;
  double price = 0;        // in the shop's currency; 0: not said
  double core_charge = 0;  // deposit on the old part; 0: none
  bool keep_old = false;   // the old part is kept, for the core charge or for a claim
  Warranty warranty;
  std::vector<std::string> supersedes;  // older numbers, as authored
  std::string superseded_by;
  std::vector<Fit> fits;  // narrower than the family's; empty: the family's
  std::string text;
  int line = 0;
};

// Something to look at before a part goes in: a casting mark, a connector's key, the box.
struct LookOver {
  std::string name;
  std::string expect;  // what a good one shows
  std::string text;
  int line = 0;
};

// What is ordered with the part because it is used once or runs out.
struct GoesWith {
  std::string name;
  std::string kind;    // "fastener", "seal", "fluid", or words
  std::string amount;  // "5", "2.5 L"; "1" when not said
  std::string number;  // brand and number, or empty
  std::string text;
  int line = 0;
};

struct PartFamily {
  std::string path;  // relative to the shop: "parts/cooling/slug.md"
  std::string slug;
  std::string id;  // as written, or the slug
  bool id_written = false;
  std::string title;
  std::string component;
  std::string system;
  std::vector<Fit> fits;
  std::string superseded_by;     // another family
  bool safety_critical = false;  // by its system (cautions.h), or said by the author
  std::vector<PartNumber> numbers;
  std::vector<Check> acceptance;  // as the checks of a tip
  std::vector<LookOver> look_over;
  std::vector<GoesWith> goes_with;
  std::vector<Picture> pictures;
  std::vector<Prose> sections;
  Findings findings;
  bool broken = false;  // has an error among the findings
};

// Never fails: a broken line costs itself. `path` is relative to the shop.
PartFamily read_part(const Document& document, std::string path);

// Sections with meaning in a part file: "numbers", "acceptance checks", "look over", "goes with"
// ...
const std::vector<std::string>& part_sections();
const std::vector<std::string>& part_keys();

// One line of what has to be ordered.
struct OrderLine {
  std::string what;    // "Halden 88-214", "Crank pulley bolt, Corvane 3C-61290"
  std::string amount;  // "1", "2.5 L"
  double price = 0;    // 0: not known
  std::string note;    // "core charge 35.00, keep the old part", "used once"
};
// The part, and whatever goes with it. `number` is one of the family's.
std::vector<OrderLine> order_list(const PartFamily& family, const PartNumber& number);

}  // namespace baylore::shop
