#include <algorithm>
#include <array>
#include <cstdio>

#include "diagnosis.h"
#include "diagnosis/find.h"
#include "files/disk.h"
#include "scratch.h"
#include "shop/document.h"
#include "store/build.h"

namespace baylore::benchmark {
namespace {

using diagnosis::Candidate;

// How often the demo shop's checks carry each pair of words, outside and inside.
struct Pair {
  const char* outside;
  const char* inside;
  int of_hundred;
};
constexpr std::array<Pair, 12> kPairs = {{{"suggests", "hints against", 21},
                                          {"suggests", "suggests against", 20},
                                          {"suggests against", "hints", 13},
                                          {"hints against", "hints", 10},
                                          {"proves", "rules out", 8},
                                          {"proves", "suggests against", 8},
                                          {"hints", "says nothing", 6},
                                          {"suggests", "says nothing", 5},
                                          {"hints", "hints against", 5},
                                          {"suggests", "rules out", 2},
                                          {"rules out", "suggests", 1},
                                          {"says nothing", "hints", 1}}};
constexpr std::array<const char*, 8> kSystems = {"cooling",  "charging", "starting",    "brakes",
                                                 "ignition", "steering", "fuel supply", "body"};

class Drawer {
 public:
  explicit Drawer(std::uint64_t seed) : random_(seed) {}

  std::size_t below(std::size_t count) { return random_() % count; }

  const Pair& pair(bool speaks_for) {
    while (true) {
      auto left = static_cast<int>(below(100));
      for (const Pair& pair : kPairs) {
        left -= pair.of_hundred;
        if (left >= 0) continue;
        const diagnosis::StrengthRow* outside = diagnosis::strength_row(pair.outside);
        if ((outside->ratio > 1) == speaks_for) return pair;
        break;
      }
    }
  }

  // One complaint: every cause has two to four checks of its own, and asks for some of the others'
  // too, which then mostly speak against it.
  std::vector<Candidate> complaint(std::size_t causes, std::size_t number) {
    std::vector<Candidate> made(causes);
    std::vector<shop::Check> known;
    for (std::size_t i = 0; i < causes; ++i) {
      shop::Tip& tip = made[i].tip;
      tip.id = "t" + std::to_string(number) + "-" + std::to_string(i);
      tip.title = "Cause " + tip.id;
      tip.system = kSystems.at(number % kSystems.size());
      tip.repair_minutes = 20 + 10 * static_cast<double>(below(20));
      made[i].share = 1.0 / static_cast<double>(1 + below(6));
      for (std::size_t shared = below(3); shared > 0 && !known.empty(); --shared)
        tip.checks.push_back(with_words(known[below(known.size())], below(4) == 0));
      for (std::size_t own = 2 + below(3); own > 0; --own) {
        tip.checks.push_back(with_words(check(number, known.size()), below(5) != 0));
        known.push_back(tip.checks.back());
      }
    }
    return made;
  }

 private:
  shop::Check check(std::size_t complaint, std::size_t number) {
    static constexpr std::array<double, 10> kMinutes = {2, 3, 4, 5, 6, 8, 10, 12, 20, 35};
    shop::Check check;
    check.id = "k" + std::to_string(complaint) + "-" + std::to_string(number);
    check.name = check.id;
    // One in eight looks at a fact that another one looks at too.
    check.fact = below(8) == 0 && number > 0 ? "f" + std::to_string(number - 1)
                                             : "f" + std::to_string(number);
    check.minutes = kMinutes.at(below(kMinutes.size()));
    if (below(3) == 0)
      check.access.push_back({"cover " + std::to_string(below(3)), 4 + double(below(3)) * 3});
    if (below(4) != 0) check.tools = "multimeter";
    check.expect_text = "yes";
    return check;
  }

  shop::Check with_words(shop::Check check, bool speaks_for) {
    const Pair& words = pair(speaks_for);
    check.outside = words.outside;
    check.inside = words.inside;
    return check;
  }

  std::mt19937_64 random_;
};

}  // namespace

std::vector<Simulated> generated_cases(std::size_t tips, std::uint64_t seed) {
  Drawer drawer(seed);
  std::vector<Simulated> cases;
  for (std::size_t made = 0; made < tips;) {
    const std::size_t causes = std::min(2 + drawer.below(11), tips - made);
    const auto candidates = drawer.complaint(causes, cases.size());
    cases.push_back({candidates.front().tip.system, diagnosis::make_case(candidates, 0.1)});
    made += causes;
  }
  return cases;
}

std::vector<Simulated> shop_cases(const std::string& shop_folder) {
  const Scratch scratch;
  const store::Location location{shop_folder, scratch.path()};
  const auto report = store::bring_up_to_date(files::real_disk(), location, {});
  auto store = store::Store::open(location);
  if (!report || !store) {
    const files::Failure& failure = report ? store.failure() : report.failure();
    std::fprintf(stderr, "%s\n", failure.text().c_str());
    return {};
  }
  std::vector<store::TipRow> rows;
  store->each([&](const store::TipRow& row, const std::string&) {
    if (row.status != "withdrawn" && row.lang == "en") rows.push_back(row);
  });
  std::vector<Simulated> cases;
  for (const store::TipRow& row : rows) {
    diagnosis::Complaint complaint;
    complaint.line = row.title;
    if (!row.fits.empty()) {
      const shop::Fit& fit = row.fits.front();
      complaint.vehicle = {fit.make, fit.model, fit.first_year, fit.engine};
    }
    cases.push_back({row.system, diagnosis::find_case(*store, complaint, {})});
  }
  return cases;
}

}  // namespace baylore::benchmark
