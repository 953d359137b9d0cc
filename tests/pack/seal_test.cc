#include "pack/seal.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <string>

#include "files/names.h"
#include "files/save.h"
#include "pack/shops.h"
#include "shop/outcome.h"
#include "shop/records.h"
#include "shop/shop.h"
#include "support/failing_disk.h"

using namespace baylore;
using test::kPng;
using test::Location;
using test::tip_text;

namespace {

// Two tips, one with a part family and pictures.
void fill(Location& shop) {
  shop.put("tips/cooling/heater.md",
           tip_text("heater", "Heater cold at idle",
                    "\n## Location\n![The pump](pump.png)\n\n## Parts\n### Halden 88-214\n"
                    "- family: coolant-pump\n"));
  shop.put("tips/cooling/pump.png", kPng);
  shop.put("tips/brakes/squeal.md",
           "---\nid: squeal\ntitle: Squeal\nsystem: brakes\nauthor: L. Adeyemi\n"
           "written: 2025-11-02\n---\n\n## Symptom\nAt walking pace.\n");
  shop.put("parts/coolant-pump.md",
           "---\nid: coolant-pump\ntitle: Coolant pump\n---\n\n## Numbers\n### Halden 88-214\n\n"
           "## Look over\n### The seal\n![Seal](seal.jpg)\n");
  shop.put("photos/seal.jpg", test::jpeg_of("seal"));
}

std::vector<std::string> names(const pack::Pack& pack) {
  std::vector<std::string> all;
  for (const pack::PackText& text : pack.texts)
    all.push_back(std::string(pack::kind_word(text.kind)) + " " + text.id);
  for (const pack::PackPhoto& photo : pack.photos) all.push_back(photo.path);
  return all;
}

int run(const std::string& command) {
  return std::system(("( " + command + " ) >/dev/null 2>&1 </dev/null").c_str());
}

}  // namespace

TEST_CASE("a pack brings tips, the part families and pictures they use, and their ancestry") {
  Location north("north");
  Location south("south");
  fill(north);
  south.trusts(north);
  const std::string first = north.get("tips/cooling/heater.md");
  const std::string second = first + "\n## Finish\nBleed it.\n";
  REQUIRE(
      shop::save_tip(files::real_disk(), north.folder(), "tips/cooling/heater.md", first, second)
          .ok());
  const pack::Pack pack = south.open(north.seal("p1"));
  CHECK(pack.verdict() == "trusted");
  CHECK(pack.signature.location == "north");
  CHECK(pack.name == "p1");
  CHECK(test::listed(pack.refused) == "");
  CHECK(names(pack) == std::vector<std::string>{"tip heater", "tip squeal", "part coolant-pump",
                                                "photos/seal.jpg", "tips/cooling/pump.png"});
  CHECK(pack.texts[0].bytes == second);
  CHECK(pack.texts[0].ancestry == std::set<std::string>{files::hash_hex(first)});
  CHECK(pack.texts[1].ancestry.empty());
  CHECK(pack.bag.value("Bagging-Date") == "2026-03-20");
  CHECK(pack.bag.value("Source-Organization") == "north");
}

TEST_CASE("tips are chosen by id, slug, system, author and date") {
  Location north("north");
  fill(north);
  north.put(
      "tips/draft.md",
      "---\nid: idea\ntitle: An idea\nstatus: draft\nsystem: cooling\n---\n\n## Symptom\nNone.\n");
  const auto chosen = [&](const pack::Choice& choice) {
    const auto plan = pack::plan_seal(files::real_disk(), north.folder(), choice);
    REQUIRE(plan.ok());
    std::string all;
    for (const pack::SealText& text : plan->texts) all += text.id + " ";
    for (const std::string& photo : plan->photos) all += photo + " ";
    return all;
  };
  const std::string heater = "coolant-pump heater photos/seal.jpg tips/cooling/pump.png ";
  pack::Choice choice;
  choice.ids = {"heater"};
  CHECK(chosen(choice) == heater);
  choice.parts = false;
  CHECK(chosen(choice) == "heater tips/cooling/pump.png ");
  choice.photos = false;
  CHECK(chosen(choice) == "heater ");
  choice = {};
  choice.systems = {"Cooling"};
  CHECK(chosen(choice) == heater);
  choice.authors = {"l. adeyemi"};
  CHECK(chosen(choice) == "");
  choice = {};
  choice.authors = {"l. adeyemi", "nobody"};
  CHECK(chosen(choice) == "squeal ");
  choice = {};
  choice.since = "2026-03-14";
  CHECK(chosen(choice) == heater);
  choice.since = "2026-03-15";
  CHECK(chosen(choice) == "");
  choice = {};
  choice.ids = {"draft"};
  CHECK(chosen(choice) == "idea ");
  choice.ids = {"none-such"};
  const auto plan = pack::plan_seal(files::real_disk(), north.folder(), choice);
  REQUIRE(plan.ok());
  CHECK(test::listed(plan->left_out) == "missing none-such; ");
}

TEST_CASE("what may not or cannot travel is left out and said, the rest goes") {
  Location north("north");
  fill(north);
  north.put("tips/a-nameless.md", "---\ntitle: No id\n---\n\n## Symptom\nNone.\n");
  // A VIN with its check digit: 49 CFR 565's own example form, invented serial.
  north.put("tips/b-private.md", tip_text("private", "Car 1M8GDM9AXKP042788 again"));
  north.put("tips/c-twice.md", tip_text("HEATER", "The id in capitals"));
  north.put("tips/d-latin.md", tip_text("latin", "caf\xE9"));
  north.put("tips/e-fake.md", tip_text("fake", "Fake", "\n![x](fake.png)\n![y](gone.png)\n"));
  north.put("tips/fake.png", "<svg/>");
  static_cast<void>(north.seal("p1"));
  CHECK(test::listed(north.last_plan.left_out) ==
        "id tips/a-nameless.md; private tips/b-private.md; id tips/c-twice.md; "
        "utf-8 tips/d-latin.md; photo tips/e-fake.md; photo tips/fake.png; ");
}

TEST_CASE("the same shop, date and key give the same bytes; another key or date other ones") {
  Location north("north");
  fill(north);
  const auto bytes_of = [&](const std::string& date, const pack::SecretKey& key) {
    const test::Scratch target;
    const auto plan = pack::plan_seal(files::real_disk(), north.folder(), {});
    REQUIRE(plan.ok());
    const auto sealed = pack::seal(files::real_disk(), north.folder(), *plan, {"p1", date, "north"},
                                   key, target.folder());
    REQUIRE(sealed.ok());
    CHECK(sealed->bytes == target.get("p1.bag.zip").size());
    CHECK(target.files() == std::vector<std::string>{"p1.bag.zip"});
    return target.get("p1.bag.zip");
  };
  const std::string first = bytes_of("2026-03-20", north.key());
  CHECK(bytes_of("2026-03-20", north.key()) == first);
  CHECK(bytes_of("2026-03-21", north.key()) != first);
  CHECK(bytes_of("2026-03-20", pack::SecretKey::make()) != first);
}

TEST_CASE("a person with unzip, sha512sum and minisign can check and read a pack") {
  Location north("north");
  fill(north);
  static_cast<void>(north.seal("p1"));
  north.scratch().put("north.pub", pack::public_key_file(north.key().public_key()));
  const std::string in =
      "cd '" + north.scratch().folder() + "' && unzip -q -o p1.bag.zip && cd p1 && ";
  CHECK(run(in + "sha512sum --strict -c manifest-sha512.txt tagmanifest-sha512.txt") == 0);
  CHECK(run(in + BAYLORE_MINISIGN " -V -H -p ../north.pub -m tagmanifest-sha512.txt") == 0);
  CHECK(north.scratch().get("p1/data/tips/cooling/heater.md") ==
        north.get("tips/cooling/heater.md"));
  north.scratch().put("p1/data/tips/cooling/heater.md", "changed");
  CHECK(run("cd '" + north.scratch().folder() +
            "/p1' && sha512sum --strict -c manifest-sha512.txt") != 0);
}

TEST_CASE("a pack made with common tools by a script is read like one of ours") {
  Location south("south");
  const test::Scratch scratch;
  scratch.put("p9/data/tips/heater.md", tip_text("heater", "Heater cold"));
  scratch.put("p9/bagit.txt", "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n");
  scratch.put("p9/bag-info.txt", "Source-Organization: A script\n");
  const std::string tool = BAYLORE_MINISIGN;
  REQUIRE(run("cd '" + scratch.folder() + "' && " + tool +
              " -G -W -p k.pub -s k.key && cd p9 && "
              "sha512sum data/tips/heater.md >manifest-sha512.txt && "
              "sha512sum bagit.txt bag-info.txt manifest-sha512.txt >tagmanifest-sha512.txt && " +
              tool + " -S -s ../k.key -m tagmanifest-sha512.txt") == 0);
  // The zip by our writer: no zip program is asked for. Folders are the script's own.
  auto output = files::real_disk().create(scratch.path("p9.bag.zip"));
  REQUIRE(output.ok());
  pack::ContainerWriter writer(**output, "p9");
  for (const std::string& path : scratch.files()) {
    if (path.starts_with("p9/")) REQUIRE(writer.add(path.substr(3), scratch.get(path)).ok());
  }
  REQUIRE(writer.finish().ok());
  REQUIRE((*output)->close().ok());

  // Its key did not come with it: nothing can be said before it is trusted.
  pack::Pack pack = south.open(scratch.path("p9.bag.zip"));
  CHECK(pack.verdict() == "unknown");
  CHECK_FALSE(pack.signature.key.has_value());
  const auto key = pack::read_public_key(scratch.get("k.pub"));
  REQUIRE(key.has_value());
  REQUIRE(pack::trust(files::real_disk(), south.folder(), "script", *key).ok());
  pack = south.open(scratch.path("p9.bag.zip"));
  CHECK(pack.verdict() == "trusted");
  REQUIRE(pack.texts.size() == 1);
  CHECK(pack.texts[0].id == "heater");
}

TEST_CASE("counts are bare numbers of the tips and parts in the pack, and of no other") {
  Location north("north");
  fill(north);
  const auto record = [&](const shop::Record& one) {
    REQUIRE(shop::append_record(files::real_disk(), north.folder(), "bay-1", one).ok());
  };
  for (int i = 0; i < 3; ++i) {
    shop::Outcome outcome;
    outcome.id = "outcome-" + std::to_string(i);
    outcome.when = "2026-02-0" + std::to_string(i + 1) + "T10:00:00Z";
    outcome.who = "RO";
    outcome.right = "heater";
    outcome.part = "Halden 88-214";
    outcome.order = "RO-4711";
    outcome.odometer = "84200 km";
    outcome.car = {"Corvane", "Hauler", 2016, "3.6 V6"};
    record(shop::record_of(outcome));
  }
  shop::Outcome other;
  other.id = "outcome-9";
  other.when = "2026-02-09T10:00:00Z";
  other.right = "another-tip";
  record(shop::record_of(other));
  shop::Comeback comeback;
  comeback.id = "comeback-1";
  comeback.when = "2026-03-01T10:00:00Z";
  comeback.outcome = "outcome-1";
  comeback.reason = "part failed";
  record(shop::record_of(comeback));
  pack::Choice choice;
  choice.counts = true;
  const std::string path = north.seal("p1", choice);
  const pack::Pack pack = north.open(path);
  CHECK(pack.counts ==
        std::vector<pack::Count>{{"part", "Halden 88-214", 3, 1, 0}, {"tip", "heater", 3, 0, 0}});
  const std::string bytes = north.scratch().get("p1.bag.zip");
  for (const char* secret : {"RO-4711", "84200", "outcome-1", "bay-1", "another-tip", "2026-02-0"})
    CHECK(bytes.find(secret) == std::string::npos);
}

TEST_CASE("a part family with a VIN in it stays at home as a tip would") {
  Location north("north");
  north.put("tips/a.md", tip_text("a", "One", "\n## Parts\n### Halden 88-214\n- family: pump\n"));
  north.put(
      "parts/pump.md",
      "---\nid: pump\ntitle: Pump\n---\n\nSeen on 1M8GDM9AXKP042788.\n\n## Numbers\n### Halden "
      "88-214\n");
  const auto plan = pack::plan_seal(files::real_disk(), north.folder(), {});
  REQUIRE(plan.ok());
  CHECK(plan->texts.size() == 1);
  CHECK(test::listed(plan->left_out) == "private parts/pump.md; ");
}

TEST_CASE("more lines than a pack takes are not sealed in vain") {
  Location north("north");
  for (int i = 0; i < 210; ++i) {
    const std::string id = "t" + std::to_string(i);
    north.put("tips/" + id + ".md", tip_text(id, id, std::string(9900, '\n')));
  }
  const auto plan = pack::plan_seal(files::real_disk(), north.folder(), {});
  REQUIRE(plan.ok());
  const auto sealed =
      pack::seal(files::real_disk(), north.folder(), *plan, {"p1", "2026-03-20", "North"},
                 north.key(), north.scratch().folder());
  REQUIRE_FALSE(sealed.ok());
  CHECK(sealed.failure().kind == files::Failure::Kind::too_large);
  CHECK_FALSE(north.scratch().has("p1.bag.zip"));
}

TEST_CASE("whichever call fails, sealing leaves a whole pack or nothing, and giving up nothing") {
  Location north("north");
  fill(north);
  const auto plan = pack::plan_seal(files::real_disk(), north.folder(), {});
  REQUIRE(plan.ok());
  const auto act = [&](files::Disk& disk, const test::Scratch& target) {
    return pack::seal(disk, north.folder(), *plan, {"p1", "2026-03-20", "north"}, north.key(),
                      target.folder())
        .ok();
  };
  test::FailingDisk disk(files::real_disk());
  std::string whole;
  {
    const test::Scratch target;
    REQUIRE(act(disk, target));
    whole = target.get("p1.bag.zip");
  }
  const int calls = disk.calls();
  CHECK(calls > 20);
  for (const auto how : {test::FailingDisk::How::once, test::FailingDisk::How::forever}) {
    for (int call = 1; call <= calls; ++call) {
      const test::Scratch target;
      disk.fail_at(call, how, files::Failure::Kind::full);
      const bool ok = act(disk, target);
      CHECK(target.left_behind().empty());
      if (target.has("p1.bag.zip")) {
        CHECK(target.get("p1.bag.zip") == whole);
      } else {
        CHECK_FALSE(ok);
      }
    }
  }
  int asked = 0;
  REQUIRE(pack::seal(files::real_disk(), north.folder(), *plan, {"p2", "2026-03-20", "north"},
                     north.key(), north.scratch().folder(),
                     [&](std::uint64_t done, std::uint64_t all) {
                       CHECK(done <= all);
                       ++asked;
                       return true;
                     })
              .ok());
  for (int stop = 0; stop < asked; ++stop) {
    const test::Scratch target;
    int left = stop;
    const auto given_up = pack::seal(files::real_disk(), north.folder(), *plan,
                                     {"p1", "2026-03-20", "north"}, north.key(), target.folder(),
                                     [&](std::uint64_t, std::uint64_t) { return left-- > 0; });
    CHECK_FALSE(given_up.ok());
    CHECK(target.files().empty());
  }
}

TEST_CASE("a pack is never written over, and its name stays one") {
  Location north("north");
  fill(north);
  static_cast<void>(north.seal("p1"));
  const auto plan = pack::plan_seal(files::real_disk(), north.folder(), {});
  REQUIRE(plan.ok());
  const auto sealed = [&](const std::string& name) {
    return pack::seal(files::real_disk(), north.folder(), *plan, {name, "2026-03-21", "North Side"},
                      north.key(), north.scratch().folder());
  };
  const auto again = sealed("p1");
  REQUIRE_FALSE(again.ok());
  CHECK(again.failure().kind == files::Failure::Kind::exists);
  for (const char* name : {"..", "a/b", "con", ".hidden", "a b"}) CHECK_FALSE(sealed(name).ok());
  const auto named = sealed("");
  REQUIRE(named.ok());
  CHECK(named->name == "north-side-2026-03-21");
}

TEST_CASE(
    "a picture leaves without what its file tells beside it, and is known when it comes back") {
  Location north("north");
  Location south("south");
  north.trusts(south);
  south.trusts(north);
  north.put("tips/a.md", test::tip_text("a", "One", "\n![x](x.jpg)\n![y](broken.jpg)\n"));
  north.put("tips/x.jpg", test::jpeg_of("seal", "51.5 N, phone of L. Adeyemi") + "and a film");
  north.put("photos/broken.jpg", test::jpeg_of("seal").substr(0, 8));
  const std::string path = north.seal("p1");
  CHECK(test::listed(north.last_plan.left_out) == "photo photos/broken.jpg; ");
  const auto taken = south.accept(path);
  CHECK(taken.photos == 1);
  CHECK(south.get("tips/received/a/x.jpg") == test::jpeg_of("seal"));
  CHECK(north.scratch().get("p1.bag.zip").find("Adeyemi") == std::string::npos);
  // The sender's own file stays as it is, and what comes back is not taken for another picture.
  south.edit("tips/received/a/a.md", south.get("tips/received/a/a.md") + "\n## Finish\nBleed.\n");
  const auto back = north.accept(south.seal("p2"));
  CHECK(back.left.empty());
  CHECK(back.photos == 0);
  CHECK(north.get("tips/x.jpg").find("Adeyemi") != std::string::npos);
}
