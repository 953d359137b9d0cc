#include "diagnosis/find.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "diagnosis/cases.h"
#include "diagnosis/session.h"
#include "store/build.h"
#include "support/scratch.h"

using namespace baylore;
using namespace baylore::diagnosis;

namespace {

std::string fits(const std::string& line) { return "fits:\n  - " + line + "\n"; }

// Tips for one complaint, and some that must stay out.
class Shop {
 public:
  Shop() {
    put("pump", "title: Heater cold at idle, pump seal\ncodes:\n  - P0128\n" +
                    fits("Corvane | Hauler | 2014-2018 | 3.6 V6") +
                    "mistaken-for:\n  - gasket | bubbles\n");
    put("thermostat", "title: Heater cold at idle, thermostat open\ncodes:\n  - P0126\n" +
                          fits("Corvane | Hauler | 2014-2018 | "));
    put("gasket", "title: Bubbles in the tank\n" + fits("Corvane | Hauler | 2012-2020 | "));
    put("older", "title: Heater cold at idle, flap\n" + fits("Corvane | Hauler | 2008-2011 | "));
    put("everywhere", "title: Heater cold at idle, low coolant\nwhen:\n  - cold morning\n");
    put("other-car", "title: Heater cold at idle, core\n" + fits("Ostrel | Vane | 2010-2016 | "));
    put("gone", "title: Heater cold at idle, valve\nstatus: withdrawn\n");
    put("spanish", "title: Heater cold at idle, fria\nlang: es\ntranslation-of: everywhere\n");
    put("brakes", "title: Brake drags, collapsed hose\n");
    scratch_.put("shop/shop.md", "---\nname: Test\n---\n");
    scratch_.put("shop/vocabulary/makes.md",
                 "## Makes\n### Corvane\n- model: Hauler | 2008-2020 | 3.6 V6\n"
                 "### Ostrel\n- model: Vane | 2008-2017 | 2.0 I4\n");
  }

  Case find(const Complaint& complaint, const Experience& experience = {}) {
    const store::Location location{scratch_.path("shop"), scratch_.path("store")};
    REQUIRE(store::bring_up_to_date(files::real_disk(), location, {}));
    auto store = store::Store::open(location);
    REQUIRE(store);
    return find_case(*store, complaint, experience);
  }

  const test::Scratch& scratch() const { return scratch_; }

 private:
  void put(const std::string& slug, const std::string& front) {
    scratch_.put("shop/tips/" + slug + ".md",
                 "---\nid: " + slug + "\n" + front +
                     "---\n\n## Symptom\nThe customer says so.\n\n## Checks\n\n" +
                     test::check_text({.key = "k-" + slug}));
  }
  test::Scratch scratch_;
};

Complaint heater() {
  Complaint complaint;
  complaint.vehicle = {"Corvane", "Hauler", 2016, "3.6 V6"};
  complaint.line = "heater cold idle";
  return complaint;
}

std::vector<std::string> ids(const Case& a_case) {
  std::vector<std::string> all;
  for (const Cause& cause : a_case.causes) all.push_back(cause.tip);
  std::sort(all.begin(), all.end());
  return all;
}

const Cause& cause_of(const Case& a_case, const std::string& tip) {
  return *std::find_if(a_case.causes.begin(), a_case.causes.end(),
                       [&](const Cause& cause) { return cause.tip == tip; });
}

const Known* known(const Cause& cause, const std::string& what) {
  const auto at = std::find_if(cause.known.begin(), cause.known.end(), [&](const Known& one) {
    return one.what.substr(0, what.size()) == what;
  });
  return at == cause.known.end() ? nullptr : &*at;
}

}  // namespace

TEST_CASE("causes are the tips that fit the complaint and the car, and their look-alikes") {
  Shop shop;
  const Case found = shop.find(heater());
  CHECK(ids(found) ==
        std::vector<std::string>{"", "everywhere", "gasket", "older", "pump", "thermostat"});
  CHECK(found.causes.back().not_in_book());
  CHECK(known(cause_of(found, "gasket"), "words")->ratio < 1);
  CHECK(known(cause_of(found, "gasket"), "words")->words ==
        "a look-alike of “Heater cold at idle, pump seal”");
  CHECK(known(cause_of(found, "older"), "vehicle")->ratio < 1);
  CHECK(known(cause_of(found, "pump"), "vehicle") == nullptr);
  CHECK(found.checks.size() == 5);

  Complaint typed = heater();
  typed.vehicle = {};
  typed.line = "2012 ostrel vane heater cold idle";
  CHECK(ids(shop.find(typed)) == std::vector<std::string>{"", "everywhere", "other-car"});
}

TEST_CASE("codes speak for the tips that list them and a little against those that list others") {
  Shop shop;
  Complaint complaint = heater();
  complaint.codes = {{"P0128", "stored"}};
  const Case stored = shop.find(complaint);
  CHECK(known(cause_of(stored, "pump"), "code P0128")->ratio == ratio_of(Strength::kSuggests));
  CHECK(known(cause_of(stored, "thermostat"), "codes")->ratio == ratio_of(Strength::kHintsAgainst));
  CHECK(known(cause_of(stored, "everywhere"), "code") == nullptr);
  CHECK(stored.causes.front().tip == "pump");
  complaint.codes = {{"P0128", "pending"}};
  CHECK(known(cause_of(shop.find(complaint), "pump"), "code P0128")->ratio ==
        ratio_of(Strength::kHints));
  // A code alone is a complaint too.
  Complaint bare;
  bare.codes = {{"P0126", ""}};
  CHECK(ids(shop.find(bare)) == std::vector<std::string>{"", "thermostat"});
}

TEST_CASE("the condition the customer names speaks for the tips that name it") {
  Shop shop;
  Complaint complaint = heater();
  complaint.when = "cold mornings, cold morning";
  const Case found = shop.find(complaint);
  CHECK(known(cause_of(found, "everywhere"), "when") != nullptr);
  CHECK(known(cause_of(found, "pump"), "when") == nullptr);
}

TEST_CASE("a condition that the customer does not name speaks for nobody") {
  Shop shop;
  Complaint complaint = heater();
  complaint.when = "hot afternoon";
  CHECK(known(cause_of(shop.find(complaint), "everywhere"), "when") == nullptr);
  // One word of two is not the condition; the tip's own in other words around it is.
  complaint.when = "cold";
  CHECK(known(cause_of(shop.find(complaint), "everywhere"), "when") != nullptr);
  complaint.when = "cold start";
  CHECK(known(cause_of(shop.find(complaint), "everywhere"), "when") == nullptr);
  complaint.when = "on a cold morning only";
  CHECK(known(cause_of(shop.find(complaint), "everywhere"), "when") != nullptr);
}

TEST_CASE("what the shop has recorded moves the weights before any check") {
  Shop shop;
  for (int i = 0; i < 8; ++i) {
    shop::Outcome outcome;
    outcome.id = "o" + std::to_string(i);
    outcome.when = "2026-03-14T10:00:00Z";
    outcome.right = "thermostat";
    outcome.car = {"Corvane", "Hauler", 2016, "3.6 V6"};
    REQUIRE(shop::append_record(files::real_disk(), shop.scratch().path("shop"), "bay-1",
                                record_of(outcome)));
  }
  shop::RecordBook book;
  book.update(files::real_disk(), shop.scratch().path("shop"));
  Experience experience;
  experience.take(book);
  const Case found = shop.find(heater(), experience);
  CHECK(found.causes.front().tip == "thermostat");
  CHECK(known(found.causes.front(), "records")->words ==
        "the cause in 8 of 8 jobs, 8 of them on this model");
  CHECK(known(found.causes.front(), "records")->ratio > 2);
  CHECK(known(cause_of(found, "pump"), "records")->ratio < 1);
  CHECK(found.causes.front().prior > cause_of(shop.find(heater()), "thermostat").prior);
}

TEST_CASE("a complaint that nothing fits leaves what is not in the book") {
  Shop shop;
  Complaint complaint;
  complaint.line = "wipers";
  const Case none = shop.find(complaint);
  REQUIRE(none.causes.size() == 1);
  CHECK(look(none, {}).next.kind == Next::Kind::beyond);
}
