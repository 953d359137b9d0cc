// All that the viewer knows while it runs, in one visible struct. Screens read it and emit actions;
// nothing else changes it but App::apply and what the desk brings back.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "diagnosis/session.h"
#include "job/board.h"
#include "job/frame.h"
#include "job/job.h"
#include "job/judge.h"
#include "job/terminal.h"
#include "job/vin_patterns.h"
#include "search/search.h"
#include "shop/cautions.h"
#include "shop/outcome.h"
#include "shop/records.h"
#include "shop/tip.h"
#include "store/store.h"
#include "trade/formulas.h"
#include "viewer/input/rest.h"
#include "viewer/input/text_buffer.h"
#include "viewer/services/shops.h"
#include "viewer/state/packs.h"
#include "viewer/state/part_page.h"
#include "viewer/state/photos.h"
#include "viewer/state/progress.h"
#include "viewer/state/sheet.h"

namespace baylore::viewer {

enum class Screen {
  job,
  tip,
  write,
  ask,
  menu,
  reading,
  adapter,
  work_out,
  next,
  causes,  // the phone's list of causes
  ledger,
  outcome,
  frame,  // freeze-frame values of a code
  part,
  order,       // the job's order list
  packs,       // what came, what can be taken in
  pack,        // one that is looked at
  seal,        // choosing what goes into one
  settle,      // ours and theirs, place by place
  photo,       // one picture of the tip, as large as the panel
  photo_take,  // choosing pictures on a stick or in a camera's folder
  photo_mark,  // a draft's picture: where its marks are
  calibrate,   // a ruler on the panel
  help,
  sheet,  // the open tip for paper and telephones
};

// A tip in a list: what a row shows.
struct TipLine {
  std::string id;
  std::string title;
  std::string note;
};

// All the Tip screen shows, put together off the drawing thread.
struct TipPage {
  store::TipRow row;
  shop::Tip tip;
  std::string bytes;  // the file as it was read
  search::FitResult fit;
  std::vector<shop::Caution> cautions;
  std::vector<TipLine> mistaken;  // look-alikes, both ways, with how to tell them apart
  std::vector<shop::Question> questions;
  std::vector<PartEvidence> evidence;  // of the tip's parts, one each; empty: not counted yet
  std::string proved;                  // "used 14, right 11 ...": what it has proved in this shop
  bool unproved = true;                // it was the cause of no finished job here yet
  std::optional<Source> source;        // nothing: written here
  shop::Findings findings;             // what `baylore check` says of this tip, in line order
  bool preview = false;                // from Write, not saved yet
  bool safety = false;                 // a safety-critical system
};

// One field of Write.
struct WriteField {
  std::string key;      // "title", "fits", "symptom" ... or "whole"
  std::string label;    // as shown
  std::string hint;     // what belongs here, in a line
  bool section = true;  // a section of prose, else a front matter value or list
  bool list = false;
};
const std::vector<WriteField>& write_fields();

// The tip being written. The document is the truth; the buffer holds the field being typed and is
// put back at every change of field, save, draft.
struct Writing {
  bool active = false;
  std::string draft_id;  // names the draft's file
  std::string path;      // of the tip being edited; empty: a new one
  std::string before;    // its bytes when editing began
  shop::Document document;
  std::string field;  // key of the field being written; "" none: the list of fields
  TextBuffer buffer;
  double changed_at = 0;  // of the oldest change that no draft holds yet; 0: all kept
  std::string failure;    // why it could not be saved
  bool saving = false;
  std::vector<std::string> photos;  // taken in for it: they go with it when it is dropped
  bool conflict = false;            // someone else saved the same tip meanwhile
  // What the check says of the text as it is being typed, each with the key of the field it is
  // about ("whole" when none of the fields holds its line).
  std::vector<std::pair<std::string, shop::Finding>> findings;
};

// What is wrong in the text as it stands in `w`, the field being typed included.
std::vector<std::pair<std::string, shop::Finding>> findings_of(const Writing& w);

// One question to the person, answered by typing.
struct Asking {
  std::string what;  // "question", "shop" ...
  std::string title;
  std::string hint;
  TextBuffer buffer;
  bool multiline = false;
};

struct MenuRow {
  std::string id;  // the action's text when tapped
  std::string label;
  std::string value;
  bool marked = false;
};
struct Menu {
  std::string what;
  std::string title;
  std::vector<MenuRow> rows;
};

// A reading being taken: what the keypad has typed so far.
struct Taking {
  std::string check;   // id
  std::string part;    // name of the part in the hand whose acceptance check it is; empty: a tip's
  bool after = false;  // to verify the repair
  std::string typed;
  trade::UnitId unit = trade::UnitId::kVolt;          // of the reading
  trade::UnitId unit_written = trade::UnitId::kVolt;  // the expectation's own
  std::string result;    // an answer or a state; empty: the typed number counts
  bool second = false;   // the keypad types what the correction asks for
  std::string measured;  // that, as typed
  trade::UnitId measured_unit = trade::UnitId::kCelsius;
};

// A torque adapter on the wrench: what the keypad has typed.
struct Adapter {
  int field = 0;  // 0 length of the wrench, 1 the adapter's reach, 2 its angle
  std::string typed[3] = {"400", "50", "0"};
};

// One number that a formula takes; a list of numbers is offered as kMostWorkFields of one kind.
inline constexpr std::size_t kMostWorkFields = 4;
struct WorkField {
  const trade::Input* input = nullptr;
  bool needed = true;
};
std::vector<WorkField> work_fields(const trade::Formula& formula);

// A formula being worked out: what the keypad has typed.
struct Working {
  const trade::Formula* formula = nullptr;
  int field = 0;
  std::array<std::string, kMostWorkFields> typed;
};
struct WorkedOut {
  std::vector<trade::Result> results;
  std::string problem;   // why there are none
  bool missing = false;  // only because not everything is typed yet
};
WorkedOut work_out(const Working& working);

// The guided diagnosis of the job at hand, as of the last answer.
struct Guide {
  std::shared_ptr<const diagnosis::Case> a_case;
  diagnosis::Outlook outlook;
};

// A code's freeze frame, as it is being entered.
struct Framing {
  std::string code;
  std::size_t field = 0;
  std::array<std::string, 10> typed;  // of job::frame_fields()
  bool other_units = false;           // °F, mph, inHg
};

// What a job came to, as it is being entered.
struct Coming {
  std::optional<shop::Result> result;
  std::string right;  // tip id, shop::kNoneOfThese, or empty: not known
  std::string part;
  int field = 0;                     // 0 odometer, 1 minutes
  bool pad = false;                  // a phone has room for the keypad only when it is asked for
  std::array<std::string, 2> typed;  // what the keypad has typed for each
  bool miles = false;
};

// What the terminal says once, at the foot of the content, until the next tap.
struct Notice {
  std::string lead;
  std::string more;
  bool bad = false;
  bool undo = false;  // with a key that takes back what was just done
};

struct PictureView {
  enum class State { loading, ready, failed } state = State::loading;
  void* texture = nullptr;
  int width = 0;
  int height = 0;
  bool drawing = false;
  std::string why;  // when failed
  std::uint64_t used = 0;
  double pulse_from = -1;  // when its marks began to pulse, once; below 0: never
};

struct State {
  // --- the terminal and its shop
  job::Terminal terminal;
  std::string shop_folder;
  shop::Settings shop;
  bool demo = false;  // no shop of its own yet
  bool shop_gone = false;
  std::string copy_time;  // of the store's copy while the shop is gone
  store::Counts counts;
  std::optional<Progress> building;  // the store, from the files; nothing: idle
  std::shared_ptr<const shop::Vocabulary> vocabulary = std::make_shared<shop::Vocabulary>();
  std::vector<TipLine> often;      // shown before anything is typed
  std::vector<std::string> words;  // for suggestions, sorted
  std::vector<shop::Question> questions;

  // --- jobs
  std::vector<job::Job> jobs;
  std::string job;   // id of the current one
  job::Board board;  // of all bays, as their files are

  // --- where we are
  Screen screen = Screen::job;
  std::vector<Screen> back;

  // --- Job
  TextBuffer line;
  bool typing = false;  // the line has the caret and the keyboard shows
  search::Answer answer;
  bool answered = false;     // for the line as it stands
  bool show_parked = false;  // phone: the parked list instead of the results
  bool vin_given = false;    // the job's VIN is at hand, and its vehicle is not chosen yet
  std::vector<job::VinGuess> guesses;  // vehicles such a VIN turned out to be before

  // --- Tip
  std::optional<TipPage> tip;
  std::string opening;  // id being opened
  int fastener = 0;     // shown beside
  int picture = 0;
  std::string scroll_to;         // anchor to bring into view on the next frame
  std::string here = "symptom";  // section in view
  std::string question;          // typed and not yet kept by the shop
  bool symptom_open = false;     // all of a long symptom shows

  // --- Reading and the torque adapter
  Taking taking;
  Adapter adapter;
  Working working;
  Framing framing;

  // --- Next check, the ledger, Outcome
  std::optional<Guide> guide;
  std::size_t ledger = 0;  // which cause of the case
  Coming coming;
  std::vector<shop::Finished> finished;  // newest first
  std::string find_finished;             // words that narrow their list
  std::string came_back;                 // id of the outcome whose comeback is being told
  std::string came_back_odometer;        // as typed
  std::string came_back_readings;

  // --- Part and the order list
  std::shared_ptr<const quality::History> history;  // nullptr: not counted yet
  std::optional<PartPage> part;
  std::string part_opening;  // name of the part asked for
  PartView part_view = PartView::rivals;
  std::string part_found;  // the line names this part: "Halden 88-214"; empty: it names none
  std::string part_lot;    // typed or scanned for the part in the hand

  // --- Packs
  PacksView packs;

  // --- pictures
  PhotosView photos;
  // --- Sheet
  SheetView sheet;

  // --- Write, asking, menus
  Writing write;
  Asking ask;
  Menu menu;
  bool number_keys = false;    // the on-screen keyboard's second page
  bool hard_keyboard = false;  // keys came from a hardware keyboard: ours stays away

  // --- the terminal itself
  Rest rest = Rest::awake;
  double calibrating = 0;          // pixels per inch that the ruler is drawn for
  Screen help_of = Screen::job;    // the screen that Help is about
  bool setting_up = false;         // the first questions are being answered
  std::vector<ShopFolder> nearby;  // shops found to open
  int tour = 0;                    // step being shown, from 1; 0: none
  std::optional<Writing> dropped;  // the draft dropped last, until something else is written

  std::optional<Notice> notice;
  std::map<std::string, PictureView> pictures;  // by path

  [[nodiscard]] job::Job* current();
  [[nodiscard]] const job::Job* current() const;
  [[nodiscard]] bool ticked(const std::string& key) const;
};

// The check of that id on a tip: one of its checks, or a verification with an expectation of its
// own.
std::optional<shop::Check> check_named(const shop::Tip& tip, std::string_view id);
// A verification as a check: the one it repeats, else its own expectation.
shop::Check check_of(const shop::Tip& tip, const shop::Verification& verification);
// What Reading has so far; its result is empty when nothing was entered.
job::Reading reading_of(const State& state);
// The check that Reading is about: of the tip, or of the part in the hand. A point of a part's
// look-over is a check with a plain answer.
std::optional<shop::Check> taken_check(const State& state);
// The acceptance checks of a family: its checks, then its look-over points.
std::vector<shop::Check> acceptance_of(const shop::PartFamily& family);
// How one of them stands for the part shown.
job::Judged accepted(const State& state, const shop::Check& check);
// Of the part shown: those that are not as expected.
std::vector<std::string> not_as_expected(const State& state);

// The order list of the job at hand: each part with what goes with it, then the fasteners of the
// tip being worked on that are used once.
struct OrderGroup {
  std::string part;  // empty: the tip's own
  std::string title;
  std::vector<shop::OrderLine> lines;
};
std::vector<OrderGroup> order_groups(const State& state);

// Units a reading may be entered in: the written one first, then the trade's others of its
// dimension.
std::vector<const trade::Unit*> units_beside(trade::UnitId written);

// Open and parked jobs of other bays that this one does not have.
std::vector<const job::Elsewhere*> other_bays(const State& state);
// Earlier jobs of the car of the job at hand, last written first.
std::vector<const job::Past*> earlier_jobs(const State& state);
// What is to be done next on the job at hand, as far as the guide and the tip being worked on say;
// empty when they do not.
std::string next_step_of(const State& state);

// What is said of a fastener of the page: the findings on the lines of its entry.
std::vector<const shop::Finding*> findings_at(const TipPage& page, const shop::Fastener& fastener);

// Names of the open tip's fasteners that are not marked tight, once work on its repair has begun.
std::vector<std::string> not_tight(const State& state);

// What a tick is stored under.
std::string tick_key(const shop::Check& check);
std::string tick_key(const shop::Fastener& fastener);
std::string tick_key(const shop::Verification& verification);
std::string step_key(std::string_view step);
std::string finish_key(std::string_view item);

// What is left to do on a tip, in working order, and what the primary key does about it.
struct Todo {
  enum class Kind { check, step, fastener, finish, verify } kind = Kind::check;
  std::string key;
  std::string anchor;  // to scroll to
  int index = 0;
};
std::vector<Todo> todo_of(const shop::Tip& tip);
// The first that is not ticked from the section in view on, else the first of all; nullptr when all
// are ticked.
const Todo* next_todo(const std::vector<Todo>& all, const State& state);

}  // namespace baylore::viewer
