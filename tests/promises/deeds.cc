#include "promises/deeds.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <utility>

#include "files/names.h"
#include "files/save.h"
#include "job/car.h"
#include "job/jobs.h"
#include "job/terminal.h"
#include "job/vin_patterns.h"
#include "pack/accept.h"
#include "pack/copies.h"
#include "pack/received.h"
#include "pack/shops.h"
#include "shop/records.h"
#include "shop/setting.h"
#include "shop/shop.h"
#include "viewer/services/drafts.h"
#include "viewer/services/waiting.h"

namespace baylore::test {
namespace {

constexpr const char* kTerminal = "bay-1-TEST01";
constexpr const char* kTip = "tips/cooling/heater.md";
constexpr const char* kWhen = "2026-03-14T10:47:03.120+01:00";
constexpr const char* kSecretVin = "1M8GDM9AXKP042788";  // the worked example of 49 CFR 565

std::string long_tip(const std::string& id, const std::string& title) {
  std::string more;
  for (int i = 0; i < 120; ++i) more += "Line " + std::to_string(i) + " of " + title + ".\n";
  return tip_text(id, title, more);
}

job::Job job_with(int ticks) {
  job::Job job;
  job.id = "01JQ0000000000000000000001";
  job.number = 1;
  job.line = "no heat at idle";
  job.started = kWhen;
  // Later with every tick, as the terminal's clock has it.
  job.touched = "2026-03-14T10:48:0" + std::to_string(ticks) + ".000+01:00";
  job.tip = "heater";
  for (int i = 0; i < ticks; ++i) job.ticks[job.tip].insert("step:" + std::to_string(i));
  return job;
}

shop::Record record(const std::string& id, const std::string& kind, shop::RecordFields fields) {
  return {id, kWhen, kind, std::move(fields)};
}

viewer::Draft draft(const std::string& text) {
  return {"01JQ0000000000000000000002", kTip, long_tip("heater", "Heater"), text};
}

// The way the viewer's desk saves: the tip, then its draft goes.
bool save(files::Disk& disk, const Place& at, const std::string& before, const std::string& after) {
  if (!shop::save_tip(disk, at.shop, kTip, before, after)) return false;
  static_cast<void>(viewer::remove_draft(disk, at.state, draft("").id));
  return true;
}

bool tick(files::Disk& disk, const Place& at, int ticks, bool shop_takes) {
  viewer::WaitingJobs waiting(disk, at.state);
  waiting.read();
  const files::Failure full{files::Failure::Kind::full, at.shop, "is full", ""};
  const auto there = shop_takes ? files::Result<void>() : files::Result<void>(full);
  const auto saved =
      viewer::save_or_keep(disk, at.shop, kTerminal, job_with(ticks), there, waiting);
  // Where the shop does not take it the terminal's own folder does; the person is told so.
  return saved.ok() || (!shop_takes && waiting.keep(job_with(ticks)).ok());
}

job::Terminal terminal_with(const std::string& theme) {
  job::Terminal terminal;
  terminal.name = "bay 1";
  terminal.folder = kTerminal;
  terminal.theme = theme;
  terminal.set_up = true;
  return terminal;
}

// What a deed on a healthy disk leaves, as the scene for another.
Scene scene_after(const Scene& scene, const std::function<bool(files::Disk&, const Place&)>& act) {
  const Scratch scratch;
  for (const auto& [path, bytes] : scene) scratch.put(path, bytes);
  REQUIRE(act(files::real_disk(), place_in(scratch.folder())));
  Scene after;
  for (const std::string& path : scratch.files()) after[path] = scratch.get(path);
  return after;
}

// South has one of north's tips in an older version, one that conflicts, and lacks the third with
// its picture.
Scene pack_scene() {
  Location north("north");
  Location south("south");
  south.trusts(north);
  const std::string first = tip_text("first", "First");
  south.put("tips/first.md", first);
  north.put("tips/first.md", first);
  north.edit("tips/first.md", tip_text("first", "First, and more"));
  south.put("tips/second.md", tip_text("second", "Ours"));
  north.put("tips/second.md", tip_text("second", "Theirs"));
  north.put("tips/third.md", tip_text("third", "Third", "\n![x](third.png)\n"));
  north.put("tips/third.png", png_of("third"));
  Scene scene;
  for (const std::string& path : south.scratch().files()) scene[path] = south.scratch().get(path);
  const std::string sealed = north.seal("north-1");
  scene["stick/north-1.bag.zip"] = north.scratch().get(files::name_of(sealed));
  return scene;
}

files::Result<pack::Pack> opened(files::Disk& disk, const Place& at) {
  const auto trusted = pack::read_trusted(disk, at.shop);
  if (!trusted) return trusted.failure();
  return pack::open_pack(disk, at.stick + "/north-1.bag.zip", *trusted);
}

bool accept(files::Disk& disk, const Place& at) {
  // The screen of packs takes up what was cut off before it shows anything.
  if (!pack::finish_received(disk, at.shop)) return false;
  const auto pack = opened(disk, at);
  if (!pack || !pack->reasons.empty()) return false;
  const auto outcome = pack::accept(disk, at.shop, at.stick + "/north-1.bag.zip", *pack,
                                    {{}, "RO", "2026-03-21T08:00:00Z", ""});
  return outcome && outcome->left.empty();
}

bool undo(files::Disk& disk, const Place& at) {
  const auto received = pack::read_received(disk, at.shop);
  if (!received || received->packs.empty()) return false;
  const auto outcome =
      pack::undo(disk, at.shop, received->packs.front().folder, "RO", "2026-03-22T08:00:00Z");
  return outcome && outcome->left.empty();
}

bool settle(files::Disk& disk, const Place& at) {
  return pack::settle(disk, at.shop, {shop::Kind::tip, "second"}, tip_text("second", "Ours"),
                      tip_text("second", "Ours and theirs"))
      .ok();
}

bool seal(files::Disk& disk, const Place& at, const pack::SecretKey& key) {
  const auto plan = pack::plan_seal(disk, at.shop, {});
  if (!plan) return false;
  const auto sealed =
      pack::seal(disk, at.shop, *plan, {"south-1", "2026-03-20", "south"}, key, at.stick);
  // It lies there already, from a try that could not say so: the screen offers another name.
  return sealed.ok() || sealed.failure().kind == files::Failure::Kind::exists;
}

bool settle_copies(files::Disk& disk, const Place& at) {
  const auto copies = pack::find_copies(disk, at.shop);
  if (!copies) return false;
  for (const pack::Copy& copy : *copies) {
    if (!pack::settle_copy(disk, at.shop, copy, copy.theirs)) return false;
  }
  return true;
}

std::vector<Deed> make_deeds() {
  std::vector<Deed> all;
  const std::string one = long_tip("heater", "Heater");
  const std::string two = long_tip("heater", "Heater, cold at idle");
  const std::string shop_text = "---\nname: South\n---\n";
  const Scene shop = {{"shop/shop.md", shop_text}, {std::string("shop/") + kTip, one}};

  all.push_back({"save a new tip", {{"shop/shop.md", shop_text}}, [=](auto& disk, const Place& at) {
                   return shop::save_new_tip(disk, at.shop, "cooling", "Heater", one).ok();
                 }});
  Scene edited = shop;
  edited["state/drafts/" + draft("").id + ".json"] =
      scene_after({},
                  [&](auto& disk, const Place& at) {
                    return viewer::write_draft(disk, at.state, draft(two)).ok();
                  })
          .begin()
          ->second;
  all.push_back({"save an edit",
                 edited,
                 [=](auto& disk, const Place& at) { return save(disk, at, one, two); },
                 true,
                 {"drafts"}});
  all.push_back({"keep a first draft", shop, [=](auto& disk, const Place& at) {
                   return viewer::write_draft(disk, at.state, draft(two)).ok();
                 }});
  all.push_back({"keep a draft again", edited, [=](auto& disk, const Place& at) {
                   return viewer::write_draft(disk, at.state, draft(two + "more\n")).ok();
                 }});
  all.push_back({"drop a draft", edited,
                 [=](auto& disk, const Place& at) {
                   return viewer::remove_draft(disk, at.state, draft("").id).ok();
                 },
                 false});
  const auto ask = [](auto& disk, const Place& at) {
    return shop::append_record(disk, at.shop, kTerminal,
                               record("01JQ0000000000000000000003", "question",
                                      {{"tip", "heater"}, {"who", "RO"}, {"text", "Which side?"}}))
        .ok();
  };
  all.push_back({"ask a question, the month's first record", shop, ask});
  all.push_back({"record an outcome", scene_after(shop, ask), [](auto& disk, const Place& at) {
                   return shop::append_record(
                              disk, at.shop, kTerminal,
                              record("01JQ0000000000000000000004", "outcome",
                                     {{"tip", "heater"}, {"result", "fixed"}, {"who", "RO"}}))
                       .ok();
                 }});
  all.push_back(
      {"open a job", shop, [](auto& disk, const Place& at) { return tick(disk, at, 0, true); }});
  const Scene with_job =
      scene_after(shop, [](auto& disk, const Place& at) { return tick(disk, at, 1, true); });
  all.push_back({"tick a step", with_job,
                 [](auto& disk, const Place& at) { return tick(disk, at, 2, true); }});
  all.push_back({"tick a step while the shop is full", with_job,
                 [](auto& disk, const Place& at) { return tick(disk, at, 2, false); }});
  all.push_back(
      {"tick a step when the shop takes jobs again",
       scene_after(with_job, [](auto& disk, const Place& at) { return tick(disk, at, 2, false); }),
       [](auto& disk, const Place& at) { return tick(disk, at, 3, true); }});
  all.push_back(
      {"change the terminal's settings",
       scene_after(shop,
                   [](auto& disk, const Place& at) {
                     return job::save_terminal(disk, at.state, terminal_with("light")).ok();
                   }),
       [](auto& disk, const Place& at) {
         return job::save_terminal(disk, at.state, terminal_with("dark")).ok();
       }});
  all.push_back({"change the shop's settings", shop, [](auto& disk, const Place& at) {
                   return shop::save_setting(disk, at.shop, "altitude", "", "240 m").ok();
                 }});
  all.push_back({"choose what vehicle a VIN is", shop, [](auto& disk, const Place& at) {
                   search::Vehicle vehicle;
                   vehicle.make = "Corvane";
                   vehicle.model = "Hauler";
                   return job::VinPatterns(disk, at.state).learn(kSecretVin, vehicle).ok();
                 }});
  const Scene packs = pack_scene();
  all.push_back({"accept a pack", packs, accept});
  const Scene accepted = scene_after(packs, accept);
  all.push_back({"undo a pack", accepted, undo, false});
  all.push_back({"settle a conflict", accepted, settle, false});
  const pack::SecretKey key = pack::SecretKey::make();
  all.push_back({"trust a location", shop, [key](auto& disk, const Place& at) {
                   return pack::trust(disk, at.shop, "north", key.public_key()).ok();
                 }});
  all.push_back({"seal a pack onto a stick",
                 {{"shop/shop.md", shop_text},
                  {std::string("shop/") + kTip, one},
                  {"stick/readme.txt", "A stick.\n"}},
                 [key](auto& disk, const Place& at) { return seal(disk, at, key); }});
  Scene copies = shop;
  copies["shop/tips/cooling/heater.sync-conflict-20260314-101500-ABCDEFG.md"] = two;
  all.push_back(
      {"settle a copy that a file sync left", copies, settle_copies, true, {"conflicts"}});
  return all;
}

// Every file below `folder` that is no hidden one, with its bytes.
std::string files_below(files::Disk& disk, const std::string& folder,
                        const std::vector<std::string>& endings) {
  std::string all;
  const auto listed = disk.list(folder);
  if (!listed) return all;
  for (const files::Listed& file : *listed) {
    const bool wanted = std::any_of(endings.begin(), endings.end(), [&](const std::string& end) {
      return file.path.ends_with(end);
    });
    if (file.status.folder || !wanted || shop::is_conflict_copy(file.path)) continue;
    const auto bytes = disk.read(files::join(folder, file.path), files::kTextLimit);
    all += file.path + ": " + (bytes ? files::hash_hex(*bytes) : bytes.failure().text()) + "\n";
  }
  return all;
}

// Earlier versions carry the hash of their bytes as their name.
void check_history(files::Disk& disk, const std::string& shop, std::vector<std::string>& broken) {
  const std::string folder = files::join(shop, "history");
  const auto listed = disk.list(folder);
  if (!listed) return;
  for (const files::Listed& file : *listed) {
    if (file.status.folder) continue;
    const auto bytes = disk.read(files::join(folder, file.path), files::kTextLimit);
    if (!bytes || files::hash_hex(*bytes) + ".md" != files::name_of(file.path))
      broken.push_back("history/" + file.path + " holds other bytes than its name says");
  }
}

}  // namespace

Place place_in(const std::string& folder) {
  return {folder + "/shop", folder + "/state", folder + "/stick"};
}

const std::vector<Deed>& deeds() {
  static const std::vector<Deed> all = make_deeds();
  return all;
}

Found found_at_start(files::Disk& disk, const Place& place) {
  Found found;
  auto& kinds = found.kinds;
  const auto finished = pack::finish_received(disk, place.shop);
  if (!finished) {
    found.broken.push_back(finished.failure().text());
  } else {
    for (const files::Failure& failure : *finished) found.broken.push_back(failure.text());
  }
  kinds["texts"] = files_below(disk, place.shop + "/tips", {".md", ".png"}) +
                   files_below(disk, place.shop, {"shop.md"});
  check_history(disk, place.shop, found.broken);

  const shop::Records records = shop::read_records(disk, place.shop);
  for (const shop::Record& one : records.records) kinds["records"] += shop::record_line(one) + "\n";

  viewer::WaitingJobs waiting(disk, place.state);
  waiting.read();
  job::Loaded jobs = job::load_jobs(disk, place.shop, kTerminal);
  for (const shop::Finding& one : jobs.findings)
    found.broken.push_back(one.file + ": " + one.message);
  waiting.drop_older_than(jobs.jobs);
  waiting.put_over(jobs.jobs);
  for (const job::Job& job : jobs.jobs) kinds["jobs"] += job::to_json(job);

  for (const viewer::Draft& one : viewer::read_drafts(disk, place.state))
    kinds["drafts"] += one.id + " " + one.path + " " + files::hash_hex(one.text) + "\n";
  const auto kept = disk.list(place.state);
  if (kept) {
    for (const files::Listed& file : *kept) {
      if (file.path.ends_with(".damaged")) found.broken.push_back(file.path);
    }
  }
  if (disk.status(place.state + "/terminal.json")) {
    const auto terminal = job::load_terminal(disk, place.state);
    kinds["terminal"] = terminal ? terminal->folder + " " + terminal->theme : "none";
    if (disk.status(place.state + "/terminal.json.damaged"))
      found.broken.push_back("the terminal's settings were taken for damaged");
  }
  for (const job::VinGuess& guess : job::VinPatterns(disk, place.state).suggest(kSecretVin))
    kinds["vehicles"] += guess.vehicle.make + "\n";

  if (const auto trusted = pack::read_trusted(disk, place.shop)) {
    for (const pack::Trusted& one : trusted->keys)
      kinds["trusted"] += one.location + " " + one.key.line() + "\n";
    for (const files::Failure& one : trusted->damaged) found.broken.push_back(one.text());
  }
  if (const auto received = pack::read_received(disk, place.shop)) {
    for (const pack::ReceivedPack& one : received->packs) {
      kinds["packs"] += one.folder + (one.accepted() ? " accepted" : " undone") +
                        (one.done ? "" : ", not carried out") + "\n";
    }
    for (const files::Failure& one : received->damaged) found.broken.push_back(one.text());
  }
  if (const auto open = pack::open_conflicts(disk, place.shop)) {
    for (const pack::OpenConflict& one : *open) kinds["conflicts"] += one.path + "\n";
  }
  if (const auto copies = pack::find_copies(disk, place.shop)) {
    for (const pack::Copy& one : *copies) kinds["conflicts"] += one.copy + "\n";
  }
  kinds["stick"] = files_below(disk, place.stick, {".zip"});
  return found;
}

std::string judge(const Deed& deed, const Found& now, const Found& before, const Found& done,
                  bool acknowledged) {
  std::string wrong;
  for (const std::string& one : now.broken) wrong += "broken: " + one + "\n";
  const auto of = [](const Found& found, const std::string& kind) {
    const auto at = found.kinds.find(kind);
    return at == found.kinds.end() ? std::string() : at->second;
  };
  std::map<std::string, std::string> kinds = before.kinds;
  kinds.insert(done.kinds.begin(), done.kinds.end());
  kinds.insert(now.kinds.begin(), now.kinds.end());
  for (const auto& [kind, ignored] : kinds) {
    const std::string is = of(now, kind);
    if (is == of(done, kind)) continue;
    if (acknowledged && !deed.may_lag.contains(kind)) {
      wrong += kind + " acknowledged and lost: " + is + "\n";
    } else if (is != of(before, kind)) {
      wrong += kind + " neither as before nor as after: " + is + "\n";
    }
  }
  return wrong;
}

}  // namespace baylore::test
