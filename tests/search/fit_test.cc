#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "search/engine.h"
#include "search/search.h"

using namespace baylore::search;
using baylore::shop::Fit;

TEST_CASE("how a tip stands to a vehicle") {
  const Fit hauler{"Corvane", "Hauler", 2014, 2018, "3.6 V6", 0};
  const Fit later{"Corvane", "Hauler", 2020, 0, "3.6 V6", 0};
  const Fit v8{"Corvane", "Hauler", 0, 0, "5.3 V8", 0};
  const Fit vane{"Ostrel", "Vane", 2008, 2017, "", 0};
  const Fit any_ostrel{"Ostrel", "", 0, 0, "", 0};
  struct Row {
    std::vector<Fit> fits;
    Vehicle vehicle;
    FitVerdict verdict;
    const char* words;
  };
  const Row rows[] = {
      {{hauler}, {}, FitVerdict::no_vehicle, ""},
      {{}, {}, FitVerdict::no_vehicle, ""},
      {{}, {"Corvane", "Hauler", 2016, ""}, FitVerdict::fits_all, "fits all"},
      {{hauler}, {"Corvane", "Hauler", 2016, "3.6 V6"}, FitVerdict::fits, "fits"},
      {{hauler}, {"CORVANE", "hauler", 2014, "3,6l"}, FitVerdict::fits, "fits"},
      {{hauler}, {"Corvane", "Hauler", 0, ""}, FitVerdict::fits, "fits"},
      {{hauler}, {"Corvane", "", 2018, ""}, FitVerdict::fits, "fits"},
      {{hauler}, {"", "", 2018, ""}, FitVerdict::fits, "fits"},
      {{hauler}, {"Corvane", "Hauler", 2019, ""}, FitVerdict::other_year, "to 2018 only"},
      {{hauler}, {"Corvane", "Hauler", 2013, ""}, FitVerdict::other_year, "from 2014 only"},
      {{later}, {"Corvane", "Hauler", 2013, ""}, FitVerdict::other_year, "from 2020 only"},
      // The nearest of several years; a range meets what it overlaps.
      {{later, hauler}, {"Corvane", "Hauler", 2013, ""}, FitVerdict::other_year, "from 2014 only"},
      {{hauler}, {"Corvane", "Hauler", 2010, "", 2014}, FitVerdict::fits, "fits"},
      {{hauler}, {"Corvane", "Hauler", 2010, "", 2012}, FitVerdict::other_year, "from 2014 only"},
      {{v8}, {"Corvane", "Hauler", 2016, "3.6 V6"}, FitVerdict::other_engine, "5.3 V8 only"},
      {{vane},
       {"Corvane", "Hauler", 2016, ""},
       FitVerdict::other_model,
       "other model: Ostrel Vane"},
      {{any_ostrel}, {"Corvane", "Hauler", 0, ""}, FitVerdict::other_model, "other model: Ostrel"},
      {{any_ostrel}, {"Ostrel", "Vane", 2010, ""}, FitVerdict::fits, "fits"},
      // The best of several lines; of other models the one of the same make.
      {{vane, v8, hauler}, {"Corvane", "Hauler", 2016, "3.6 V6"}, FitVerdict::fits, "fits"},
      {{vane, hauler},
       {"Corvane", "Pallet", 0, ""},
       FitVerdict::other_model,
       "other model: Corvane Hauler"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.vehicle.text());
    CAPTURE(row.words);
    const FitResult result = fit_of(row.fits, row.vehicle);
    CHECK(result.verdict == row.verdict);
    CHECK(result.words == row.words);
    CHECK(result.year == row.vehicle.year);
  }
}

TEST_CASE("the bracket has the years of the nearest line") {
  const std::vector<Fit> fits = {{"Ostrel", "Vane", 2008, 2017, "", 0},
                                 {"Corvane", "Hauler", 2014, 2018, "", 0}};
  const FitResult result = fit_of(fits, {"Corvane", "Hauler", 2016, ""});
  CHECK(result.first_year == 2014);
  CHECK(result.last_year == 2018);
  CHECK(fit_of({}, {"Corvane", "Hauler", 2016, ""}).last_year == 0);
}

TEST_CASE("engines in any spelling") {
  struct Row {
    const char* a;
    const char* b;
    bool agree;
  };
  const Row rows[] = {
      {"3.6 V6", "3,6L v6", true},
      {"3.6 V6", "3.6", true},
      {"3.6 V6", "V6", true},
      {"3.6 V6", "3.6 V8", false},
      {"3.6 V6", "3.5 V6", false},
      {"2.2 diesel", "2.2", true},
      {"2.2 diesel", "2.2 petrol", false},
      {"1.4 turbo I4", "1.4 turbo", true},
      {"1.8 hybrid", "", true},
      {"2.0 I4", "2.0 l", true},
  };
  for (const Row& row : rows) {
    CAPTURE(row.a);
    CAPTURE(row.b);
    CHECK(agree(read_engine(row.a), read_engine(row.b)) == row.agree);
    CHECK(agree(read_engine(row.b), read_engine(row.a)) == row.agree);
  }
}

TEST_CASE("a vehicle in words") {
  CHECK(Vehicle{"Corvane", "Hauler", 2016, "3.6 V6"}.text() == "Corvane Hauler 2016, 3.6 V6");
  CHECK(Vehicle{"Corvane", "Hauler", 0, ""}.text() == "Corvane Hauler");
  CHECK(Vehicle{"", "", 2012, "", 2016}.text() ==
        "2012\xE2\x80\x93"
        "2016");
  CHECK(Vehicle{"", "", 0, "3.6 V6"}.text() == "3.6 V6");
  CHECK(Vehicle{}.text().empty());
}
