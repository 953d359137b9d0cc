#include "pack/accept.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <string>
#include <string_view>

#include "files/names.h"
#include "pack/bag.h"
#include "pack/container.h"
#include "pack/keys.h"
#include "pack/shops.h"

using namespace baylore;
using pack::TextKey;
using shop::Kind;
using test::kPng;
using test::Location;
using test::png_of;
using test::tip_text;

namespace {

const TextKey kHeater{Kind::tip, "heater"};

std::string with(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE_MESSAGE(at != std::string::npos, from);
  return text.replace(at, from.size(), to);
}

// The pack made again after `change` of its files, by their paths; nothing signs that.
template <class Change>
std::string made_again(const Location& from, const std::string& path, Change change) {
  const std::string zip = from.scratch().get("p1.bag.zip");
  const auto source = pack::open_bytes(zip);
  const auto listing = pack::list_container(*source);
  REQUIRE(listing.ok());
  std::map<std::string, std::string> files;
  const auto reasons = pack::read_container(
      *source, *listing, [&](const pack::ContainerEntry& entry, std::string_view piece, bool) {
        files[entry.path] += piece;
        return true;
      });
  REQUIRE(reasons.ok());
  REQUIRE(reasons->empty());
  change(files);
  const std::string again = path + ".again";
  auto output = files::real_disk().create(again);
  REQUIRE(output.ok());
  pack::ContainerWriter writer(**output, listing->name);
  for (const auto& [name, bytes] : files) REQUIRE(writer.add(name, bytes).ok());
  REQUIRE(writer.finish().ok());
  REQUIRE((*output)->close().ok());
  return again;
}

const std::string kHeaterText =
    tip_text("heater", "Heater cold at idle", "\n## Finish\nBleed at the hose.\n");

}  // namespace

TEST_CASE("new texts come into a folder of their own with their pictures, and go again") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  south.put("tips/cooling/other.md", tip_text("other", "Ours"));
  north.put("tips/cooling/heater.md", tip_text("heater", "Heater cold",
                                               "\n![Pump](pump.png)\n![Seal](seal.png)\n"
                                               "\n## Parts\n### Halden 88-214\n- family: pump\n"));
  north.put("tips/cooling/pump.png", png_of("1"));
  north.put("photos/seal.png", png_of("2"));
  north.put("parts/pump.md", "---\nid: pump\ntitle: Pump\n---\n\n## Numbers\n### Halden 88-214\n");
  const std::string path = north.seal("p1");
  const auto before = south.files();
  CHECK(south.preview(path) == "new heater; new pump; ");
  CHECK(south.files() == before);

  const pack::Outcome outcome = south.accept(path);
  CHECK(outcome.fresh == 2);
  CHECK(outcome.photos == 2);
  CHECK(outcome.left.empty());
  CHECK(south.get("tips/received/heater/heater.md") == north.get("tips/cooling/heater.md"));
  CHECK(south.get("parts/received/pump/pump.md") == north.get("parts/pump.md"));
  CHECK(south.get("tips/received/heater/pump.png") == png_of("1"));
  CHECK(south.get("tips/received/heater/seal.png") == png_of("2"));
  CHECK(south.preview(path) == "");
  // The pack lies there as it came.
  CHECK(south.get("received/" + outcome.folder + "/pack.bag.zip") ==
        north.scratch().get("p1.bag.zip"));

  const auto received = pack::read_received(files::real_disk(), south.folder());
  REQUIRE(received.ok());
  const auto origins = pack::origins(*received).at(kHeater);
  REQUIRE(origins.size() == 1);
  CHECK(origins[0].location == "north");
  CHECK(origins[0].pack == "p1");

  const pack::Outcome undone = south.undo(outcome.folder);
  CHECK(undone.removed == 2);
  CHECK(south.files() == before);
  CHECK(pack::origins(*pack::read_received(files::real_disk(), south.folder())).count(kHeater) ==
        0);
  // And once more.
  CHECK(south.accept(path).fresh == 2);
  CHECK(south.get("tips/received/heater/pump.png") == png_of("1"));
}

TEST_CASE("theirs made from ours replaces it, and undoing brings ours back") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  south.put("tips/cooling/mine.md", kHeaterText);
  north.put("tips/cooling/heater.md", kHeaterText);
  const std::string better = with(kHeaterText, "Bleed", "Fill, then bleed");
  north.edit("tips/cooling/heater.md", better);
  const std::string path = north.seal("p1");
  CHECK(south.preview(path) == "changed heater; ");
  const auto seen = pack::preview(files::real_disk(), south.folder(), south.open(path));
  REQUIRE(seen.ok());
  REQUIRE(seen->items[0].differences.size() == 1);
  CHECK(seen->items[0].differences[0].where == "Finish");
  CHECK(seen->items[0].path == "tips/cooling/mine.md");

  const pack::Outcome outcome = south.accept(path);
  CHECK(outcome.changed == 1);
  // Where it was, not where theirs lies.
  CHECK(south.get("tips/cooling/mine.md") == better);
  CHECK(south.get("history/heater/" + files::hash_hex(kHeaterText) + ".md") == kHeaterText);
  CHECK(south.undo(outcome.folder).changed == 1);
  CHECK(south.get("tips/cooling/mine.md") == kHeaterText);
  // Ours made from theirs: nothing.
  CHECK(south.accept(path).changed == 1);
  south.edit("tips/cooling/mine.md", with(better, "Heater cold", "Heater stays cold"));
  CHECK(south.preview(path) == "");
  CHECK(north.preview(south.seal("p2")).empty() == false);
}

TEST_CASE("both changed at different places: merged; at the same: both kept until a lead settles") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  north.trusts(south);
  north.put("tips/heater.md", kHeaterText);
  south.put("tips/heater.md", kHeaterText);
  north.edit("tips/heater.md", with(kHeaterText, "Bleed", "Fill, then bleed"));
  south.edit("tips/heater.md", with(kHeaterText, "Low tank", "Empty tank"));
  const std::string first = north.seal("p1");
  CHECK(south.preview(first) == "merged heater; ");
  south.accept(first);
  const std::string both =
      with(with(kHeaterText, "Bleed", "Fill, then bleed"), "Low tank", "Empty tank");
  CHECK(south.get("tips/heater.md") == both);
  // North takes the merged one as made from its own.
  const std::string back = south.seal("p2");
  CHECK(north.preview(back) == "changed heater; ");
  north.accept(back);
  CHECK(north.texts() == south.texts());

  // The same line on both sides.
  north.edit("tips/heater.md", with(both, "Heater cold", "No heat"));
  south.edit("tips/heater.md", with(both, "Heater cold", "Heat lost"));
  const std::string third = north.seal("p3");
  CHECK(south.preview(third) == "conflict heater; ");
  CHECK(south.accept(third).conflicts == 1);
  CHECK(south.get("tips/heater.md") == with(both, "Heater cold", "Heat lost"));
  REQUIRE(south.conflicts().size() == 1);
  CHECK(south.conflicts()[0].theirs == north.get("tips/heater.md"));
  CHECK(south.conflicts()[0].location == "north");
  const auto seen = pack::preview(files::real_disk(), south.folder(), south.open(third));
  REQUIRE(seen.ok());
  REQUIRE(seen->items[0].conflicts.size() == 1);
  CHECK(seen->items[0].conflicts[0].where == "title");
  CHECK(seen->items[0].conflicts[0].base.find("Heater cold") != std::string::npos);

  const std::string settled = with(both, "Heater cold", "Heat lost at idle");
  REQUIRE(pack::settle(files::real_disk(), south.folder(), kHeater, south.get("tips/heater.md"),
                       settled)
              .ok());
  CHECK(south.conflicts().empty());
  CHECK(south.preview(third) == "");
  const std::string fourth = south.seal("p4");
  CHECK(north.preview(fourth) == "changed heater; ");
  north.accept(fourth);
  CHECK(north.texts() == south.texts());
}

TEST_CASE("a lead may settle for ours as it stands") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  north.put("tips/heater.md", with(kHeaterText, "Bleed", "Paint"));
  south.put("tips/heater.md", kHeaterText);
  const std::string path = north.seal("p1");
  // No common ancestor: another tip that happens to have this id, or a stolen one.
  CHECK(south.accept(path).conflicts == 1);
  CHECK(south.get("tips/heater.md") == kHeaterText);
  CHECK(south.conflicts().size() == 1);
  REQUIRE(pack::settle(files::real_disk(), south.folder(), kHeater, kHeaterText, kHeaterText).ok());
  CHECK(south.conflicts().empty());
  CHECK(south.preview(path) == "");
  CHECK_FALSE(
      pack::settle(files::real_disk(), south.folder(), kHeater, kHeaterText, kHeaterText).ok());
}

TEST_CASE("what someone edited since stays when the pack is undone") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  north.put("tips/a.md", tip_text("a", "One"));
  north.put("tips/b.md", tip_text("b", "Two"));
  const pack::Outcome outcome = south.accept(north.seal("p1"));
  const std::string edited = tip_text("a", "One, and more");
  south.edit("tips/received/a/a.md", edited);
  const pack::Outcome undone = south.undo(outcome.folder);
  CHECK(undone.removed == 1);
  CHECK(undone.same == 1);
  CHECK(south.get("tips/received/a/a.md") == edited);
  CHECK_FALSE(south.has("tips/received/b/b.md"));
  CHECK(south.has("history/b/" + files::hash_hex(tip_text("b", "Two")) + ".md"));
}

TEST_CASE("undoing one of two packs leaves what the other brought") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  north.put("tips/a.md", tip_text("a", "One"));
  const pack::Outcome first = south.accept(north.seal("p1"));
  north.edit("tips/a.md", tip_text("a", "Two"));
  const pack::Outcome second = south.accept(north.seal("p2"));
  CHECK(south.get("tips/received/a/a.md") == tip_text("a", "Two"));
  south.undo(second.folder);
  CHECK(south.get("tips/received/a/a.md") == tip_text("a", "One"));
  south.undo(first.folder);
  CHECK_FALSE(south.has("tips/received/a/a.md"));
  south.accept(north.scratch().path("p2.bag.zip"));
  CHECK(south.get("tips/received/a/a.md") == tip_text("a", "Two"));
}

TEST_CASE("some of a pack may be chosen, and more of it later") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  for (const char* id : {"a", "b", "c"})
    north.put(std::string("tips/") + id + ".md", tip_text(id, id));
  const std::string path = north.seal("p1");
  pack::Accepting some;
  some.chosen = {{Kind::tip, "a"}};
  CHECK(south.accept(path, some).fresh == 1);
  CHECK(south.preview(path) == "new b; new c; ");
  some.chosen = {{Kind::tip, "c"}};
  const pack::Outcome more = south.accept(path, some);
  CHECK(more.fresh == 1);
  CHECK(south.texts().size() == 2);
  CHECK(south.undo(more.folder).removed == 2);
  CHECK(south.texts().empty());
}

TEST_CASE("a pack that nobody signed is looked at and no more, whatever is decided") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  north.put("tips/a.md", tip_text("a", "One"));
  const std::string path = made_again(north, north.seal("p1"), [](auto& files) {
    REQUIRE(files.erase(std::string(pack::kSignature)) == 1);
  });
  CHECK(south.open(path).verdict() == "unsigned");
  CHECK(south.preview(path) == "new a; ");
  const auto before = south.scratch().files();
  pack::Accepting decided;
  for (const char* name : {"", "north-side"}) {
    decided.trust_as = name;
    const auto refused = south.try_accept(path, decided);
    REQUIRE_FALSE(refused.ok());
    CHECK(refused.failure().kind == files::Failure::Kind::denied);
    CHECK(refused.failure().what.find("signed by nobody") != std::string::npos);
    CHECK(south.scratch().files() == before);
  }
}

TEST_CASE("a key that is neither known nor came with the pack cannot be trusted by a name") {
  Location north("north");
  Location south("south");
  north.put("tips/a.md", tip_text("a", "One"));
  const std::string path = made_again(north, north.seal("p1"), [&](auto& files) {
    REQUIRE(files.erase(std::string(pack::kSigner)) == 1);
    std::string& tags = files.at(std::string(pack::kTagManifest));
    const std::size_t name = tags.find(pack::kSigner);
    REQUIRE(name != std::string::npos);
    const std::size_t line = tags.rfind('\n', name) + 1;
    tags.erase(line, tags.find('\n', name) + 1 - line);
    files.at(std::string(pack::kSignature)) = north.key().sign(tags, "p1");
  });
  CHECK(south.open(path).verdict() == "unknown");
  const auto before = south.scratch().files();
  pack::Accepting decided;
  decided.trust_as = "north-side";
  const auto refused = south.try_accept(path, decided);
  REQUIRE_FALSE(refused.ok());
  CHECK(refused.failure().kind == files::Failure::Kind::denied);
  CHECK(refused.failure().what.find("did not come with it") != std::string::npos);
  CHECK(south.scratch().files() == before);
  // Whoever has the key by another way takes the same pack.
  south.trusts(north);
  CHECK(south.open(path).verdict() == "trusted");
  CHECK(south.accept(path).fresh == 1);
}

TEST_CASE("an unknown signer needs a recorded decision") {
  Location north("north");
  Location south("south");
  north.put("tips/a.md", tip_text("a", "One"));
  const std::string path = north.seal("p1");
  CHECK(south.open(path).verdict() == "unknown");
  CHECK(south.preview(path) == "new a; ");
  const auto before = south.scratch().files();
  const auto refused = south.try_accept(path);
  REQUIRE_FALSE(refused.ok());
  CHECK(refused.failure().kind == files::Failure::Kind::denied);
  CHECK(south.scratch().files() == before);
  pack::Accepting decided;
  decided.trust_as = "../north";
  CHECK_FALSE(south.try_accept(path, decided).ok());
  CHECK(south.scratch().files() == before);
  decided.trust_as = "north-side";
  decided.who = "RO";
  const pack::Outcome outcome = south.accept(path, decided);
  CHECK(south.open(path).signature.location == "north-side");
  const auto received = pack::read_received(files::real_disk(), south.folder());
  REQUIRE(received.ok());
  CHECK(received->find(outcome.folder)->last().newly_trusted);
  CHECK(received->find(outcome.folder)->last().who == "RO");
}

TEST_CASE("another file in the place of the one that was looked at is not taken") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  north.put("tips/a.md", tip_text("a", "One"));
  const std::string first = north.seal("p1");
  const pack::Pack seen = south.open(first);
  north.put("tips/a.md", tip_text("a", "Two"));
  const std::string second = north.seal("p2");
  const auto outcome = pack::accept(files::real_disk(), south.folder(), second, seen,
                                    {{}, "RO", "2026-03-21T08:00:00Z", ""});
  REQUIRE_FALSE(outcome.ok());
  CHECK(outcome.failure().kind == files::Failure::Kind::damaged);
  CHECK(south.texts().empty());
}

TEST_CASE("a picture here is never replaced by another, and a text in the way stays") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  const std::string shows = kHeaterText + "\n![Pump](pump.png)\n";
  north.put("tips/heater.md", shows);
  north.put("tips/pump.png", png_of("theirs"));
  north.put("tips/b.md", tip_text("b", "Two"));
  south.put("tips/heater.md", shows);
  south.put("tips/pump.png", png_of("ours"));
  south.put("tips/received/b/b.md", tip_text("somebody-else", "In the way"));
  const pack::Outcome outcome = south.accept(north.seal("p1"));
  CHECK(south.get("tips/pump.png") == png_of("ours"));
  CHECK(south.get("tips/received/b/b.md") == tip_text("somebody-else", "In the way"));
  CHECK(outcome.left.size() == 2);
}

TEST_CASE(
    "two files with one id here, or an id that differs in capitals, are for a person to mend") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  north.put("tips/heater.md", kHeaterText);
  north.put("tips/b.md", tip_text("b", "Two"));
  south.put("tips/one.md", kHeaterText);
  south.put("tips/two.md", kHeaterText);
  south.put("tips/b.md", tip_text("B", "Capital"));
  const std::string path = north.seal("p1");
  CHECK(south.preview(path) == "blocked b; blocked heater; ");
  const auto outcome = south.try_accept(path);
  REQUIRE_FALSE(outcome.ok());
  CHECK_FALSE(south.has("received"));
}

TEST_CASE("counts of a location replace its older ones, whatever came first") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  north.put("tips/a.md", tip_text("a", "One"));
  pack::Choice choice;
  choice.counts = true;
  north.put("records/bay-1/2026-02.csv",
            "id,when,kind,tip,result,end\n01A,2026-02-01T10:00:00Z,outcome,a,fixed,.\n");
  const std::string older = north.seal("p1", choice, "2026-03-01");
  const std::string newer = north.seal("p2", choice, "2026-03-09");
  const pack::Outcome second = south.accept(newer);
  const auto day = [&] {
    const auto counts =
        pack::latest_counts(*pack::read_received(files::real_disk(), south.folder()));
    return counts.size() == 1 ? counts[0].location + " " + counts[0].sealed : std::string();
  };
  CHECK(day() == "north 2026-03-09");
  south.accept(older);
  CHECK(day() == "north 2026-03-09");
  CHECK(pack::preview(files::real_disk(), south.folder(), south.open(newer))->counts_replace ==
        "2026-03-09");
  south.undo(second.folder);
  CHECK(day() == "north 2026-03-01");
}

TEST_CASE("decisions read back as they were written, and damaged ones are passed over") {
  pack::Decision decision;
  decision.accepted = true;
  decision.when = "2026-03-21T08:00:00Z";
  decision.who = "L. Ad\xC3\xA9yemi";
  decision.name = "p1";
  decision.counts = {{"part", "Halden 88-214", 31, 2, 1}};
  decision.texts = {{kHeater, "Heater", "abc", {"d", "e"}}};
  decision.writes = {{kHeater, "tips/a.md", "b", "c", "bytes\n", "o", {"p"}, {"q"}, {"r"}}};
  decision.photos = {{kHeater, "tips/a.png", "tips/b.png", "s", true}};
  const std::string text = pack::decision_text(decision);
  const auto read = pack::read_decision(text);
  REQUIRE(read.has_value());
  CHECK(pack::decision_text(*read) == text);
  CHECK_FALSE(pack::read_decision("").has_value());
  CHECK_FALSE(pack::read_decision("{}").has_value());
  CHECK_FALSE(pack::read_decision("[1]").has_value());
  CHECK_FALSE(pack::read_decision(with(text, "\"form\": 1", "\"form\": 2")).has_value());
  CHECK_FALSE(pack::read_decision(with(text, "\"tip\"", "\"shop\"")).has_value());
  CHECK_FALSE(pack::read_decision(with(text, "\"accepted\"", "\"perhaps\"")).has_value());
  for (std::size_t length = 0; length + 2 < text.size(); length += 7)
    CHECK_FALSE(pack::read_decision(text.substr(0, length)).has_value());
}

TEST_CASE("another tip with the id of ours is never mixed into it, whatever was sent before") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  south.put("tips/heater.md", kHeaterText);
  const std::string other = "---\nid: heater\ntitle: Paint peels\n---\n\n## Finish\nSand.\n";
  north.put("tips/paint.md", other);
  south.accept(north.seal("p1"));
  const std::string more = other + "\n## Verify\nLook again.\n";
  north.edit("tips/paint.md", more);
  CHECK(south.accept(north.seal("p2")).conflicts == 1);
  // What theirs was made from is not what ours was made from.
  const std::string edited = with(kHeaterText, "Bleed", "Fill, then bleed");
  south.edit("tips/heater.md", edited);
  const std::string third = north.seal("p3");
  CHECK(south.preview(third) == "conflict heater; ");
  CHECK(south.accept(third).conflicts == 1);
  CHECK(south.get("tips/heater.md") == edited);
  REQUIRE(south.conflicts().size() == 1);
  CHECK(south.conflicts()[0].theirs == more);
}

TEST_CASE("a decision waits for its pack, which another terminal may bring later") {
  Location north("north");
  Location south("south");
  Location far("far");  // another terminal's copy of south
  south.trusts(north);
  far.trusts(north);
  north.put("tips/a.md", tip_text("a", "One", "\n![x](x.png)\n"));
  north.put("tips/x.png", kPng);
  north.put("tips/b.md", tip_text("b", "Two"));
  const std::string folder = south.accept(north.seal("p1")).folder;
  const auto bring = [&](const std::string& name) {
    const std::string path = "received/" + folder + "/" + name;
    far.put(path, south.get(path));
  };
  bring("0001.json");
  for (const char* whole : {"nothing", "half"}) {
    const auto left = pack::finish_received(files::real_disk(), far.folder());
    REQUIRE(left.ok());
    CHECK(left->size() == 3);
    CHECK(far.texts().empty());
    CHECK_FALSE(far.has("received/" + folder + "/0001.done"));
    if (whole == std::string("nothing")) {
      far.put("received/" + folder + "/pack.bag.zip",
              south.get("received/" + folder + "/pack.bag.zip").substr(0, 900));
    }
  }
  bring("pack.bag.zip");
  const auto left = pack::finish_received(files::real_disk(), far.folder());
  REQUIRE(left.ok());
  CHECK(left->empty());
  CHECK(far.texts() == south.texts());
  CHECK(far.get("tips/received/a/x.png") == kPng);
  CHECK(far.has("received/" + folder + "/0001.done"));
}

TEST_CASE("a key that somebody trusted under another name meanwhile stops nobody") {
  Location north("north");
  Location south("south");
  north.put("tips/a.md", tip_text("a", "One"));
  const std::string path = north.seal("p1");
  pack::Accepting how;
  how.trust_as = "north-side";
  const std::string folder = south.accept(path, how).folder;
  // As if cut off right after the decision.
  for (const std::string& gone :
       {"received/" + folder + "/0001.done", std::string("keys/trusted/north-side.pub"),
        std::string("tips/received/a/a.md")}) {
    std::filesystem::remove(south.folder() + "/" + gone);
  }
  REQUIRE(
      pack::trust(files::real_disk(), south.folder(), "the-north", north.key().public_key()).ok());
  const auto left = pack::finish_received(files::real_disk(), south.folder());
  REQUIRE_MESSAGE(left.ok(), left.failure().text());
  CHECK(left->size() == 1);
  CHECK(south.get("tips/received/a/a.md") == tip_text("a", "One"));
  CHECK(pack::finish_received(files::real_disk(), south.folder())->empty());
}

TEST_CASE("no picture goes through a link out of the shop") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  north.put("tips/a.md", tip_text("a", "One", "\n![x](x.png)\n"));
  north.put("tips/x.png", kPng);
  north.put("tips/b.md", tip_text("b", "Two"));
  south.scratch().put("elsewhere/witness", "outside");
  std::filesystem::create_directories(south.folder() + "/tips/received");
  std::filesystem::create_directory_symlink(south.scratch().path("elsewhere"),
                                            south.folder() + "/tips/received/a");
  const pack::Outcome outcome = south.accept(north.seal("p1"));
  CHECK(outcome.left.size() == 2);
  CHECK_FALSE(south.scratch().has("elsewhere/x.png"));
  CHECK_FALSE(south.scratch().has("elsewhere/a.md"));
  CHECK(south.get("tips/received/b/b.md") == tip_text("b", "Two"));
}

TEST_CASE("a decision that names anything but texts and pictures of the shop is none") {
  pack::Decision decision;
  decision.accepted = true;
  decision.location = "north";
  decision.writes = {{kHeater, "tips/a.md", "b", "c", {}, "", {}, {}, {}}};
  decision.photos = {{kHeater, "tips/a.png", "tips/b.png", "s", false}};
  CHECK(pack::read_decision(pack::decision_text(decision)).has_value());
  for (const char* path : {"../x.md", "/etc/x.md", "tips/../../x.md", "keys/trusted/x.pub",
                           "shop.md", "parts/a.md", ""}) {
    CAPTURE(std::string(path));
    pack::Decision bad = decision;
    bad.writes[0].path = path;
    CHECK_FALSE(pack::read_decision(pack::decision_text(bad)).has_value());
  }
  for (const char* path :
       {"../b.png", "/b.png", "tips/../../b.png", "tips/b.md", "keys/b.png", ""}) {
    CAPTURE(std::string(path));
    pack::Decision bad = decision;
    bad.photos[0].path = path;
    CHECK_FALSE(pack::read_decision(pack::decision_text(bad)).has_value());
  }
  decision.newly_trusted = true;
  decision.location = "../north";
  CHECK_FALSE(pack::read_decision(pack::decision_text(decision)).has_value());
}

TEST_CASE("a copy that was damaged since is made anew when the pack is accepted again") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  north.put("tips/a.md", tip_text("a", "One"));
  const std::string path = north.seal("p1");
  const std::string kept = "received/" + south.accept(path).folder + "/pack.bag.zip";
  south.put(kept, "damaged");
  CHECK(south.accept(path).same == 1);
  CHECK(south.get(kept) == north.scratch().get("p1.bag.zip"));
}

TEST_CASE("a further pack does not read the earlier ones anew") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  for (const char* id : {"a", "b", "c"})
    north.put(std::string("tips/") + id + ".md", tip_text(id, id));
  const std::string folder = south.accept(north.seal("p1")).folder;
  for (const char* id : {"a", "b"})
    north.edit(std::string("tips/") + id + ".md", tip_text(id, "More"));
  south.edit("tips/received/c/c.md", tip_text("c", "Ours"));
  const std::string second = north.seal("p2");
  // Nobody can read it there, so that it would be noticed.
  const std::string kept = south.folder() + "/received/" + folder + "/pack.bag.zip";
  std::filesystem::rename(kept, kept + ".away");
  CHECK(south.accept(second).changed == 2);
  CHECK(south.get("tips/received/b/b.md") == tip_text("b", "More"));
}

TEST_CASE("what another accepted pack brought is not dropped because that pack is not here") {
  Location north("north");
  Location east("east");
  Location south("south");
  south.trusts(north);
  south.trusts(east);
  const std::string ours = tip_text("a", "Ours");
  south.put("tips/a.md", ours);
  for (Location* one : {&north, &east}) one->put("tips/a.md", ours);
  north.edit("tips/a.md", tip_text("a", "Ours", "\n## Finish\nNorth.\n"));
  east.edit("tips/a.md", tip_text("a", "Ours", "\n## Verify\nEast.\n"));
  const std::string first = south.accept(north.seal("p1")).folder;
  const std::string second = south.accept(east.seal("p2")).folder;
  const std::string merged = south.get("tips/a.md");
  CHECK(merged.find("North.") != std::string::npos);
  CHECK(merged.find("East.") != std::string::npos);
  std::filesystem::remove(south.folder() + "/received/" + first + "/pack.bag.zip");
  std::filesystem::remove_all(south.folder() + "/history");
  const pack::Outcome undone = south.undo(second);
  CHECK(undone.left.size() == 1);
  CHECK(south.get("tips/a.md") == merged);
}

TEST_CASE("a pack's name below received/ cannot be made to fit another pack") {
  Location north("north");
  north.put("tips/a.md", tip_text("a", "One"));
  // Below 128 bits two that share it can be searched for.
  CHECK(north.open(north.seal("p1")).mark.size() == 32);
}

TEST_CASE("a picture that very many texts show does not fill the disk") {
  Location south("south");
  pack::Pack pack;
  pack.photos = {{"photos/large.png", pack::kPhotoInPack, "sum"}};
  pack::PhotoPlan plan(files::real_disk(), south.folder(), pack);
  std::uint64_t bytes = 0;
  std::vector<files::Failure> left;
  for (int i = 0; i < 400; ++i) {
    pack::PackText text;
    text.id = std::to_string(i);
    text.path = "tips/x.md";
    text.bytes = tip_text(text.id, "X", "\n![x](large.png)\n");
    const std::string path = "tips/received/" + text.id + "/x.md";
    bytes += plan.writes(text, path, left).size() * pack::kPhotoInPack;
  }
  CHECK(bytes <= pack::PhotoPlan::kBytes);
  CHECK(bytes > pack::PhotoPlan::kBytes / 2);
  CHECK(left.size() == 400 - bytes / pack::kPhotoInPack);
}
