// Walks every screen on five panels and looks for what a person there would trip over: targets too
// small for a gloved hand or over each other, texts cut, off the panel or over each other. The
// sizes are those of the project's screen plan; what a defect is says support/layout.h.
#include <doctest/doctest.h>
#include <imgui.h>

#include <cstdlib>
#include <map>

#include "support/headless.h"
#include "support/layout.h"
#include "support/pack_scene.h"
#include "support/scratch.h"
#include "viewer/screens/screens.h"

namespace {

using baylore::test::Headless;
using baylore::test::HeadlessOptions;
using baylore::test::Scratch;
using baylore::viewer::Do;
using baylore::viewer::Screen;

class Walk {
 public:
  Walk(int w, int h, int percent, const std::string& theme, const std::string& hand,
       const std::string& language)
      : name_(std::to_string(w) + "x" + std::to_string(h) + " " + std::to_string(percent) + " % " +
              theme + " " + hand + " " + language) {
    HeadlessOptions o;
    o.width = w;
    o.height = h;
    o.text_percent = percent;
    o.theme = theme;
    o.hand = hand;
    o.language = language;
    baylore::test::copy_demo_shop(BAYLORE_SOURCE_DIR, scratch_.path("shop"));
    o.shop = scratch_.path("shop");
    o.store_folder = scratch_.path("store");
    o.state_folder = scratch_.path("state");
    o.photo_program = BAYLORE_PHOTO;
    scene_ = baylore::test::make_pack_scene(BAYLORE_SOURCE_DIR, o.shop, scratch_.path("others"));
    o.pack_places = {scene_.stick};
    // A card with some pictures, the demo's drawings.
    const auto card = std::filesystem::path(scratch_.path("LONG NAMED CARD/DCIM/100BAY"));
    std::filesystem::create_directories(card);
    int pictures = 0;
    for (const auto& one : std::filesystem::recursive_directory_iterator(o.shop)) {
      if (one.path().extension() == ".png" && ++pictures <= 14)
        std::filesystem::copy_file(one.path(), card / one.path().filename());
    }
    std::ofstream(card / "broken.jpg") << "no picture";
    o.photo_places = {scratch_.path("LONG NAMED CARD"), scratch_.path("none")};
    panel_ = std::make_unique<Headless>(o);
  }

  // `tips`: every tip too, which is the longer half of the walk.
  void all(bool tips) {
    REQUIRE(panel_->ready());
    jobs();
    tip();
    readings();
    formulas();
    guide();
    parts();
    bays();
    menus();
    write();
    photos();
    findings();
    if (tips) every_tip();
    packs();
    terminal();
    for (const auto& [kind, places] : found_) {
      const std::string more =
          places.more > 0 ? " and " + std::to_string(places.more) + " more" : std::string();
      FAIL_CHECK(name_ << ": " << places.screen << more);
    }
    MESSAGE(name_ << ": " << looked_ << " frames looked at, " << found_.size() << " defects");
    CHECK(looked_ > 60);
  }

 private:
  void look(const std::string& screen) {
    panel_->settle();
    panel_->frames(2);
    ++looked_;
    for (const std::string& defect :
         baylore::test::layout_defects(baylore::test::drawn(panel_->ui()))) {
      // The same defect on many pages is one finding, said with the first place it was seen at.
      const std::string key = name_ + ": " + kind_of(defect);
      const auto [at, fresh] = found_.try_emplace(key, Places{screen + ": " + defect, 0});
      if (!fresh) ++at->second.more;
    }
  }
  // What kind of defect it is: without places, ids and figures, which differ from tip to tip.
  static std::string kind_of(const std::string& defect) {
    std::string out;
    int depth = 0;
    bool id = false;  // after the colon of a quoted name
    for (const char c : defect) {
      if (c == '(') ++depth;
      if (c == ':' && !out.empty() && out.back() != '\'') id = true;
      if (c == '\'') id = false;
      if (depth == 0 && !id) out.push_back(c >= '0' && c <= '9' ? '#' : c);
      if (c == ')' && depth > 0) --depth;
    }
    return out;
  }
  // Looks at every stretch of a scrolling area.
  void scroll_through(const std::string& screen, const std::string& area) {
    baylore::viewer::Ui::Scroll& s = panel_->ui().scroll_state(area);
    s.offset = 0;
    look(screen);
    // An area without room for a line would be scrolled through for ever.
    CAPTURE(screen);
    REQUIRE((s.view == 0 || s.view > 5));
    while (s.offset < s.most() - 0.1F) {
      s.offset = std::min(s.most(), s.offset + s.view * 0.8F);
      look(screen + " at " + std::to_string(static_cast<int>(s.offset)) + " mm");
    }
  }
  void tap(const std::string& item) {
    CAPTURE(name_);
    CAPTURE(item);
    CHECK(panel_->tap(item));
  }
  void act(Do what, const std::string& text = {}, int number = 0) {
    panel_->app().apply({what, text, number});
    panel_->settle();
  }
  void open(const std::string& id) {
    act(Do::open_tip, id);
    panel_->until([&] { return panel_->state().tip && panel_->state().tip->row.id == id; }, 5);
    panel_->settle();
  }
  std::string id_of(const std::string& slug) {
    for (const auto& one : std::filesystem::recursive_directory_iterator(scratch_.path("shop"))) {
      if (one.path().filename() != slug + ".md") continue;
      std::ifstream file(one.path());
      for (std::string line; std::getline(file, line);) {
        if (line.starts_with("id: ")) return line.substr(4);
      }
    }
    return {};
  }

  // The terminal itself: settings, the ruler, help, the cover, the tour.
  void terminal() {
    act(Do::new_job);
    act(Do::menu, "first");
    scroll_through("first questions", "menu");
    act(Do::choose, "calibrate");
    look("ruler");
    act(Do::ppi_by, {}, 5);
    act(Do::ppi_by, {}, 5);
    look("ruler, longer");
    act(Do::back);
    act(Do::back);
    for (int i = 0; i < static_cast<int>(Screen::help); ++i) {
      panel_->state().help_of = static_cast<Screen>(i);
      panel_->state().screen = Screen::help;
      scroll_through("help " + std::to_string(i), "help");
    }
    panel_->state().screen = Screen::job;
    panel_->state().back.clear();
    for (int step = 1; step <= baylore::viewer::kTourSteps; ++step) {
      act(Do::tour_next);
      panel_->until([&] { return panel_->app().busy().empty(); }, 5);
      look("tour, step " + std::to_string(step));
    }
    act(Do::tour_end);
    for (const char* who : {"", "RM", "JT", "Annelie W", "K"}) {
      if (*who != 0) {
        act(Do::new_job);
        act(Do::type, "kite rumbles");
        panel_->state().current()->initials = who;
      }
      panel_->state().terminal.hide_minutes = 5;
      panel_->later(301);
      CHECK(panel_->state().rest == baylore::viewer::Rest::hidden);
      look(std::string("cover ") + who);
      act(Do::wake);
    }
    panel_->state().terminal.hide_minutes = 0;
  }

  void jobs() {
    look("job, nothing typed");
    scroll_through("job, often used", "often");
    tap("line");
    look("job, empty line being typed");
    CHECK(panel_->tap_keys("osier no cr"));
    look("job, typing");
    tap("key:123");
    look("job, typing numbers");
    tap("key:abc");
    tap("key:Search");
    scroll_through("job, results", "results");
    act(Do::park);
    look("park menu");
    act(Do::choose, "part ordered");
    for (const char* line : {"vane 2012 p0562 battery flat overnight lamps dim", "kite shakes"}) {
      act(Do::focus_line);
      act(Do::type, line);
      look("job, long line being typed");
      act(Do::enter);
      look("job, long line");
      act(Do::open_best);
      act(Do::park_because, "customer asked");
    }
    look("job, three parked");
    scroll_through("job, parked jobs", "parked");
    act(Do::show_parked);
    scroll_through("job, parked list", "parked");
    act(Do::show_parked);
    panel_->type("hauler 2016 p0128 heater");
    look("job, a hardware keyboard types");
    act(Do::enter);
    look("job, four tokens");
    act(Do::clear_line);
    act(Do::type, "zzyzx qwfp");
    panel_->state().hard_keyboard = false;
    look("job, nothing found while typing");
    act(Do::enter);
    look("job, nothing found");
    act(Do::clear_line);
    act(Do::type, "hauler chirp");
    act(Do::enter);
    look("job, nothing found for the vehicle");
    act(Do::clear_line);
    act(Do::type, "hauler 2016 heater");
    act(Do::enter);
  }

  void tip() {
    open(id_of("heater-cold-at-idle-coolant-lost-cold"));
    REQUIRE(panel_->state().screen == Screen::tip);
    scroll_through("tip", "tip");
    for (std::size_t i = 0; i < panel_->state().tip->tip.fasteners.size(); ++i) {
      act(Do::next_fastener);
      look("tip, next fastener");
    }
    act(Do::show_symptom);
    scroll_through("tip, whole symptom", "tip");
    act(Do::ask_question);
    look("ask");
    if (panel_->state().hard_keyboard) panel_->tap_at(70, 30);
    CHECK(panel_->tap_keys("pump bolts say 14"));
    look("ask, typed");
    act(Do::ask_submit);
    look("tip, question kept");
    panel_->until([&] { return panel_->state().tip && !panel_->state().tip->questions.empty(); },
                  8);
    act(Do::go_section, "symptom");
    scroll_through("tip, questioned", "tip");
    act(Do::menu, "tip");
    look("tip menu");
    act(Do::choose, "sections");
    act(Do::menu, "sections");
    look("sections menu");
    act(Do::back);
    act(Do::menu, "mistaken");
    look("looks-like menu");
    act(Do::back);
    sheet();
  }

  void sheet() {
    act(Do::open_sheet);
    scroll_through("sheet", "sheet");
    act(Do::sheet_step, {}, 1);
    act(Do::sheet_paper);
    look("sheet, the next code");
    act(Do::menu, "sheet to");
    look("sheet, where to");
    act(Do::back);
    act(Do::save_sheet);
    panel_->until([&] { return panel_->state().notice.has_value(); }, 30);
    scroll_through("sheet, saved", "sheet");
    act(Do::dismiss);
    act(Do::back);
  }

  void readings() {
    open(id_of("heater-cold-at-idle-coolant-lost-cold"));
    act(Do::take_reading, "coolant-level-cold");
    look("reading, an answer");
    act(Do::reading_result, "no");
    look("reading, answered no");
    act(Do::back);
    act(Do::take_reading, "coolant-hold-cold");
    look("reading, no number yet");
    for (const char* digit : {"8", "2"}) act(Do::digit, digit);
    look("reading, low");
    act(Do::reading_unit, "psi");
    look("reading, psi");
    act(Do::digit, ".");
    for (int i = 0; i < 7; ++i) act(Do::digit, "8");
    look("reading, too many digits");
    act(Do::reading_result, "could not check");
    look("reading, could not check");
    act(Do::reading_clear);
    for (const char* digit : {"9", "7"}) act(Do::digit, digit);
    look("reading, in range");
    act(Do::keep_reading);
    look("tip, a reading kept");
    act(Do::take_reading, "coolant-hold-cold", 1);
    act(Do::digit, "9");
    act(Do::digit, "9");
    look("reading, after the repair");
    act(Do::keep_reading);
    act(Do::go_section, "finish");
    look("tip, before and after");
    act(Do::open_adapter, {}, 0);
    look("adapter");
    act(Do::adapter_field, {}, 2);
    look("adapter, an empty field");
    act(Do::back);
    // A check whose expectation is corrected for what else was measured.
    for (const auto& line :
         std::filesystem::recursive_directory_iterator(scratch_.path("shop/tips"))) {
      if (line.path().extension() != ".md") continue;
      std::ifstream file(line.path());
      std::string check;
      for (std::string text; std::getline(file, text);) {
        if (text.starts_with("- check: ")) check = text.substr(9);
        if (!text.starts_with("- correct: ")) continue;
        open(id_of(line.path().stem()));
        act(Do::take_reading, check);
        look("reading, to be corrected");
        act(Do::digit, "7");
        look("reading, to be corrected, 7");
        act(Do::reading_second);
        act(Do::digit, "9");
        look("reading, what corrects it");
        act(Do::back);
      }
    }
  }

  void formulas() {
    for (const baylore::trade::Formula& formula : baylore::trade::formulas()) {
      const std::string name(formula.name);
      act(Do::open_formula, name);
      REQUIRE(panel_->state().screen == Screen::work_out);
      look("work out " + name + ", nothing typed");
      const auto fields = baylore::viewer::work_fields(formula).size();
      for (std::size_t i = 0; i < fields; ++i) {
        act(Do::work_field, {}, static_cast<int>(i));
        for (const char* digit : {"1", "2"}) act(Do::digit, digit);
      }
      scroll_through("work out " + name, "work out");
      act(Do::back);
    }
    act(Do::menu, "work_out");
    scroll_through("menu of formulas", "menu");
    act(Do::back);
  }

  void guide() {
    act(Do::clear_line);
    act(Do::type, "no crank");
    act(Do::enter);
    act(Do::open_next);
    panel_->until([&] { return panel_->state().guide.has_value(); }, 20);
    REQUIRE(panel_->state().guide);
    for (int i = 0; i < 12; ++i) {
      scroll_through("next check " + std::to_string(i), "next");
      const auto& next = panel_->state().guide->outlook.next;
      if (next.kind != baylore::diagnosis::Next::Kind::check) break;
      act(i % 3 == 1 ? Do::skip_check : Do::answer_check, next.check, i % 2);
    }
    act(Do::menu, "checks");
    scroll_through("other checks", "menu");
    act(Do::back);
    act(Do::menu, "tools");
    scroll_through("tools", "menu");
    act(Do::back);
    act(Do::open_causes);
    scroll_through("causes", "causes");
    act(Do::back);
    for (int cause = 0; cause < 3; ++cause) {
      act(Do::open_ledger, {}, cause);
      scroll_through("ledger", "ledger");
      act(Do::back);
    }
    act(Do::open_ledger, {}, static_cast<int>(panel_->state().guide->a_case->causes.size() - 1));
    look("ledger of what is not in the book");
    act(Do::back);
    act(Do::open_outcome);
    scroll_through("outcome", "outcome");
    act(Do::outcome_result, "fixed");
    for (const char* digit : {"8", "4", "2", "0", "0"}) act(Do::digit, digit);
    look("outcome, fixed");
    for (const char* menu : {"right", "part fitted", "finished", "came back"}) {
      act(Do::menu, menu);
      scroll_through(std::string("menu ") + menu, "menu");
      act(Do::back);
    }
    act(Do::record_outcome);
    look("outcome recorded");
    act(Do::clear_line);
  }

  // Part with every view, acceptance checks good and bad, what is recorded, the order list.
  void parts() {
    using baylore::quality::By;
    using baylore::viewer::PartView;
    act(Do::new_job);
    panel_->until([&] { return panel_->state().history != nullptr; }, 20);
    for (const char* name : {"88-214", "WP-3361", "3C-44090", "OS-8120-A"}) {
      const std::string at(name);
      act(Do::clear_line);
      act(Do::type, name);
      look("line, part " + at);
      act(Do::open_part, name);
      panel_->until([&] { return panel_->state().part.has_value(); }, 5);
      REQUIRE(panel_->state().part);
      for (const PartView view : {PartView::rivals, PartView::months, PartView::distance,
                                  PartView::cost, PartView::about}) {
        act(Do::part_view, {}, static_cast<int>(view));
        scroll_through("part " + at + ", view " + std::to_string(static_cast<int>(view)), "part");
      }
      for (const By by : {By::grade, By::lot, By::number}) {
        act(Do::part_by, {}, static_cast<int>(by));
        scroll_through("part " + at + ", by " + std::to_string(static_cast<int>(by)), "part");
      }
      const auto checks = baylore::viewer::acceptance_of(panel_->state().part->family);
      for (std::size_t i = 0; i < checks.size(); ++i) {
        act(Do::accept_check, checks[i].id);
        look("part " + at + ", reading " + std::to_string(i));
        if (checks[i].expect && checks[i].expect->is_range()) {
          act(Do::digit, i % 2 == 0 ? "9" : "0");
        } else {
          act(Do::reading_result, i % 2 == 0 ? "yes" : "no");
        }
        act(Do::keep_reading);
      }
      act(Do::dismiss);
      scroll_through("part " + at + ", checked", "part");
      scroll_through("part " + at + ", checks", "acceptance");
      act(Do::menu, "part");
      scroll_through("part " + at + ", more", "menu");
      act(Do::back);
      act(Do::record_part);
      look("part " + at + ", record");
      act(Do::back);
      act(Do::part_records, panel_->state().part->number().name);
      panel_->until([&] { return panel_->state().screen == Screen::menu; }, 5);
      scroll_through("part " + at + ", records", "menu");
      act(Do::back);
      act(Do::open_order, panel_->state().part->number().name);
      scroll_through("order list with " + at, "order");
      act(Do::back);
    }
    act(Do::dead_on_arrival);
    look("part, dead on arrival");
    act(Do::part_fitted);
    scroll_through("outcome with its part", "outcome");
    act(Do::back);
    // A comeback's claim.
    for (const auto& job : panel_->state().finished) {
      if (job.comebacks.empty() || job.outcome.part.empty()) continue;
      panel_->state().came_back = job.outcome.id;
      act(Do::menu, "came back");
      scroll_through("menu came back, with a claim", "menu");
      act(Do::menu, "claim");
      scroll_through("claim sheet", "menu");
      act(Do::back);
      break;
    }
    for (const std::string& part : std::vector<std::string>(panel_->state().current()->to_order))
      act(Do::take_off, part);
    act(Do::open_order);
    look("order list, empty");
    act(Do::back);
  }

  // Packs: what lies on the stick, each looked at, taken in, settled, taken out; sealing; the key.
  void packs() {
    REQUIRE_MESSAGE(scene_.trouble.empty(), scene_.trouble);
    const auto rest = [&] {
      REQUIRE(panel_->until(
          [&] { return panel_->state().packs.work == baylore::viewer::PackWork::none; }, 30));
    };
    act(Do::open_packs);
    scroll_through("packs", "packs");
    for (const std::string& path :
         {scene_.altered, scene_.unsigned_pack, scene_.unknown, scene_.trusted}) {
      act(Do::open_pack, path);
      rest();
      REQUIRE(panel_->state().packs.opened);
      scroll_through("pack " + path, "pack");
      for (std::size_t i = 0; i < panel_->state().packs.opened->preview.items.size(); ++i) {
        act(Do::pack_item, {}, static_cast<int>(i));
        scroll_through("pack item " + std::to_string(i), "pack item");
        act(Do::pack_item, {}, -1);
      }
      if (path != scene_.trusted) act(Do::back);
    }
    act(Do::accept_pack);
    rest();
    look("packs, taken in");
    act(Do::dismiss);
    scroll_through("packs, taken in", "packs");
    scroll_through("packs, what came", "taken");
    REQUIRE(panel_->state().packs.shelf->open.size() == 1);
    act(Do::open_settle, {}, 0);
    scroll_through("settle, ours", "settle");
    act(Do::settle_all, {}, 1);
    scroll_through("settle, theirs", "settle");
    act(Do::back);
    act(Do::undo_pack, panel_->state().packs.shelf->taken.front().folder);
    look("packs, undo");
    act(Do::back);
    act(Do::menu, "packs more");
    look("packs, more");
    act(Do::back);
    act(Do::show_key);
    REQUIRE(panel_->until([&] { return panel_->state().packs.key.has_value(); }, 10));
    scroll_through("packs, key", "taken");
    act(Do::show_key);
    act(Do::open_seal);
    rest();
    look("seal");
    panel_->ui().scroll_state("seal").offset = 60;
    look("seal, what goes");
    for (const char* menu : {"seal system", "seal author", "seal to"}) {
      act(Do::menu, menu);
      scroll_through(menu, "menu");
      act(Do::back);
    }
    act(Do::open_tip, baylore::test::kNewTip);
    REQUIRE(panel_->until(
        [&] {
          const auto& tip = panel_->state().tip;
          return tip && tip->row.id == baylore::test::kNewTip && tip->source;
        },
        20));
    scroll_through("a tip from elsewhere", "tip");
  }

  // Jobs here and at other bays, an earlier visit of the car, a freeze frame.
  void bays() {
    namespace job = baylore::job;
    act(Do::new_job);
    act(Do::type, "hauler heater P0128");
    act(Do::enter);
    job::Job& now = *panel_->state().current();
    now.next_step = "pressure test with the engine cold, then look under the pump with a lamp";
    now.initials = "LA";
    now.cars = {"bay:1"};
    act(Do::open_frame, "P0128");
    scroll_through("freeze frame", "frame");
    act(Do::frame_units);
    act(Do::digit, "8");
    look("freeze frame, other units");
    act(Do::keep_frame);
    act(Do::menu, "code");
    look("menu code");
    act(Do::back);
    act(Do::park_because, "customer asked");
    job::Job other;
    other.id = "elsewhere";
    other.bay = "bay 2";
    other.state = job::State::parked;
    other.vehicle = {"Merrin", "Kite", 2020, "1.5 I4"};
    other.line = "brake pedal sinks slowly at the lights and comes back when pumped";
    other.why_parked = "part ordered";
    other.next_step = "bleed, then hold the pedal for a minute";
    other.initials = "RO";
    other.cars = {"bay:1"};
    panel_->state().board.elsewhere = {{{"bay-2-TEST02", other}, {"bay 4"}}};
    panel_->state().board.past = {{"past",
                                   "2026-03-14T11:02:44.007+01:00",
                                   other.line,
                                   other.vehicle,
                                   {"bay:1"},
                                   "bay 2",
                                   job::State::finished}};
    act(Do::show_parked);
    scroll_through("jobs of all bays", "parked");
    act(Do::show_parked);
    act(Do::menu, "bay:elsewhere");
    scroll_through("a job of another bay", "menu");
    act(Do::take_over, "elsewhere");
    look("taken over");
    act(Do::dismiss);
    scroll_through("job of a car that was here", "results");
    act(Do::menu, "earlier");
    look("menu earlier");
    act(Do::back);
    act(Do::open_outcome);
    act(Do::outcome_result, "fixed");
    scroll_through("outcome, fixed", "outcome");
    act(Do::outcome_field, {}, 0);
    act(Do::digit, "8");
    look("outcome, odometer");
    act(Do::back);
    panel_->state().board = {};
  }

  void menus() {
    act(Do::new_job);
    for (const char* menu :
         {"job", "vehicle", "make:Corvane", "model:Corvane|Hauler", "year:Corvane|Hauler|2016",
          "when", "often", "after", "code", "settings", "intake", "first", "which shop", "park"}) {
      act(Do::menu, menu);
      scroll_through(std::string("menu ") + menu, "menu");
      act(Do::back);
    }
    act(Do::start_shop);
    look("ask for the shop's name");
    act(Do::back);
  }

  void write() {
    act(Do::type, "hauler chirp when cold");
    act(Do::enter);
    act(Do::write_new);
    REQUIRE(panel_->state().screen == Screen::write);
    scroll_through("write, fields", "write fields");
    act(Do::write_field, "symptom");
    panel_->state().hard_keyboard = false;
    look("write, a field");
    act(Do::type,
        "Chirps when cold and wet, quiet after five minutes. Louder with the lamps on and "
        "at idle; water on the belt changes it for a moment.");
    look("write, typed");
    act(Do::key_page);
    look("write, numbers");
    act(Do::key_page);
    act(Do::write_fields);
    look("write, a field filled");
    act(Do::write_field, "whole");
    look("write, the whole");
    act(Do::write_fields);
    panel_->state().write.failure = "Someone else changed this tip meanwhile";
    panel_->state().write.conflict = true;
    look("write, conflict");
    act(Do::write_field, "repair");
    look("write, conflict in a field");
    act(Do::write_fields);
    panel_->state().write.failure = "Not saved; free 20 MB";
    panel_->state().write.conflict = false;
    look("write, disk full");
    panel_->state().write.failure.clear();
    act(Do::preview);
    scroll_through("preview", "tip");
    act(Do::back);
    act(Do::drop_draft);
    look("job, draft dropped");
    act(Do::new_job);
    panel_->state().shop_gone = true;
    panel_->state().copy_time = "09:42";
    look("job, shop gone");
    panel_->state().shop_gone = false;
  }

  // Pictures: the page of one, choosing, marks and captions.
  void photos() {
    const auto ready = [&](const std::string& of) {
      CAPTURE(of);
      CHECK(panel_->until(
          [&] {
            for (const auto& [key, view] : panel_->state().pictures) {
              if (key.find(of) != std::string::npos &&
                  view.state == baylore::viewer::PictureView::State::ready)
                return true;
            }
            return false;
          },
          20));
    };
    open(id_of("heater-cold-at-idle-coolant-lost-cold"));
    const std::size_t count = panel_->state().tip->tip.pictures.size();
    REQUIRE(count > 0);
    for (std::size_t i = 0; i < count; ++i) {
      act(Do::open_photo, {}, static_cast<int>(i));
      ready("\nlarge");
      scroll_through("picture " + std::to_string(i), "photo words");
      tap("photo:in");
      tap("photo:in");
      look("picture, closer");
      act(Do::back);
    }
    act(Do::new_job);
    act(Do::type, "kite rattles over kerbs");
    act(Do::enter);
    act(Do::write_new);
    act(Do::open_photos);
    REQUIRE(panel_->until([&] { return panel_->state().photos.shelf != nullptr; }, 10));
    scroll_through("pictures to take in", "photos");
    const auto found = panel_->state().photos.shelf->found;
    REQUIRE(found.size() > 6);
    for (std::size_t i = 0; i < 12 && i < found.size(); ++i) act(Do::photo_tick, found[i].path);
    panel_->ui().scroll_state("photos").offset = 0;
    look("pictures, twelve ticked");
    panel_->state().photos.working = true;
    panel_->state().photos.done = 10;
    panel_->state().photos.all = 12;
    panel_->state().photos.progress = baylore::viewer::Progress(0);
    panel_->state().photos.progress.at(0, 1200, 0);
    panel_->state().photos.progress.at(1000, 1200, 600);
    look("pictures, being taken in");
    panel_->state().photos.working = false;
    act(Do::menu, "photo place");
    look("where pictures are");
    act(Do::back);
    act(Do::photos_place, scratch_.path("none"));
    look("pictures, a place that is gone");
    act(Do::photos_place, scratch_.path("LONG NAMED CARD"));
    for (std::size_t i = 0; i < 3; ++i) act(Do::photo_tick, found[i].path);
    act(Do::take_photos);
    REQUIRE(panel_->until([&] { return panel_->state().screen == Screen::photo_mark; }, 60));
    panel_->settle();
    look("marks, just taken in");
    act(Do::dismiss);
    ready(panel_->state().photos.marking);
    look("marks, none yet");
    for (int i = 0; i < 9; ++i) {
      const auto part = static_cast<float>(i) / 8;
      panel_->app().apply({Do::mark_at, {}, 0, part, 1 - part});
    }
    panel_->settle();
    look("marks, nine");
    act(Do::photo_ask, "words");
    panel_->state().hard_keyboard = false;
    look("words of a mark");
    act(Do::type, "earth point under the left lamp, hidden by the loom");
    act(Do::ask_submit);
    act(Do::photo_ask, "caption");
    act(Do::type, "Seen from below with the undertray off, the left wheel turned out all the way");
    act(Do::ask_submit);
    scroll_through("marks, words", "photo words");
    tap("photo:in");
    look("marks, closer");
    for (const char* menu : {"photo section", "photo more", "photos"}) {
      act(Do::menu, menu);
      scroll_through(menu, "menu");
      act(Do::back);
    }
    while (panel_->state().screen == Screen::photo_mark) act(Do::mark_next);
    act(Do::back);
    look("write, with pictures");
    act(Do::drop_draft);
    act(Do::new_job);
  }

  // What the check finds, on the tip and in Write; and what a VIN leads to.
  void findings() {
    const auto tips = panel_->state().counts.tips;
    std::ofstream(scratch_.path("shop/tips/cooling/thermostat-cover.md"))
        << "---\nid: 01JTESTFOUND\ntitle: Thermostat cover weeps\nsystem: colling\n---\n\n"
           "## Symptom\nDrips on the pulley.\n\n## Checks\n### Look\n- expect: dry\n\n"
           "## Fasteners\n### Cover bolts\n- thread: M8x1.25\n- class: 8.8\n- torque: 95 N·m\n"
           "### Pipe clip\n- thread: M6x9\n- torque: 9 N·m\n\n"
           "## Background\nSee [the twin](nowhere.md). TODO\n";
    panel_->until([&] { return panel_->state().counts.tips > tips; }, 10);
    open("01JTESTFOUND");
    REQUIRE(panel_->state().tip);
    panel_->until([&] { return panel_->state().tip->findings.size() >= 4; }, 10);
    CHECK(panel_->state().tip->findings.size() >= 4);
    scroll_through("tip with findings", "tip");
    act(Do::write_edit);
    scroll_through("write with findings", "write fields");
    panel_->state().hard_keyboard = false;
    for (const char* field : {"fasteners", "system", "background", "whole"}) {
      act(Do::write_field, field);
      look(std::string("write, findings in ") + field);
    }
    act(Do::write_fields);
    act(Do::drop_draft);
    act(Do::new_job);
    act(Do::type, "1M8GDM9AXKP042788");
    act(Do::enter);
    look("job, a VIN");
    scroll_through("job, a VIN's results", "results");
    panel_->state().guesses = {{{"Corvane", "Hauler", 2016, "3.6 V6", 0}, 3, true},
                               {{"Corvane", "Hauler", 2016, "", 0}, 1, false}};
    look("job, a VIN like others");
    act(Do::clear_line);
  }

  void every_tip() {
    std::vector<std::string> ids;
    for (const auto& one :
         std::filesystem::recursive_directory_iterator(scratch_.path("shop/tips"))) {
      if (one.path().extension() == ".md") ids.push_back(one.path().stem());
    }
    CHECK(ids.size() >= 20);
    // The two panels where room is short share them between each other, the others look at a few.
    // BAYLORE_EVERY_TIP looks at all of them on every panel.
    std::sort(ids.begin(), ids.end());
    if (std::getenv("BAYLORE_EVERY_TIP") == nullptr) {
      const auto form = panel_->ui().metrics().form();
      const bool small = form == baylore::viewer::Form::small;
      const bool phone = form == baylore::viewer::Form::phone;
      std::size_t at = 0;
      std::erase_if(ids, [&](const std::string&) {
        const std::size_t n = at++;
        return small ? n % 2 != 0 : phone ? n % 2 == 0 : n % 8 != 0;
      });
    }
    for (const std::string& slug : ids) {
      open(id_of(slug));
      REQUIRE(panel_->state().tip);
      scroll_through("tip " + slug, "tip");
      for (std::size_t i = 1; i < panel_->state().tip->tip.fasteners.size(); ++i) {
        act(Do::next_fastener);
        look("tip " + slug + ", fastener " + std::to_string(i + 1));
      }
      // A copy: whenever there is news of the shop the open tip is read again.
      const std::vector<baylore::shop::Check> checks = panel_->state().tip->tip.checks;
      for (const baylore::shop::Check& check : checks) {
        act(Do::take_reading, check.id);
        look("reading " + check.id);
        act(Do::back);
      }
    }
  }

  struct Places {
    std::string screen;
    int more = 0;
  };
  std::string name_;
  Scratch scratch_;
  baylore::test::PackScene scene_;
  std::unique_ptr<Headless> panel_;
  std::map<std::string, Places> found_;
  int looked_ = 0;
};

// BAYLORE_PANELS names the one panel to walk; without it all are. The sanitized run, which is ten
// times as slow and looks for other things, walks one.
void walk(int width, int height, int percent = 100, const std::string& theme = "light",
          const std::string& language = "en", bool tips = true) {
  const char* only = std::getenv("BAYLORE_PANELS");
  const std::string name = std::to_string(width) + "x" + std::to_string(height);
  if (only != nullptr && name != only) return;
  Walk(width, height, percent, theme, "glove", language).all(tips);
}

}  // namespace

TEST_CASE("1280x800") { walk(1280, 800); }
TEST_CASE("800x480") { walk(800, 480); }
TEST_CASE("800x1280") { walk(800, 1280); }
TEST_CASE("390x844") { walk(390, 844); }
TEST_CASE("1920x1080") { walk(1920, 1080, 100, "light", "en", false); }
TEST_CASE("3840x2160") { walk(3840, 2160, 100, "light", "en", false); }
// The sun theme is all bold, and bold is as wide as regular only in the face it was drawn for.
TEST_CASE("1280x800 with the largest text") { walk(1280, 800, 200, "sun", "en", false); }
TEST_CASE("800x480 with the largest text") { walk(800, 480, 200, "sun", "en", false); }
TEST_CASE("800x1280 with the largest text") { walk(800, 1280, 200, "sun", "en", false); }
TEST_CASE("390x844 with the largest text") { walk(390, 844, 130, "sun", "en", false); }
// Spanish words are longer: the two panels where room is short, and the usual one.
TEST_CASE("800x480 in Spanish") { walk(800, 480, 100, "light", "es", false); }
TEST_CASE("390x844 in Spanish") { walk(390, 844, 100, "light", "es", false); }
TEST_CASE("1280x800 in Spanish") { walk(1280, 800, 100, "light", "es", false); }

// The looking itself: each kind of defect is seen, and a frame without one is let through.
TEST_CASE("a defect is seen when there is one") {
  using baylore::viewer::DrawnText;
  using baylore::viewer::Item;
  using baylore::viewer::Rect;
  baylore::test::Drawn good;
  good.metrics = baylore::viewer::metrics_for(1280, 800, 0, 100, baylore::viewer::Hand::glove);
  const Rect whole{0, 0, good.metrics.width(), good.metrics.height()};
  const auto item = [](const char* id, Rect r) { return Item{id, r, r}; };
  const auto text = [&](const char* words, Rect r) { return DrawnText{r, whole, words, false}; };
  good.items = {item("row", {10, 20, 60, 15}), item("next", {10, 35, 60, 15}),
                item("strip:back", {0, 116, 30, 20})};
  good.texts = {text("Sage", {12, 25, 20, 4}), text("other", {12, 30, 20, 4}),
                text("Back", {5, 124, 12, 4})};
  const auto defects = [](const baylore::test::Drawn& frame) {
    return baylore::test::layout_defects(frame).size();
  };
  CHECK(defects(good) == 0);
  const auto with_item = [&](Item added) {
    baylore::test::Drawn frame = good;
    frame.items.push_back(std::move(added));
    return defects(frame);
  };
  CHECK(with_item(item("small both ways", {100, 20, 14, 14})) == 1);
  CHECK(with_item(item("thin", {100, 20, 60, 8})) == 1);
  CHECK(with_item(item("long and low", {100, 20, 60, 10})) == 0);
  CHECK(with_item(item("over the row", {40, 30, 60, 15})) == 2);
  CHECK(with_item(item("band", {0, 34, 90, 15})) == 2);  // and nothing said what it covers
  Item scrolled = item("mostly scrolled away", {10, 45, 60, 15});
  scrolled.visible = {10, 50, 60, 2};
  CHECK(with_item(scrolled) == 0);

  const auto with_text = [&](DrawnText added) {
    baylore::test::Drawn one = good;
    one.texts.push_back(std::move(added));
    return defects(one);
  };
  CHECK(with_text(text("over another", {14, 26, 20, 4})) == 1);
  CHECK(with_text(text("off the panel", {210, 60, 20, 4})) == 1);
  CHECK(with_text(text("below the panel", {100, 135, 20, 4})) == 1);
  CHECK(with_text(text("into the strip", {100, 114, 20, 4})) == 1);
  CHECK(with_text(text("Ba…", {18, 124, 8, 4})) == 1);
  CHECK(with_text(text("123", {12, 22.0F, 20, 3.4F})) == 0);  // figures have nothing below
  DrawnText cut = text("cut by its clip", {100, 60, 30, 4});
  cut.clip = {100, 50, 20, 40};
  CHECK(with_text(cut) == 1);
  cut.clip = {100, 50, 40, 12};
  CHECK(with_text(cut) == 1);
  cut.scrolls = true;
  CHECK(with_text(cut) == 0);
}
