// Everything slower than a frame, off the drawing thread: searching, opening tips, building the
// store, saving, decoding pictures. Requests go in by calls that return at once; what came of them
// is taken out as events, and a wake-up ends the loop's sleep.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "diagnosis/find.h"
#include "files/disk.h"
#include "job/board.h"
#include "job/jobs.h"
#include "viewer/photo/client.h"
#include "viewer/services/drafts.h"
#include "viewer/services/pack_desk.h"
#include "viewer/services/photo_desk.h"
#include "viewer/services/sheet_desk.h"
#include "viewer/state/state.h"

namespace baylore::viewer {

// --- what comes back

struct Searched {
  std::uint64_t serial = 0;  // of the request
  search::Answer answer;
};
struct Opened {
  std::string asked;  // the id asked for
  std::optional<TipPage> page;
};
// The shop as it is now: after the first build, and after every change.
struct ShopNews {
  bool gone = false;
  std::string copy_time;
  shop::Settings settings;
  store::Counts counts;
  std::shared_ptr<const shop::Vocabulary> vocabulary;
  std::vector<TipLine> often;
  std::vector<std::string> words;
  std::vector<shop::Question> questions;
  std::vector<shop::Finished> finished;  // newest first, at most kFinishedTold
  std::string problem;                   // why the store could not be brought up to date
};
struct Building {
  std::int64_t done = 0;
  std::int64_t total = 0;
};
struct JobsRead {
  std::vector<job::Job> jobs;
  shop::Findings findings;
};
// The jobs of all bays as they are now, when anything about them changed.
struct BoardRead {
  job::Board board;
};
// A VIN's marks for the job it was typed on.
struct CarMarked {
  std::string job;
  std::vector<std::string> marks;
  std::optional<files::Failure> failure;
};
struct DraftRead {
  std::string id;
  std::string path;
  std::string before;
  std::string text;
};
struct JobSaved {
  std::string job;
  std::optional<files::Failure> failure;  // kept on this terminal meanwhile
};
struct DraftKept {
  std::string draft;
  std::optional<files::Failure> failure;
};
struct TipSaved {
  std::string draft;
  std::string path;
  std::string id;
  std::optional<files::Failure> failure;
};
struct QuestionSaved {
  std::optional<files::Failure> failure;
};
struct PictureDecoded {
  std::string key;
  std::optional<photo::Picture> picture;
  std::string why;
};
struct ShopStarted {
  std::string folder;
  std::optional<files::Failure> failure;
};
struct ShopLooked {
  std::string folder;
  bool is_shop = false;
};
struct ShopsFound {
  std::vector<ShopFolder> shops;
};
struct ShopChanged {
  std::optional<files::Failure> failure;
};
struct Guided {
  std::uint64_t serial = 0;  // of the request
  Guide guide;
};
struct OutcomeSaved {
  std::optional<files::Failure> failure;
};
// What became of every part fitted was counted anew.
struct Counted {
  std::shared_ptr<const quality::History> history;
};
struct PartOpened {
  std::uint64_t serial = 0;  // of the request
  std::optional<PartPage> page;
  std::vector<std::string> choices;  // more than one number is called so: which
};
struct RecordsTold {
  std::string part;
  std::vector<PartRecord> records;
};
// The whole shop was cross-checked: the open tip may have other findings than before.
struct Checked {};
using Event =
    std::variant<Checked, Counted, PartOpened, RecordsTold, Guided, OutcomeSaved, Searched, Opened,
                 ShopNews, Building, JobsRead, BoardRead, CarMarked, DraftRead, JobSaved, DraftKept,
                 TipSaved, QuestionSaved, PictureDecoded, ShopStarted, ShopLooked, ShopsFound,
                 ShopChanged, PacksSeen, PackWorking, PackOpened, SealPlanned, PackDone, KeyShown,
                 PhotosSeen, PhotosWorking, PhotosTaken, ThumbMade, SheetMade, SheetSaved>;

struct DeskOptions {
  std::string shop;           // folder
  std::string demo_source;    // copied to the shop's folder first, where files are missing there;
                              // empty: nothing to copy
  std::string store_folder;   // empty: the user's cache
  std::string state_folder;   // drafts and what waits for the shop to return
  std::string terminal;       // folder name of the terminal
  std::string photo_program;  // path of baylore-photo
  std::vector<std::string> pack_places;   // folders for packs, besides what is mounted
  std::vector<std::string> photo_places;  // folders of cameras, besides what is mounted
  std::string mounts;                     // the table of what is mounted; empty: no sticks
  files::Disk* disk = nullptr;            // nullptr: the real one
  std::function<void()> wake;             // called from any thread when an event is there
};

class Desk {
 public:
  explicit Desk(DeskOptions options);
  ~Desk();  // finishes the writes that were asked for
  Desk(const Desk&) = delete;
  Desk& operator=(const Desk&) = delete;

  std::vector<Event> take();

  // Newest wins: an older request that has not begun is dropped.
  void search(std::uint64_t serial, search::Query query);
  void open_tip(std::string id, search::Vehicle vehicle);
  void save_job(job::Job job);
  // Works out the marks of the VIN on that job; the VIN is kept nowhere.
  void mark_car(std::string job, std::string vin);
  void keep_draft(Draft draft);
  void drop_draft(std::string id);
  // `path` empty: a new tip. The document's id is written into it when it has none.
  void save_tip(std::string draft, std::string path, std::string before, std::string text);
  // The causes of a complaint with what was answered so far; newest wins.
  void diagnose(std::uint64_t serial, diagnosis::Complaint complaint,
                std::vector<diagnosis::Answer> answers, diagnosis::Options options);
  void record(shop::Record record);
  // The page of a part; newest wins. Waits for the first count of what was fitted.
  void open_part(std::uint64_t serial, PartAsked asked);
  // The jobs behind a number's figures.
  void tell_records(std::string part);
  void add_question(std::string tip, std::string who, std::string text);
  void settle_question(std::string question, std::string tip, std::string who);
  // Decodes one picture of a tip; the event carries KEY.
  void decode(std::string key, std::string tip_path, std::string name, int max_side);
  // Makes a shop folder with its shop.md.
  void start_shop(std::string folder, std::string name);
  // Looks for shops in those folders and right below them.
  void look_for_shops(std::vector<std::string> places);
  // Whether a folder is a shop's: ShopLooked. It may lie on a share that does not answer.
  void look_at_shop(std::string folder);
  // Sets one value of shop.md; with `item` the entry of that name in the list `key`, such as torque
  // in units. The file is read again first, and only these lines change.
  void set_shop_value(std::string key, std::string item, std::string value);
  // What is done with packs.
  [[nodiscard]] PackDesk& packs();
  // Pictures from sticks and cameras.
  [[nodiscard]] PhotoDesk& photos();
  // Working sheets.
  [[nodiscard]] SheetDesk& sheets();
  // Gives up bringing the store up to date; it stays as it was until something changes.
  void stop_building();
  // Says that the shop should be looked at again now.
  void look_again();
  // What is under way or waiting, by worker; empty when nothing is: for tests. The cross-check of
  // the shop, which rests most of the time, is left out.
  [[nodiscard]] std::string busy() const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

// A page from a document that is not saved: Write's preview.
TipPage preview_of(const shop::Document& document, const std::string& path,
                   const search::Vehicle& vehicle);

}  // namespace baylore::viewer
