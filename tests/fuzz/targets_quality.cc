// Part files, and what is counted from records.
#include <algorithm>
#include <cmath>
#include <cstdint>

#include "fuzz/targets.h"
#include "quality/history.h"
#include "quality/standing.h"
#include "shop/part_book.h"
#include "shop/records.h"
#include "trade/gtin.h"
#include "trade/part_number.h"

namespace baylore::fuzz {
namespace {

bool clear(const shop::Findings& findings) {
  return std::all_of(findings.begin(), findings.end(), [](const shop::Finding& finding) {
    return finding.line >= 1 && finding.column >= 1 && !finding.rule.empty() &&
           !finding.message.empty() && !finding.remedy.empty();
  });
}

shop::PartFamily read_family(std::string_view text, const char* path) {
  return shop::read_part(shop::Document::parse(std::string(text)), path);
}

std::string sound(const shop::PartNumber& number) {
  if (number.key.plain.size() != number.key.folded.size()) return "a key of two lengths";
  if (!number.gtin.empty() && !trade::taken(trade::read_gtin(number.gtin))) return "a false gtin";
  for (const double money : {number.price, number.core_charge}) {
    if (!(money >= 0 && money <= 1e6)) return "a price that cannot be";
  }
  if (number.warranty.months < 0 || !(number.warranty.km >= 0)) return "a term below zero";
  for (const std::string& old : number.supersedes) {
    if (!trade::taken(trade::part_key(old))) return "an older number that is none";
  }
  return {};
}

// A name that find() takes apart otherwise than the part file did.
bool reads_otherwise(const shop::PartNumber& number, const std::string& name) {
  return number.key.plain.empty() || shop::named_part(name).name != name ||
         !trade::taken(trade::part_key(name)) || trade::taken(trade::read_gtin(name)) ||
         (!number.brand.empty() && !trade::taken(trade::part_key(number.brand)));
}

}  // namespace

std::string part(std::string_view bytes) {
  const shop::PartFamily family = read_family(bytes, "parts/x.md");
  if (!clear(family.findings)) return "a finding of the part file is not clear";
  if (family.id.empty() || family.slug != "x" || family.title.empty()) return "a family unnamed";
  shop::PartBook book;
  book.add(family);
  book.add(read_family("## Numbers\n### Zenner 1\n", "parts/good.md"));
  const shop::PartBook::Found good = book.find("Zenner 1");
  if (good.how != shop::PartBook::How::exact) return "a good number beside it is no longer found";
  for (std::size_t i = 0; i < family.numbers.size(); ++i) {
    const shop::PartNumber& number = family.numbers[i];
    if (std::string broken = sound(number); !broken.empty()) return broken;
    if (shop::order_list(family, number).size() != 1 + family.goes_with.size())
      return "an order of other lines";
    if (i < 16 && book.superseded({0, i}).later.size() > family.numbers.size() + 1)
      return "a chain longer than all numbers";
    const std::string name =
        number.brand.empty() ? number.number : number.brand + " " + number.number;
    if (reads_otherwise(number, name)) continue;
    const auto places = book.find(name).places;
    if (std::find(places.begin(), places.end(), shop::PartBook::Place{0, i}) == places.end())
      return "a number does not find itself";
  }
  (void)book.find(bytes);
  for (const shop::NamedPart& named : shop::named_parts(bytes)) {
    if (named.name.empty()) return "a part without a name";
  }
  return {};
}

namespace {

// Fitted, failed, dead on arrival, over all families.
struct Sums {
  std::size_t fitted = 0;
  std::size_t failed = 0;
  std::size_t dead = 0;
  bool operator==(const Sums&) const = default;
};

Sums sums_of(const quality::History& history) {
  Sums sums;
  for (std::size_t family = 0; family <= history.not_listed(); ++family) {
    for (const quality::FittedPart& part : history.fitted(family)) {
      ++sums.fitted;
      sums.failed += part.failed ? 1 : 0;
    }
    sums.dead += history.dead(family).size();
  }
  return sums;
}

bool share(double p) { return p >= 0 && p <= 1; }

std::string counted(const quality::History& history) {
  for (std::size_t family = 0; family <= history.not_listed(); ++family) {
    for (const quality::FittedPart& part : history.fitted(family)) {
      if (!(part.months > 0) || std::isinf(part.months)) return "a life that is none";
      if (part.km < 0 || std::isinf(part.km)) return "a distance that is none";
      if (history.labels().at(part.label).family != family) return "a part in another's family";
      if (history.record_id(part.record).empty()) return "a part without its record";
    }
    for (const quality::By by : {quality::By::number, quality::By::brand, quality::By::lot}) {
      const quality::Standing standing = quality::standing_of(history, {family}, by);
      int fitted = 0, dead = 0;
      for (const quality::Rival& rival : standing.rivals) {
        fitted += rival.all.fitted;
        dead += rival.all.dead_on_arrival;
        if (rival.all.failed + rival.all.in_service != rival.all.fitted)
          return "parts that neither failed nor are in service";
        const quality::Judged& judged = rival.judged;
        if (!share(judged.share.low) || !share(judged.share.high) || !share(judged.mean) ||
            !share(judged.chance_worse) || !share(judged.drawn_in.mean())) {
          return "a share that is none";
        }
      }
      if (fitted != standing.all.all.fitted || dead != standing.all.all.dead_on_arrival ||
          static_cast<std::size_t>(fitted) != history.fitted(family).size()) {
        return "the rivals are not the whole";
      }
    }
  }
  return {};
}

}  // namespace

std::string history(std::string_view bytes) {
  static const shop::PartBook kParts = [] {
    shop::PartBook parts;
    parts.add(
        read_family("## Numbers\n### Halden 88-214\n- gtin: 9520000000011\n### Brevik A12-7\n",
                    "parts/pump.md"));
    return parts;
  }();
  constexpr std::int64_t kToday = 1782864000000;  // 2026-07-01
  shop::Records read;
  shop::read_records(bytes, "records/bay-1/2026-03.csv", read);
  std::vector<shop::Record> records = read.records;
  const quality::History once(kParts, {{"", &records}}, {kToday, 12});
  if (!clear(once.findings())) return "a finding of the records is not clear";
  if (std::string broken = counted(once); !broken.empty()) return broken;
  // Their order says nothing, and neither do the same records from elsewhere.
  std::reverse(records.begin(), records.end());
  const quality::History turned(kParts, {{"", &records}}, {kToday, 12});
  if (!(sums_of(turned) == sums_of(once))) return "another order counts otherwise";
  const quality::History twice(kParts, {{"", &read.records}, {"north", &records}}, {kToday, 12});
  if (!(sums_of(twice) == sums_of(once))) return "records that came back count twice";
  return {};
}

}  // namespace baylore::fuzz
