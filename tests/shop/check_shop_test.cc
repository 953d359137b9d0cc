// What only several files together show.
#include <doctest/doctest.h>

#include <sstream>
#include <string>

#include "files/disk.h"
#include "shop/check/check.h"
#include "support/scratch.h"

using namespace baylore;

namespace {

class Shop {
 public:
  Shop() { put("shop.md", "---\nname: Small\n---\n"); }
  void put(const std::string& file, const std::string& text) const {
    folder_.put("shop/" + file, text);
  }
  // "a.md:12 warning torque-differs; ", joined; folders are left out.
  [[nodiscard]] std::string said(int threads = 0) const {
    shop::CheckOptions options;
    options.today = "2026-06-01";
    options.threads = threads;
    const auto report = shop::check_shop(files::real_disk(), folder_.path("shop"), options);
    REQUIRE(report.ok());
    std::ostringstream out;
    for (const shop::Finding& f : report->findings) {
      out << f.file.substr(f.file.rfind('/') + 1) << ':' << f.line << ' '
          << shop::level_word(f.level) << ' ' << f.rule << "; ";
    }
    return out.str();
  }
  [[nodiscard]] std::string folder() const { return folder_.path("shop"); }

 private:
  test::Scratch folder_;
};

// A tip with one bolt; the torque stands in line 10.
std::string bolt(const std::string& fit, const std::string& torque,
                 const std::string& name = "Pump bolts") {
  return "---\ntitle: T\nfits:\n  - " + fit + "\n---\n## Fasteners\n### " + name +
         "\n- count: 3\n- thread: M6\n- torque: " + torque + '\n';
}

// A tip with one check; the expectation stands in line 9.
std::string reading(const std::string& fit, const std::string& expect,
                    const std::string& more = "") {
  return "---\ntitle: T\nfits:\n  - " + fit +
         "\n---\n## Checks\n### A\n- check: rest\n- expect: " + expect + '\n' + more;
}

}  // namespace

TEST_CASE("one fastener, two torques") {
  const Shop shop;
  shop.put("tips/a.md", bolt("Corvane | Hauler | 2012-2018 | 3.6 V6", "9 N·m"));
  const auto with = [&](const std::string& fit, const std::string& torque,
                        const std::string& name = "Pump bolts") {
    shop.put("tips/b.md", bolt(fit, torque, name));
    return shop.said();
  };
  const std::string both = "a.md:10 warning torque-differs; b.md:10 warning torque-differs; ";
  CHECK(with("Corvane | Hauler | 2018-2020 | 3.6 V6", "10 N·m") == both);
  CHECK(with("corvane | hauler | | 3.6", "10 N·m", "pump bolt") == both);
  CHECK(with("Corvane | | |", "9 N·m + 90°") == both);
  CHECK(with("Corvane | Hauler | 2018-2020 | 3.6 V6", "9 N·m").empty());
  CHECK(with("Corvane | Hauler | 2018-2020 | 3.6 V6", "80 lbf·in").empty());  // 9.04 N·m
  CHECK(with("Corvane | Hauler | 2019-2020 | 3.6 V6", "10 N·m").empty());
  CHECK(with("Corvane | Hauler | 2012-2018 | 5.3 V8", "10 N·m").empty());
  CHECK(with("Corvane | Pallet | 2012-2018 | 3.6 V6", "10 N·m").empty());
  CHECK(with("Corvane | Hauler | 2012-2018 | 3.6 V6", "10 N·m", "Cover bolts").empty());
  SUBCASE("a third that agrees shows which is odd") {
    with("Corvane | Hauler | 2016-2020 | 3.6 V6", "10 N·m");
    shop.put("tips/c.md", bolt("Corvane | Hauler | 2012-2018 | 3.6 V6", "9 N·m"));
    CHECK(shop.said() == "b.md:10 warning torque-differs; ");
  }
  SUBCASE("what is withdrawn says nothing") {
    std::string old = bolt("Corvane | Hauler | 2016-2020 | 3.6 V6", "10 N·m");
    shop.put("tips/b.md", old.insert(4, "status: withdrawn\n"));
    CHECK(shop.said().empty());
  }
  SUBCASE("a name that says nothing needs the same component") {
    shop.put("tips/a.md", bolt("Corvane | Hauler", "9 N·m", "Mounting bolts"));
    CHECK(with("Corvane | Hauler", "10 N·m", "Mounting bolts").empty());
    for (const char* file : {"tips/a.md", "tips/b.md"}) {
      const bool first = file[5] == 'a';
      std::string text = bolt("Corvane | Hauler", first ? "9 N·m" : "10 N·m", "Mounting bolts");
      shop.put(file, text.insert(4, "component: starter\n"));
    }
    CHECK(shop.said() == "a.md:11 warning torque-differs; b.md:11 warning torque-differs; ");
  }
}

TEST_CASE("one check, two expectations") {
  const Shop shop;
  shop.put("tips/a.md", reading("Corvane | Hauler", "12.5 .. 12.9 V"));
  const auto with = [&](const std::string& fit, const std::string& expect) {
    shop.put("tips/b.md", reading(fit, expect));
    return shop.said();
  };
  CHECK(with("Corvane | Hauler", "12.5 .. 12.9 V").empty());
  CHECK(with("Corvane | Hauler", "12500 .. 12900 mV").empty());
  CHECK(with("Corvane | Hauler", "12.4 .. 12.9 V") ==
        "a.md:9 warning reading-differs; b.md:9 warning reading-differs; ");
  CHECK(with("Corvane | Hauler", ">= 12.5 V") ==
        "a.md:9 warning reading-differs; b.md:9 warning reading-differs; ");
  CHECK(with("Ostrel | Vane", "12.4 .. 12.9 V") ==
        "a.md:9 note reading-differs; b.md:9 note reading-differs; ");
  shop.put("tips/c.md", reading("Tavik | Tern", "12.5 .. 12.9 V"));
  CHECK(with("Corvane | Hauler", "12.4 .. 12.9 V") == "b.md:9 warning reading-differs; ");
  CHECK(with("Ostrel | Vane", "12.4 .. 12.9 V") == "b.md:9 note reading-differs; ");
}

TEST_CASE("links that lead nowhere, or in a ring") {
  const Shop shop;
  shop.put("tips/a.md", "---\nid: one\ntitle: T\nmistaken-for:\n  - b | x\n  - two | x\n---\n");
  shop.put("tips/b.md",
           "---\nid: two\ntitle: T\n---\n## Symptom\nSee [a](a.md), [web](http://x).\n");
  CHECK(shop.said().empty());
  shop.put("tips/b.md", "---\nid: two\ntitle: T\n---\n## Symptom\nSee [a](c.md).\n");
  CHECK(shop.said() == "b.md:6 warning dead-link; ");
  shop.put("tips/b.md", "---\nid: 2\ntitle: T\n---\n");
  CHECK(shop.said() == "a.md:6 warning dead-link; ");
  shop.put("tips/b.md", "---\nid: two\ntitle: T\nstatus: withdrawn\nreplaced-by: one\n---\n");
  CHECK(shop.said() == "a.md:5 note withdrawn-link; a.md:6 note withdrawn-link; ");
  shop.put("tips/a.md", "---\nid: one\ntitle: T\nstatus: withdrawn\nreplaced-by: b\n---\n");
  CHECK(shop.said() == "a.md:5 error dead-link; b.md:5 error dead-link; ");
  shop.put("tips/a.md", "---\nid: two\ntitle: T\n---\n");
  shop.put("tips/b.md", "---\nid: two\ntitle: T\n---\n");
  CHECK(shop.said() == "a.md:2 error duplicate-id; b.md:2 error duplicate-id; ");
}

TEST_CASE("photos are looked for beside the tip, then in photos/") {
  const Shop shop;
  shop.put("tips/x/a.md",
           "---\ntitle: T\n---\n## Location\n![a](one.png)\n![b](two.jpg)\n![c](../y/three.png)\n"
           "![d](four.png)\n![e](five.svg)\n![f](six.png)\n![g](../../../seven.png)\n");
  shop.put("tips/x/one.png", "p");
  shop.put("photos/two.jpg", "p");
  shop.put("tips/y/three.png", "p");
  shop.put("photos/six.png", "");
  CHECK(shop.said() ==
        "a.md:8 warning photo; a.md:9 warning photo; a.md:10 warning photo; "
        "a.md:11 warning photo; ");
}

TEST_CASE("part families and superseded numbers") {
  const Shop shop;
  shop.put("tips/a.md",
           "---\ntitle: T\n---\n## Parts\n### Halden 88-214\n- family: pump\n### Brevik WP 9\n"
           "- family: pump\n### Tollan 1\n- family: bolt-kit\n");
  CHECK(shop.said().empty());  // no parts/ at all
  shop.put("parts/pump.md",
           "---\ntitle: Pumps\n---\n## Numbers\n"
           "| number | brand | superseded by |\n| --- | --- | --- |\n| 88-214 | Halden | 88-215 |\n"
           "| WP-8 | Brevik | |\n");
  CHECK(shop.said() == "a.md:5 warning superseded-part; a.md:10 warning dead-link; ");
  shop.put("parts/pump.md",
           "---\ntitle: Pumps\n---\n## Numbers\n### Brevik WP-10\n- supersedes: Brevik WP-9\n");
  CHECK(shop.said() == "a.md:7 warning superseded-part; a.md:10 warning dead-link; ");
  shop.put("parts/pump.md", "---\ntitle: Pumps\nsuperseded-by: water-pump\n---\n");
  shop.put("parts/water-pump.md", "---\ntitle: Pumps\n---\n");
  shop.put("parts/bolt-kits.md", "---\nid: bolt-kit\ntitle: Kits\n---\n");
  CHECK(shop.said() == "a.md:6 warning superseded-part; a.md:8 warning superseded-part; ");
  shop.put("tips/b.md", "---\ntitle: T\n---\n## Parts\n### X 1\n- family: water-pmp\n");
  CHECK(shop.said().find("b.md:6 warning dead-link; ") != std::string::npos);
  SUBCASE("a shop that has only begun is not told of what it lacks") {
    for (int i = 0; i < 8; ++i) {
      shop.put("tips/c" + std::to_string(i) + ".md",
               "---\ntitle: T\n---\n## Parts\n### X\n- family: family" +
                   std::to_string(100 + i * 37) + "\n");
    }
    CHECK(shop.said().find("c1.md") == std::string::npos);
  }
}

TEST_CASE("words of the vocabulary") {
  const Shop shop;
  shop.put(
      "tips/a.md",
      "---\ntitle: T\nfits:\n  - Corvan | Hauler | 2014 |\n  - Corvane | Hauler | 2001-2003 |\n"
      "  - Corvane | Hauler | 2014-2024 |\n  - Corvane | Hauler | 2014 | 9.9 V12\n"
      "component: coolant pump\nsystem: coling\n---\n");
  CHECK(shop.said().empty());  // a shop without vocabulary
  shop.put("vocabulary/words.md",
           "## Makes\n### Corvane\n- model: Hauler | 2012-2022 | 3.6 V6; 5.3 V8\n\n"
           "## Components\n### coolant pump\n- system: cooling\n- also: water pump\n"
           "### starter\n- system: starting\n");
  CHECK(shop.said() ==
        "a.md:4 warning vehicle; a.md:5 warning years; a.md:6 note years; a.md:7 note vehicle; "
        "a.md:9 warning system; ");
  shop.put("tips/a.md", "---\ntitle: T\ncomponent: water pump\nsystem: starting\n---\n");
  CHECK(shop.said() == "a.md:4 warning system; ");
  shop.put("tips/a.md", "---\ntitle: T\ncomponent: water pmup\nsystem: cooling\n---\n");
  CHECK(shop.said() == "a.md:3 note component; ");
  shop.put("tips/a.md", "---\ntitle: T\ncomponent: flux ring\nsystem: cooling\n---\n");
  CHECK(shop.said().empty());
  shop.put("vocabulary/words.md",
           "## Makes\n### Corvane\n- model: Hauler | 1912-2022 |\n- model: Pallet | 2015-2055 |\n");
  CHECK(shop.said() == "words.md:3 error years; words.md:4 error years; ");
}

TEST_CASE("a translation has the numbers of its original") {
  const Shop shop;
  shop.put("tips/a.md",
           "---\nid: one\ntitle: T\nfits:\n  - Corvane | Hauler | 2014-2018 |\ncodes:\n  - P0128\n"
           "repair-minutes: 95\n---\n## Symptom\nWait ten minutes, then pump to 13.5 kPa.\n"
           "## Checks\n### Voltage at rest\n- minutes: 5\n- expect: 12.5 .. 12.9 V\n"
           "## Repair\n1. Two bolts, 60 mm long.\n2. Then 3 more.\n"
           "## Fasteners\n### Bolt\n- count: 2\n- thread: M6\n- torque: 5 N·m; 9 N·m\n");
  const std::string good =
      "---\nid: two\ntitle: Ü\nlang: de\ntranslation-of: one\nfits:\n"         // 1-6
      "  - Corvane | Hauler | 2014-2018 |\ncodes:\n  - P0128\n"                // 7-9
      "repair-minutes: 95\n---\n## Symptom\n"                                  // 10-12
      "10 Minuten warten, dann auf 13,5 kPa pumpen.\n"                         // 13
      "## Checks\n### Ruhespannung\n- minutes: 5\n- expect: 12,5 .. 12,9 V\n"  // 14-17
      "## Repair\n1. 2 Schrauben, 60 mm lang.\n2. Dann drei mehr.\n"           // 18-20
      "## Fasteners\n### Schraube\n- count: 2\n- thread: M6x1.0\n- torque: 5 N·m; 80 lbf·in\n";
  shop.put("tips/b.md", good);
  CHECK(shop.said().empty());
  const auto with = [&](const std::string& from, const std::string& to) {
    std::string text = good;
    shop.put("tips/b.md", text.replace(text.find(from), from.size(), to));
    return shop.said();
  };
  CHECK(with("2014-2018", "2014-2017") == "b.md:7 warning translation; ");
  CHECK(with("P0128", "P0118") == "b.md:9 warning translation; ");
  CHECK(with("minutes: 95", "minutes: 59") == "b.md:10 warning translation; ");
  CHECK(with("13,5", "15,3") == "b.md:13 warning translation; ");
  CHECK(with("- minutes: 5", "- minutes: 6") == "b.md:16 warning translation; ");
  CHECK(with("12,5 ..", "12,2 ..") == "b.md:17 error translation; ");
  CHECK(with("12,5 .. 12,9", ">= 12,5") == "b.md:17 error translation; ");
  CHECK(with("60 mm", "80 mm") == "b.md:19 warning translation; ");
  CHECK(with("- count: 2", "- count: 3") == "b.md:23 warning translation; ");
  CHECK(with("M6x1.0", "M8") == "b.md:24 warning translation; ");
  CHECK(with("80 lbf", "90 lbf") == "b.md:25 error translation; ");
  CHECK(with("one\nfits", "none\nfits") == "b.md:5 warning dead-link; ");
}

TEST_CASE("tips that say the same") {
  const Shop shop;
  std::string text;
  for (int i = 0; i < 120; ++i)
    text += "word" + std::to_string(i * i % 83) + (i % 9 == 8 ? ".\n" : " ");
  const auto tip = [&](const std::string& fit, const std::string& more, const std::string& body) {
    return "---\ntitle: T\n" + more + "fits:\n  - " + fit + "\n---\n## Symptom\n" + body + "\n";
  };
  shop.put("tips/a.md", tip("Corvane | Hauler", "id: one\n", text));
  shop.put("tips/b.md", tip("Corvane | Hauler | 2014", "", text + "One more."));
  CHECK(shop.said() == "a.md:2 warning near-duplicate; b.md:2 warning near-duplicate; ");
  shop.put("tips/b.md", tip("Ostrel | Vane | 2014", "", text + "One more."));
  CHECK(shop.said() == "a.md:2 note near-duplicate; b.md:2 note near-duplicate; ");
  shop.put("tips/b.md",
           tip("Corvane | Hauler", "status: withdrawn\nreplaced-by: one\n", text + "One more."));
  CHECK(shop.said().empty());
  shop.put("tips/b.md", tip("Corvane | Hauler", "lang: de\ntranslation-of: one\n", text));
  CHECK(shop.said().empty());
}

TEST_CASE("what a file sync leaves behind, and files that cannot be read") {
  const Shop shop;
  shop.put("tips/a.md", "---\ntitle: T\n---\n");
  shop.put("tips/a.sync-conflict-20260314-101500.md", "---\ntitle: T\n---\n");
  CHECK(shop.said() == "a.sync-conflict-20260314-101500.md:1 warning conflict-copy; ");
  shop.put("tips/a.md",
           "---\ntitle: T\n---\n## Finish\n<<<<<<< ours\nA.\n=======\nB.\n>>>>>>> x\n");
  CHECK(shop.said() ==
        "a.md:5 error unmerged; a.sync-conflict-20260314-101500.md:1 warning conflict-copy; ");
  // A records file counts under any name, and no other file is anybody's text.
  shop.put("records/bay-1/2026-03.sync-conflict-20260314-101500.csv", "");
  shop.put("photos/a.sync-conflict-20260314-101500.png", "");
  CHECK(shop.said() ==
        "a.md:5 error unmerged; a.sync-conflict-20260314-101500.md:1 warning conflict-copy; ");
  CHECK_FALSE(shop::check_shop(files::real_disk(), shop.folder() + "/tips").ok());
  CHECK_FALSE(shop::check_shop(files::real_disk(), shop.folder() + "/nowhere").ok());
}

TEST_CASE("any number of threads says the same") {
  const Shop shop;
  for (int i = 0; i < 60; ++i) {
    shop.put("tips/t" + std::to_string(i) + ".md",
             bolt("Corvane | Hauler", i % 7 == 0 ? "9 N·m" : "10 N·m"));
  }
  const std::string one = shop.said(1);
  CHECK_FALSE(one.empty());
  CHECK(shop.said(2) == one);
  CHECK(shop.said(8) == one);
}
