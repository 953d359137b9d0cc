// A small invented shop on disk, with its store built: what the tests of the search share.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "files/disk.h"
#include "search/search.h"
#include "store/build.h"
#include "store/store.h"
#include "support/scratch.h"

namespace baylore::search::test {

inline shop::Vocabulary vocabulary() {
  shop::Vocabulary vocabulary;
  vocabulary.models = {{"Corvane", "Hauler", 2012, 2022, {"3.6 V6", "5.3 V8"}},
                       {"Corvane", "Pallet", 2015, 2023, {"2.2 diesel"}},
                       {"Ostrel", "Vane", 2008, 2017, {"2.0 I4", "1.6 I4"}},
                       {"Ostrel", "F-9 Long", 2008, 2017, {"2.0 I4"}},
                       {"Merrin", "Kite", 2014, 2023, {"1.4 turbo I4", "1.8 hybrid"}},
                       {"Tavik", "Kite", 2005, 2010, {"2.4 I4"}}};
  vocabulary.synonyms = {{"heater cold", "no heat", "blows cold"}, {"ground", "earth"}};
  vocabulary.components = {{"vane pump", "steering", {"assist pump"}}};
  return vocabulary;
}

class SmallShop {
 public:
  SmallShop() {
    write("shop.md", "---\nname: Small\n---\n");
    write("vocabulary/makes.md",
          "## Makes\n### Corvane\n- model: Hauler | 2012-2022 | 3.6 V6; 5.3 V8\n"
          "### Ostrel\n- model: Vane | 2008-2017 | 2.0 I4\n");
    write("vocabulary/words.md", "## Synonyms\n- heater cold = no heat\n- ground = earth\n");
  }

  void write(const std::string& path, const std::string& text) {
    folder_.put("shop/" + path, text);
  }

  // A tip whose id is its slug.
  void tip(const std::string& id, const std::string& title, const std::string& front,
           const std::string& body) {
    write("tips/" + id + ".md",
          "---\nid: " + id + "\ntitle: " + title + "\n" + front + "---\n\n" + body);
  }

  store::Store open() {
    const store::Location location = store::locate(shop(), folder_.path("store"));
    auto report = store::bring_up_to_date(files::real_disk(), location);
    REQUIRE(report.ok());
    auto store = store::Store::open(location);
    REQUIRE(store.ok());
    return std::move(*store);
  }

  [[nodiscard]] std::string shop() const { return folder_.path("shop"); }
  [[nodiscard]] std::string store_folder() const { return folder_.path("store"); }

 private:
  baylore::test::Scratch folder_;
};

// Ids of the hits, best first.
inline std::vector<std::string> ids(const Answer& answer) {
  std::vector<std::string> ids;
  for (const Hit& hit : answer.hits) ids.push_back(hit.tip.id);
  return ids;
}

inline Answer ask(const store::Store& store, const std::string& line, const Vehicle& vehicle = {}) {
  Query query;
  query.line = line;
  query.vehicle = vehicle;
  query.last_is_prefix = false;
  return search::search(store, query);
}

}  // namespace baylore::search::test
