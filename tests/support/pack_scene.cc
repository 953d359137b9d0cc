#include "support/pack_scene.h"

#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <vector>

#include "files/disk.h"
#include "files/save.h"
#include "pack/confined.h"
#include "pack/container.h"
#include "pack/keys.h"
#include "pack/seal.h"
#include "shop/shop.h"

namespace baylore::test {
namespace {

namespace fs = std::filesystem;

constexpr const char* kHeater = "tips/cooling/heater-cold-at-idle-coolant-lost-cold.md";
constexpr const char* kCap = "tips/cooling/boils-over-tank-cap-leaks.md";
constexpr const char* kGasket = "tips/cooling/head-gasket-seep.md";

std::string bytes_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream bytes;
  bytes << file.rdbuf();
  return bytes.str();
}

class Maker {
 public:
  Maker(std::string source_dir, std::string shop, std::string work)
      : source_(std::move(source_dir)), shop_(std::move(shop)), work_(std::move(work)) {
    scene_.stick = work_ + "/BLUE STICK";
    fs::create_directories(scene_.stick);
  }

  PackScene make() {
    const std::string hexley = work_ + "/hexley";
    const auto hexley_key = pack::SecretKey::make();
    other_shop(hexley, "Hexley Road");
    edit(hexley, kHeater, "- torque: 5 N·m; 10 N·m", "- torque: 5 N·m; 9 N·m");
    edit(shop_, kHeater, "- torque: 5 N·m; 10 N·m", "- torque: 6 N·m; 10 N·m");
    edit(hexley, kCap, "dry rim, firm hose.", "dry rim, firm hose. Look again after a week.");
    edit(hexley, kGasket, "## Symptom\n", "## Symptom\nSteam at the tail pipe on damp mornings.\n");
    edit(shop_, kGasket, "## Finish\n", "## Finish\nBleed at the heater hose, nose up.\n");
    put(hexley, "tips/engine-mechanical/belt-chirps-cold.md", new_tip());
    put(hexley, "photos/belt-tensioner-mark.png",
        bytes_of(source_ + "/content/photos/stabiliser-link-strut.png"));
    put(hexley, "tips/cooling/fan-relay-clicks.md", faulty_tip());
    put(hexley, "records/hexley-2-QRSTUV/2026-10.csv", records());
    trust(hexley_key.public_key());
    pack::Choice choice;
    choice.ids = {kHeaterTip, kCapTip,    kGasketTip,
                  kNewTip,    kFaultyTip, "overheats-on-hills-radiator-blocked"};
    choice.counts = true;
    scene_.trusted = seal(hexley, choice, "hexley-road-2026-11-02", "2026-11-02", hexley_key);

    const std::string quay = work_ + "/quay";
    const auto quay_key = pack::SecretKey::make();
    scene_.key_line = quay_key.public_key().line();
    other_shop(quay, "Quay Lane garage");
    put(quay, "tips/brakes/handbrake-cable-frayed.md",
        "---\nid: 01JQUAYCABLE\ntitle: Handbrake needs one more notch each month: cable frayed\n"
        "system: brakes\nauthor: P. Lind\nwritten: 2026-09-30\n---\n\n## Symptom\nOne more notch "
        "every few weeks, the pads are good.\n");
    choice = {};
    choice.ids = {"01JQUAYCABLE"};
    scene_.unknown = seal(quay, choice, "quay-lane-2026-10-20", "2026-10-20", quay_key);
    scene_.unsigned_pack = rewrite(scene_.unknown, "loose-tips", false);
    scene_.altered = rewrite(scene_.trusted, "hexley-road-copy", true);
    return scene_;
  }

 private:
  void fail(const std::string& what) {
    if (scene_.trouble.empty()) scene_.trouble = what;
  }
  template <typename T>
  bool good(const files::Result<T>& result, const std::string& what) {
    if (!result) fail(what + ": " + result.failure().text());
    return result.ok();
  }

  void other_shop(const std::string& folder, const std::string& name) {
    fs::create_directories(folder);
    for (const char* part : {"tips", "parts", "photos", "vocabulary"})
      fs::copy(source_ + "/content/" + part, folder + "/" + part, fs::copy_options::recursive);
    put(folder, "shop.md", "---\nname: " + name + "\n---\n");
  }
  static void put(const std::string& folder, const std::string& path, const std::string& bytes) {
    const fs::path full = folder + "/" + path;
    fs::create_directories(full.parent_path());
    std::ofstream(full, std::ios::binary) << bytes;
  }
  // The way a person does: the earlier version is kept in history/.
  void edit(const std::string& folder, const std::string& path, const std::string& from,
            const std::string& to) {
    const std::string before = bytes_of(folder + "/" + path);
    std::string after = before;
    const std::size_t at = after.find(from);
    if (at == std::string::npos) return fail(path + " has no " + from);
    after.replace(at, from.size(), to);
    good(shop::save_tip(files::real_disk(), folder, path, before, after), path);
  }
  void trust(const pack::PublicKey& key) {
    good(pack::trust(files::real_disk(), shop_, "hexley-road", key), "trust");
  }
  std::string seal(const std::string& folder, const pack::Choice& choice, const std::string& name,
                   const std::string& date, const pack::SecretKey& key) {
    const auto plan = pack::plan_seal(files::real_disk(), folder, choice);
    if (!good(plan, "plan")) return {};
    const auto settings = shop::read_settings(files::real_disk(), folder);
    const auto sealed = pack::seal(files::real_disk(), folder, *plan,
                                   {name, date, settings ? settings->name : ""}, key, scene_.stick);
    return good(sealed, "seal") ? sealed->path : std::string();
  }

  // The same container under another name: without its signature, or with a text that was changed.
  std::string rewrite(const std::string& path, const std::string& name, bool change) {
    const auto source = pack::open_file(files::real_disk(), path);
    if (!good(source, "open")) return {};
    const auto listing = pack::list_container(**source);
    if (!good(listing, "list")) return {};
    std::map<std::string, std::string> content;
    std::vector<std::string> order;
    const auto read = pack::read_container(
        **source, *listing,
        [&](const pack::ContainerEntry& entry, std::string_view piece, bool last) {
          if (!entry.folder) content[entry.path] += piece;
          if (last && !entry.folder) order.push_back(entry.path);
          return true;
        });
    if (!good(read, "read")) return {};
    const std::string to = scene_.stick + "/" + name + ".bag.zip";
    auto output = files::real_disk().create(to);
    if (!good(output, "create")) return {};
    pack::ContainerWriter writer(**output, name);
    bool changed = false;
    for (const std::string& file : order) {
      if (!change && file.ends_with(".minisig")) continue;
      std::string bytes = content[file];
      // The tag manifest is what the signature speaks for.
      if (change && file == "tagmanifest-sha512.txt") {
        bytes.front() = bytes.front() == 'a' ? 'b' : 'a';
        changed = true;
      }
      good(writer.add(file, bytes), file);
    }
    good(writer.finish(), "finish");
    good((*output)->close(), "close");
    if (change && !changed) fail("nothing was changed in " + path);
    return to;
  }

  static std::string new_tip() {
    return std::string("---\nid: ") + kNewTip +
           "\ntitle: Chirps at a cold start, gone when warm: belt tensioner\nfits:\n  - Corvane | "
           "Hauler | 2014-2018 | 3.6 V6\ncomponent: belt tensioner\nsystem: engine mechanical\n"
           "author: L. Adeyemi\nwritten: 2026-10-04\n---\n\n## Symptom\nChirps for a minute after "
           "a cold start, more in the wet.\n\n## Checks\n### Tensioner arm at idle, engine cold\n"
           "- minutes: 3\n- expect: stands still\n\n## Location\n"
           "![Tensioner, below the alternator](belt-tensioner-mark.png)\n\n## Repair\n1. Relieve "
           "the tensioner, take the belt off, spin the pulley by hand.\n\n## Parts\n### Halden "
           "BT-77\nQuiet since.\n";
  }
  static std::string faulty_tip() {
    return std::string("---\nid: ") + kFaultyTip +
           "\ntitle: Fan runs on after the stop: relay sticks\nsystem: cooling\nauthor: L. "
           "Adeyemi\nwritten: 2026-10-11\n---\n\n## Symptom\nFan runs until the battery is "
           "flat.\n\n## Checks\n### Relay pulled, fan stops\n- minutes: soon\n- expect: 3 .. 1 V\n";
  }
  static std::string records() {
    std::string all = "id,when,kind,refers,tip,result,reason,part,end\n";
    for (int i = 0; i < 7; ++i)
      all += "HEX0" + std::to_string(i) + ",2026-10-0" + std::to_string(i + 1) +
             "T09:00:00.000+00:00,outcome,," + kNewTip + ",fixed,,Halden BT-77,.\n";
    all += "HEX0B,2026-10-20T09:00:00.000+00:00,comeback,HEX02,,,not the cause,,.\n";
    return all;
  }

  std::string source_;
  std::string shop_;
  std::string work_;
  PackScene scene_;
};

}  // namespace

PackScene make_pack_scene(const std::string& source_dir, const std::string& shop,
                          const std::string& work) {
  pack::read_containers_with(BAYLORE_CONTAINER);
  return Maker(source_dir, shop, work).make();
}

}  // namespace baylore::test
