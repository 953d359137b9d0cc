// Renders every screen of the viewer in the four panel sizes, light and dark, through the real
// window and injected taps: `baylore-shots DEMO DIR`. What could not be reached is said, and the
// exit code is 1.
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <string>

#include "files/names.h"
#include "job/jobs.h"
#include "support/pack_scene.h"
#include "viewer/screens/screens.h"
#include "window/driver.h"

namespace {

using baylore::test::Driver;
using baylore::test::DriverOptions;
namespace fs = std::filesystem;

struct Size {
  int w;
  int h;
};

int missed = 0;

void must(bool done, const std::string& what) {
  if (done) return;
  std::fprintf(stderr, "not reached: %s\n", what.c_str());
  ++missed;
}

// What two other bays have in hand, so that the list of jobs is not bare.
void other_bays(const std::string& shop) {
  namespace job = baylore::job;
  job::Job one = job::new_job({});
  one.number = 5;
  one.state = job::State::parked;
  one.bay = "bay 2";
  one.vehicle = {"Merrin", "Kite", 2020, ""};
  one.line = "brake pedal sinks slowly";
  one.why_parked = "part ordered";
  one.next_step = "bleed, then hold the pedal for a minute";
  one.initials = "LA";
  must(job::save_job(baylore::files::real_disk(), shop, "bay-2-SHOT02", one).ok(),
       "a job of bay 2");
  job::Job two = one;
  two.id = baylore::files::new_id();
  two.bay = "bay 4";
  two.number = 1;
  two.vehicle = {"Ostrel", "Vane", 2011, ""};
  two.line = "grinds on left turns";
  two.why_parked = "customer asked";
  two.next_step.clear();
  two.initials = "RO";
  must(job::save_job(baylore::files::real_disk(), shop, "bay-4-SHOT04", two).ok(),
       "a job of bay 4");
}

// A family with so many numbers, and what became of some: its first number lasts, its last comes
// back.
void family_of(const fs::path& shop, int numbers) {
  const std::string slug = "shot-family-" + std::to_string(numbers);
  std::ofstream file(shop / "parts" / (slug + ".md"));
  file << "---\nid: " << slug << "\ntitle: Cabin blower, with " << numbers
       << " numbers\ncomponent: cabin blower\nsystem: cabin\nfits:\n  - Corvane | Hauler | "
          "2014-2022\n---\n\n## Numbers\n";
  static constexpr const char* kGrades[] = {"original", "supplier of the original", "aftermarket",
                                            "remanufactured"};
  const std::string prefix = numbers == 2 ? "B2-" : "B12-";
  const auto number = [&](int i) {
    return std::string(i % 2 == 0 ? "Halden " : "Brevik ") + prefix + std::to_string(7100 + i);
  };
  for (int i = 0; i < numbers; ++i)
    file << "### " << number(i) << "\n- grade: " << kGrades[i % 4] << "\n- price: " << 140 - 7 * i
         << ".00\n\n";
  file << "## Acceptance checks\n### Current at 12 V\n- check: accept-" << slug
       << "\n- expect: 8 .. 14 A\n";
  fs::create_directories(shop / "records/shots-000001");
  std::ofstream records(shop /
                        ("records/shots-000001/2025-0" + std::to_string(numbers % 9 + 1) + ".csv"));
  records << "id,when,kind,refers,result,reason,part,odometer,make,model,year,end\n";
  for (int i = 0; i < numbers; ++i) {
    const int fitted = i == numbers - 2 ? 3 : 14 + 5 * i;
    for (int k = 0; k < fitted; ++k) {
      char id[32];
      std::snprintf(id, sizeof id, "SHOT%02d%02d%03d", numbers, i, k);
      records << id << ",2025-0" << k % 9 + 1 << "-1" << k % 9
              << "T09:00:00.000+00:00,outcome,,fixed,," << number(i) << ',' << 60000 + 900 * k
              << " km,Corvane,Hauler,2017,.\n";
      const bool back = i == numbers - 1 ? k % 3 == 0 : k % 17 == i;
      if (back)
        records << id << "B,2025-1" << k % 3 << "-04T09:00:00.000+00:00,comeback," << id
                << ",,part failed,," << 68000 + 900 * k << " km,,,,.\n";
    }
  }
}

// Part with its views, acceptance checks, order list, records; families of two, five and twelve.
void parts(Driver& d, const fs::path& shop, const std::string& name,
           const std::function<void(const char*)>& shot,
           const std::function<void(const char*)>& tap) {
  using baylore::viewer::Do;
  using baylore::viewer::PartView;
  using baylore::viewer::Screen;
  const auto open = [&](const std::string& part) {
    tap("tag");
    d.settle();
    d.app().apply({Do::clear_line, {}});
    d.type(part + "\n");
    must(
        d.until([&] { return d.app().state().part && d.app().state().screen == Screen::part; }, 10),
        name + ": part " + part);
    d.settle();
  };
  const auto view = [&](PartView which) {
    d.app().apply({Do::part_view, {}, static_cast<int>(which)});
    d.settle();
  };
  tap("tag");
  d.app().apply({Do::clear_line, {}});
  d.type("88-214");
  d.settle();
  shot("part-line");
  open("88-214");
  shot("part");
  tap(d.app().ui().item("strip:more") != nullptr ? "strip:more" : "primary");
  shot("part-more");
  tap("strip:back");
  view(PartView::months);
  shot("part-months");
  view(PartView::distance);
  shot("part-distance");
  view(PartView::cost);
  shot("part-cost");
  view(PartView::about);
  shot("part-about");
  view(PartView::rivals);
  if (d.app().ui().metrics().form() == baylore::viewer::Form::phone) {
    tap("strip:more");
    tap("row:go acceptance");
  }
  tap("accept:accept-pump-turn");
  tap("accept:accept-pump-depth");
  for (const char* key : {"pad:1", "pad:.", "pad:4"}) tap(key);
  tap("primary");
  tap("accept:accept-pump-play");
  for (const char* key : {"pad:0", "pad:.", "pad:2"}) tap(key);
  shot("part-reading");
  tap("primary");
  shot("part-acceptance");
  tap("primary");
  shot("part-record");
  tap("row:dead");
  d.settle();
  shot("part-dead");
  d.app().apply({Do::part_by, {}, static_cast<int>(baylore::quality::By::lot)});
  d.settle();
  open("WP-3361");
  d.app().apply({Do::part_by, {}, static_cast<int>(baylore::quality::By::lot)});
  d.settle();
  shot("part-lots");
  d.app().apply({Do::part_by, {}, 0});
  d.settle();
  tap("behind:0");
  d.until([&] { return d.app().state().screen == Screen::menu; }, 5);
  shot("part-records");
  tap("strip:back");
  d.app().apply({Do::open_order, d.app().state().part->number().name});
  d.settle();
  shot("order");
  tap("strip:back");
  open("3C-44090");
  shot("part-safety");
  // A tip whose notes the records contradict, and one whose part is bad.
  fs::create_directories(shop / "tips/engine");
  std::ofstream(shop / "tips/engine/belt-chirps.md")
      << "---\nid: 01JSHOTPARTS\ntitle: Belt chirps at the tensioner\nsystem: engine mechanical\n"
         "---\n\n## Symptom\nChirps when cold.\n\n## Parts\n### Vantor T-831\nAvoid this one.\n"
         "### Halden BT-77\nFits at once.\n### Tarrowby IG-41\nThe best one.\n"
         "### Nobody X-1\nFrom the market.\n";
  const auto tips = d.app().state().counts.tips;
  must(d.until([&] { return d.app().state().counts.tips > tips; }, 10), name + ": one tip more");
  must(d.until(
           [&] {
             const auto& tip = d.app().state().tip;
             if (tip && tip->row.id == "01JSHOTPARTS" && tip->evidence.size() == 4) return true;
             if (!tip && d.app().state().opening.empty())
               d.app().apply({Do::open_tip, "01JSHOTPARTS"});
             return false;
           },
           10),
       name + ": the tip with parts");
  d.app().apply({Do::go_section, "parts"});
  d.settle();
  shot("tip-parts");
  for (const int numbers : {2, 12}) family_of(shop, numbers);
  must(d.until(
           [&] {
             const auto& history = d.app().state().history;
             return history && history->parts().family("shot-family-12") != nullptr;
           },
           20),
       name + ": families of two and twelve");
  d.settle();
  open("B2-7100");
  shot("part-2");
  open("B12-7111");
  shot("part-12");
  view(PartView::months);
  shot("part-12-months");
}

// The terminal itself: settings, the first questions, the ruler, help, the tour, the cover.
void terminal(Driver& d, const std::function<void(const char*)>& shot) {
  using baylore::viewer::Do;
  const auto act = [&](Do what, const std::string& text = {}) {
    d.app().apply({what, text});
    d.settle();
  };
  act(Do::new_job);
  act(Do::menu, "settings");
  shot("settings");
  act(Do::menu, "first");
  shot("first-questions");
  act(Do::choose, "calibrate");
  shot("ruler");
  act(Do::back);
  act(Do::back);
  act(Do::help);
  shot("help-job");
  act(Do::back);
  for (int step = 1; step <= baylore::viewer::kTourSteps; ++step) {
    act(Do::tour_next);
    d.until([&] { return d.app().busy().empty(); }, 10);
    d.settle();
    shot(("tour-" + std::to_string(step)).c_str());
  }
  act(Do::tour_end);
  for (const char* who : {"RM", "JT"}) {
    act(Do::new_job);
    act(Do::type, "kite rumbles");
    d.app().state().current()->initials = who;
  }
  act(Do::hide);
  shot("cover");
  act(Do::wake);
}

// Pictures: a tip's as large as the panel, a card's to be taken in, marks and a caption.
void photos(Driver& d, const std::string& name, const std::function<void(const char*)>& shot,
            const std::function<void(const char*)>& tap) {
  using baylore::viewer::Do;
  using baylore::viewer::Screen;
  const auto act = [&](Do what, const std::string& text = {}, int number = 0) {
    d.app().apply({what, text, number});
    d.settle();
  };
  const auto& state = d.app().state();
  act(Do::new_job);
  act(Do::type, "hauler heater");
  act(Do::enter);
  must(d.until([&] { return !state.answer.hits.empty(); }, 10), name + ": a tip with a picture");
  act(Do::open_tip, state.answer.hits.front().tip.id);
  must(d.until([&] { return state.tip && !state.tip->tip.pictures.empty(); }, 10),
       name + ": its picture");
  act(Do::open_photo);
  shot("photo");
  tap("photo:in");
  tap("photo:in");
  shot("photo-closer");
  act(Do::new_job);
  act(Do::type, "kite rattles over kerbs");
  act(Do::write_new);
  act(Do::open_photos);
  must(d.until([&] { return state.photos.shelf && !state.photos.shelf->found.empty(); }, 10),
       name + ": pictures on the card");
  d.settle();
  shot("photo-take");
  for (std::size_t i = 0; i < 3 && i < state.photos.shelf->found.size(); ++i)
    act(Do::photo_tick, state.photos.shelf->found[i].path);
  d.app().state().photos.working = true;
  d.app().state().photos.done = 1;
  d.app().state().photos.all = 3;
  d.app().state().photos.progress = baylore::viewer::Progress(0);
  d.app().state().photos.progress.at(10, 30, 8);
  d.settle();
  shot("photo-taking");
  d.app().state().photos.working = false;
  act(Do::take_photos);
  must(d.until([&] { return state.screen == Screen::photo_mark; }, 60), name + ": marks");
  d.settle();
  for (const auto& [x, y] : {std::pair(0.3F, 0.4F), std::pair(0.62F, 0.55F)})
    d.app().apply({Do::mark_at, {}, 0, x, y});
  act(Do::photo_ask, "words");
  act(Do::type, "weep hole");
  act(Do::ask_submit);
  act(Do::photo_ask, "caption");
  act(Do::type, "From below, undertray off");
  act(Do::ask_submit);
  shot("photo-mark");
  act(Do::menu, "photo section");
  shot("photo-section");
  act(Do::back);
  act(Do::mark_next);
  act(Do::mark_next);
  act(Do::mark_next);
  act(Do::menu, "photos");
  shot("photos-of-tip");
  act(Do::back);
  act(Do::drop_draft);
}

// Packs: the list, one that is looked at, what is to be settled, strangers' packs, taking out,
// choosing what goes, the key.
void packs(Driver& d, const baylore::test::PackScene& scene, const std::string& name,
           const std::function<void(const char*)>& shot,
           const std::function<void(const char*)>& tap) {
  using baylore::viewer::Do;
  using baylore::viewer::Form;
  using baylore::viewer::Screen;
  must(scene.trouble.empty(), name + ": packs: " + scene.trouble);
  const Form form = d.app().ui().metrics().form();
  const bool in_turn = form == Form::phone || form == Form::small;
  const auto view = [&]() -> const baylore::viewer::PacksView& { return d.app().state().packs; };
  const auto on = [&](Screen screen) {
    must(d.until(
             [&] {
               return d.app().state().screen == screen &&
                      view().work == baylore::viewer::PackWork::none;
             },
             30),
         name + ": a screen of packs");
    d.settle();
  };
  const auto open = [&](const std::string& path) {
    d.app().apply({Do::open_pack, path});
    must(d.until([&] { return view().opened && view().opened->path == path; }, 20),
         name + ": pack " + path);
    d.settle();
  };
  const auto item = [&](const char* id) {
    const auto& items = view().opened->preview.items;
    for (std::size_t i = 0; i < items.size(); ++i) {
      if (items[i].key.second == id) tap(("item:" + std::to_string(i)).c_str());
    }
    d.settle();
  };
  d.app().apply({Do::open_packs, {}});
  on(Screen::packs);
  shot("packs");
  open(scene.trusted);
  shot("pack-trusted");
  item(baylore::test::kHeaterTip);
  shot("pack-conflict");
  if (in_turn) tap("strip:back");
  item(baylore::test::kCapTip);
  shot("pack-changed");
  if (in_turn) tap("strip:back");
  item(baylore::test::kFaultyTip);
  shot("pack-findings");
  if (in_turn) tap("strip:back");
  tap("primary");
  on(Screen::packs);
  shot("packs-taken");
  d.app().apply({Do::dismiss, {}});
  d.app().apply({Do::open_tip, baylore::test::kNewTip});
  must(d.until(
           [&] {
             const auto& tip = d.app().state().tip;
             return tip && tip->row.id == baylore::test::kNewTip && tip->source;
           },
           20),
       name + ": the received tip");
  d.settle();
  shot("tip-received");
  d.app().apply({Do::open_packs, {}});
  on(Screen::packs);
  tap("open:0");
  d.settle();
  shot("settle");
  tap("theirs:0");
  shot("settle-theirs");
  tap("strip:back");
  open(scene.unknown);
  shot("pack-unknown");
  tap("primary");
  d.settle();
  shot("pack-whose");
  d.type("\x1b");
  d.settle();
  tap("strip:back");
  open(scene.unsigned_pack);
  shot("pack-unsigned");
  tap("strip:back");
  open(scene.altered);
  shot("pack-altered");
  tap("strip:back");
  d.app().apply({Do::open_taken, view().shelf->taken.front().folder});
  d.settle();
  tap("primary");
  shot("pack-undo");
  tap("row:undo now");
  on(Screen::packs);
  shot("packs-undone");
  d.app().apply({Do::dismiss, {}});
  d.app().apply({Do::open_seal, {}});
  on(Screen::seal);
  shot("seal");
  tap("wish:system");
  shot("seal-system");
  tap("strip:back");
  tap("strip:back");
  d.app().apply({Do::show_key, {}});
  must(d.until([&] { return view().key.has_value(); }, 10), name + ": the key");
  d.settle();
  shot("packs-key");
}

void one_size(const fs::path& demo, const fs::path& out, const fs::path& work, const Size& size,
              const std::string& theme, const std::string& what, int percent) {
  const std::string name = std::to_string(size.w) + "x" + std::to_string(size.h) + "-" + theme +
                           (percent == 100 ? "" : "-" + std::to_string(percent));
  const fs::path folder = work / name;
  fs::create_directories(folder);
  fs::copy(demo, folder / "shop", fs::copy_options::recursive);
  DriverOptions options;
  options.width = size.w;
  options.height = size.h;
  options.theme = theme;
  options.text_percent = percent;
  options.shop = (folder / "shop").string();
  options.store_folder = (folder / "store").string();
  options.state_folder = (folder / "state").string();
  options.photo_program = BAYLORE_PHOTO;
  baylore::test::PackScene scene;
  if (what != "parts") {
    scene = baylore::test::make_pack_scene(demo.parent_path().string(), options.shop,
                                           (folder / "others").string());
    options.pack_places = {scene.stick};
  }
  const fs::path card = folder / "BLUE CARD/DCIM/100BAY";
  fs::create_directories(card);
  for (const auto& one : fs::recursive_directory_iterator(options.shop)) {
    if (one.path().extension() == ".png")
      fs::copy_file(one.path(), card / one.path().filename(), fs::copy_options::skip_existing);
  }
  options.photo_places = {(folder / "BLUE CARD").string()};
  Driver d(options);
  if (!d.ok()) {
    must(false, name + ": " + d.why());
    return;
  }
  const auto shot = [&](const char* screen) {
    must(d.shot((out / (std::string(screen) + "-" + name + ".png")).string()), screen);
  };
  const auto tap = [&](const char* item) { must(d.tap(item), name + ": " + item); };
  must(d.until([&] { return d.app().state().counts.tips > 0; }, 60), name + ": the demo's tips");
  d.settle();
  if (what == "packs") return packs(d, scene, name, shot, tap);
  if (what == "terminal") return terminal(d, shot);
  if (what == "photos") return photos(d, name, shot, tap);
  if (what == "parts") return parts(d, folder / "shop", name, shot, tap);
  shot("job-empty");
  // A first job, parked with its reason, so that the lists are not bare.
  tap("line");
  must(d.tap_keys("osier no crank"), name + ": keys");
  shot("job-typing");
  tap("key:Search");
  tap("primary");
  d.until([&] { return d.app().state().guide.has_value(); }, 20);
  shot("next-check");
  if (d.app().ui().item("answer:no") != nullptr) tap("answer:no");
  shot("next-second");
  if (d.app().ui().item("strip:causes") != nullptr) {
    tap("strip:causes");
    shot("causes");
  }
  tap(("cause:" + std::to_string(d.app().state().guide->outlook.causes.front().cause)).c_str());
  shot("ledger");
  tap("tag");
  tap("key:Search");
  tap("strip:more");
  shot("menu-more");
  tap("row:park");
  shot("menu-park");
  tap("row:cooling down");
  tap("line");
  must(d.tap_keys("hauler heater"), name + ": keys");
  tap("key:Search");
  shot("job-results");
  other_bays(options.shop);
  must(d.until([&] { return d.app().state().board.elsewhere.size() == 2; }, 10),
       name + ": other bays' jobs");
  if (size.w < 500) tap("strip:parked");
  shot("jobs-bays");
  // Into view first: at the small panels it lies below.
  tap(("bay:" + d.app().state().board.elsewhere.front().version.job.id).c_str());
  shot("menu-bay");
  tap("strip:back");
  if (size.w < 500) tap("strip:parked");
  if (size.w < 500) {
    tap("strip:parked");
    shot("job-parked");
    tap("strip:parked");
  }
  const auto& hits = d.app().state().answer.hits;
  const auto heater = std::find_if(hits.begin(), hits.end(), [](const auto& hit) {
    return hit.tip.title.starts_with("Heater cold at idle");
  });
  if (heater == hits.end()) return must(false, name + ": the heater's tip");
  tap(("hit:" + heater->tip.id).c_str());
  shot("tip-first");
  for (const auto& [key, picture] : d.app().state().pictures) {
    must(picture.state == baylore::viewer::PictureView::State::ready, name + ": " + picture.why);
  }
  tap("primary");
  shot("reading-answer");
  tap("answer:yes");
  tap("primary");
  shot("tip-next");
  // The pressure check: a low reading, kept.
  while (d.app().state().taking.check != "coolant-hold-cold" &&
         d.app().state().screen == baylore::viewer::Screen::tip) {
    tap("primary");
    if (d.app().state().taking.check == "coolant-hold-cold") break;
    tap("answer:no");
    tap("primary");
    if (missed > 3) return;
  }
  tap("pad:8");
  tap("pad:2");
  shot("reading-low");
  tap("primary");
  shot("tip-reading");
  const auto section = [&](const char* key) {
    if (d.app().ui().item(std::string("rule:") + key) != nullptr) {
      tap((std::string("rule:") + key).c_str());
      return;
    }
    if (d.app().ui().item("strip:sections") != nullptr) {
      tap("strip:sections");
      tap("row:sections");
    } else {
      tap("rule");
    }
    tap((std::string("row:section:") + key).c_str());
  };
  section("location");
  shot("tip-location");
  section("repair");
  shot("tip-repair");
  section("finish");
  shot("tip-finish");
  tap(d.app().ui().item("strip:more") != nullptr ? "strip:more" : "strip:sections");
  tap("row:ask_question");
  must(d.tap_keys("pump bolts say 14"), name + ": keys");
  shot("ask-question");
  tap("key:Keep");
  section("symptom");
  d.until([&] { return d.app().state().tip && !d.app().state().tip->questions.empty(); }, 10);
  shot("tip-questioned");
  d.app().apply({baylore::viewer::Do::open_sheet, {}});
  must(d.until([&] { return d.app().state().sheet.page != nullptr; }, 10), name + ": sheet");
  shot("sheet");
  d.app().apply({baylore::viewer::Do::back, {}});
  tap("tag");
  tap("clear");
  must(d.tap_keys("hauler squelch"), name + ": keys");
  tap("key:Search");
  shot("job-nothing");
  tap("write it");
  shot("write-fields");
  tap("field:symptom");
  must(d.tap_keys("chirps when cold and wet"), name + ": keys");
  shot("write-typing");
  tap("key:Done");
  if (d.app().ui().item("strip:whole") != nullptr) {
    tap("strip:whole");
    shot("write-whole");
    tap("key:Done");
  }
  tap("strip:preview");
  shot("write-preview");
  tap("strip:back");
  tap("primary");
  d.until([&] { return d.app().state().tip && !d.app().state().tip->preview; }, 10);
  shot("tip-written");
  // A tip with faults, written at another desk: what the check says of it, here and in Write.
  std::ofstream(folder / "shop/tips/cooling/thermostat-cover-weeps.md")
      << "---\nid: 01JSHOTFOUND\ntitle: Thermostat cover weeps after the job\nsystem: cooling\n"
         "component: thermostat\nfits:\n  - Corvane | Hauler | 2014-2018 | 3.6 V6\n---\n\n"
         "## Symptom\nDrips on the pulley when cold.\n\n"
         "## Checks\n### Cover, dry and clean\n- minutes: 2\n- expect: no wet edge\n"
         "Look along the joint with a lamp.\n\n"
         "## Repair\n1. New seal, bolts crosswise.\n\n"
         "## Fasteners\n### Cover bolts\n- count: 3\n- thread: M8x1.25\n- class: 8.8\n"
         "- torque: 95 N·m\n\n## Background\nSee [the housing](thermostat-housing.md).\n";
  tap("tag");
  tap("clear");
  d.until([&] { return d.app().state().counts.findings >= 0 && d.app().state().answered; }, 5);
  must(d.tap_keys("cover weeps"), name + ": keys");
  tap("key:Search");
  d.until(
      [&] {
        return !d.app().state().answer.hits.empty() &&
               d.app().state().answer.hits.front().tip.id == "01JSHOTFOUND";
      },
      10);
  tap("hit:01JSHOTFOUND");
  d.until([&] { return d.app().state().tip && d.app().state().tip->findings.size() >= 2; }, 10);
  shot("tip-found");
  section("repair");
  shot("tip-found-fastener");
  section("symptom");
  tap("found");
  shot("tip-findings");
  tap(d.app().ui().item("strip:more") != nullptr ? "strip:more" : "strip:sections");
  tap("row:write_edit");
  shot("write-findings");
  tap("field:fasteners");
  shot("write-finding");
  tap("key:Done");
  tap("drop draft");
  tap("strip:more");
  tap("row:new_job");
  d.type("9ZZAB3CD6GA000101");
  d.settle();
  shot("job-vin");
  tap("clear");
  if (d.app().ui().item("key:Search") != nullptr) tap("key:Search");
  tap("strip:more");
  tap("row:settings");
  shot("settings");
  tap("strip:back");
  tap("strip:more");
  tap("row:work_out");
  tap("row:formula:trim-pattern");
  for (const char* key : {"pad:2", "pad:4"}) tap(key);
  tap("work field:1");
  tap("pad:6");
  shot("work-out");
  tap("strip:back");
  tap("line");
  d.type("hauler heater P0128");
  d.settle();
  d.app().apply({baylore::viewer::Do::menu, "code"});
  shot("menu-code");
  tap("row:frame:P0128");
  for (const char* key : {"pad:4", "pad:1"}) tap(key);
  tap("frame field:1");
  for (const char* key : {"pad:8", "pad:2", "pad:0"}) tap(key);
  shot("freeze-frame");
  tap("primary");
  tap("strip:back");
  tap("strip:more");
  tap("row:finish_job");
  tap("result:fixed");
  shot("outcome");
  tap("strip:write");
  d.settle();
  shot("write-from-job");
  parts(d, folder / "shop", name, shot, tap);
  packs(d, scene, name, shot, tap);
  photos(d, name, shot, tap);
  terminal(d, shot);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 3) {
    std::fprintf(stderr,
                 "usage: baylore-shots DEMO DIR [THEME] [WIDTHxHEIGHT] [parts | packs | photos | "
                 "terminal | all] "
                 "[TEXT-PERCENT]\n");
    return 2;
  }
  const fs::path out = argv[2];
  const fs::path work = out / ".work";
  std::error_code error;
  fs::remove_all(work, error);
  fs::create_directories(work);
  const std::string only_theme = argc > 3 ? argv[3] : "";
  const std::string only_size = argc > 4 ? argv[4] : "";
  const int percent = argc > 6 ? std::clamp(std::atoi(argv[6]), 100, 200) : 100;
  for (const std::string theme : {"light", "dark", "sun"}) {
    if (only_theme.empty() ? theme == "sun" : theme != only_theme) continue;
    for (const Size& size : {Size{1280, 800}, Size{800, 480}, Size{800, 1280}, Size{390, 844}}) {
      if (!only_size.empty() && only_size != std::to_string(size.w) + "x" + std::to_string(size.h))
        continue;
      one_size(argv[1], out, work, size, theme, argc > 5 ? argv[5] : "", percent);
    }
  }
  fs::remove_all(work, error);
  std::printf("%d steps not reached\n", missed);
  return missed == 0 ? 0 : 1;
}
