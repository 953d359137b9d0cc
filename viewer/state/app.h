// Puts state, screens and desk together: one call a frame. No window in here; the platform feeds
// ImGui's input and presents what was drawn.
#pragma once

#include <functional>
#include <memory>
#include <string>

#include "viewer/input/gesture.h"
#include "viewer/input/scan_watch.h"
#include "viewer/services/desk.h"
#include "viewer/state/action.h"
#include "viewer/state/state.h"
#include "viewer/ui/ui.h"

namespace baylore::viewer {

struct AppOptions {
  std::string shop;  // folder; the demo's when `demo`
  bool demo = false;
  std::string
      demo_source;  // the demo's files are copied from here to `shop` when they are not there
  std::string store_folder;  // empty: the user's cache
  std::string state_folder;  // terminal.json, drafts
  std::string photo_program;
  std::string words_folder;               // holds es/LC_MESSAGES/baylore.mo and its like
  std::vector<std::string> pack_places;   // folders for packs, besides what is mounted
  std::vector<std::string> photo_places;  // folders of cameras, besides what is mounted
  std::string mounts;                     // the table of what is mounted; empty: no sticks
  files::Disk* disk = nullptr;
  std::function<void()> wake;
  // How far the clock on the wall is ahead of one that nobody sets, in seconds: a step in it is
  // somebody setting the clock. Empty: nobody looks.
  std::function<double()> wall_ahead;
  std::string home;  // the user's folder: shops are looked for in it; empty: not
  // Makes a texture of RGBA pixels on the drawing thread, and takes one back; without a window a
  // test gives any pointer.
  std::function<void*(int width, int height, const std::uint8_t* rgba)> make_texture;
  std::function<void(void*)> drop_texture;
};

class App {
 public:
  App(AppOptions options, job::Terminal terminal);
  ~App();
  App(const App&) = delete;
  App& operator=(const App&) = delete;

  // The panel as it is now; bakes the fonts anew when the sizes changed. True when the font texture
  // must be made again.
  bool set_panel(int width_px, int height_px);
  // Reads ImGui's IO, takes what the desk brought, draws one frame into ImGui's background list,
  // applies what was asked. Call between NewFrame and Render; `now` in seconds. Glyphs met for the
  // first time are baked by the next set_panel().
  void frame(double now);

  // Whether another frame is due by itself, and the time by which one must be drawn at the latest
  // (0: none): a sleeping loop waits for that.
  [[nodiscard]] bool restless() const;
  [[nodiscard]] double deadline() const;
  [[nodiscard]] bool wants_fonts() const { return fonts_.wants_rebuild(); }

  [[nodiscard]] State& state() { return state_; }
  [[nodiscard]] const State& state() const { return state_; }
  [[nodiscard]] Ui& ui() { return ui_; }
  [[nodiscard]] const FontShelf& fonts() const { return fonts_; }
  // What is under way; empty when nothing is and no event waits: for tests.
  [[nodiscard]] std::string busy() const;
  void apply(const Action& action);
  // Writes the draft and the job now: before the program ends.
  void flush();

 private:
  void open_desk();
  void take_events();
  void take(Checked& event);
  void take(Counted& event);
  void take(PartOpened& event);
  void take(RecordsTold& event);
  void take(Guided& event);
  void take(OutcomeSaved& event);
  void take(Searched& event);
  void take(Opened& event);
  void take(ShopNews& event);
  void take(Building& event);
  void take(JobsRead& event);
  void take(BoardRead& event);
  void take(CarMarked& event);
  void take(DraftRead& event);
  void take(JobSaved& event);
  void take(DraftKept& event);
  void take(TipSaved& event);
  void take(QuestionSaved& event);
  void take(PictureDecoded& event);
  void take(ShopStarted& event);
  void take(ShopLooked& event);
  void take(ShopsFound& event);
  void take(ShopChanged& event);
  void take(PacksSeen& event);
  void take(PackWorking& event);
  void take(PackOpened& event);
  void take(SealPlanned& event);
  void take(PackDone& event);
  void take(KeyShown& event);
  void take(PhotosSeen& event);
  void take(PhotosWorking& event);
  void take(PhotosTaken& event);
  void take(ThumbMade& event);
  void take(SheetMade& event);
  void take(SheetSaved& event);

  FrameInput read_input(double now);
  // Typed characters and the ending key, before the screens see them: what goes to them as typing,
  // and what was scanned on a keypad's screen (empty: nothing).
  struct Heard {
    std::string typing;
    std::string scanned;
  };
  Heard listen(FrameInput& input);
  [[nodiscard]] bool on_keypad() const;
  void want_pictures();
  void drop_old_pictures();
  void go(Screen screen);
  void go_back();
  void search_now();
  void look_for_vin();
  void vehicle_chosen();
  void forget_vin();
  void keep_job();
  void keep_line();
  void keep_draft_if_due();
  void check_writing();
  void reopen_tip();
  TextBuffer* caret_owner();
  void apply_typing(const Action& action);
  bool apply_job(const Action& action);
  bool apply_tip(const Action& action);
  bool apply_write(const Action& action);
  bool apply_reading(const Action& action);
  bool apply_next(const Action& action);
  bool apply_outcome(const Action& action);
  bool apply_part(const Action& action);
  bool apply_packs(const Action& action);
  bool apply_photos(const Action& action);
  void photos_menu(const std::string& what, Menu& menu) const;
  bool choose_photos(const std::string& row);
  bool submit_photos(const std::string& what, const std::string& text);
  void read_placed();
  void begin_marking(const std::string& file);
  void change_marked(const shop::Picture& picture);
  void take_photos();
  bool type_on_photo(const std::string& text);
  void forget_dropped();
  bool apply_sheet(const Action& action);
  void sheet_menu(Menu& menu) const;
  bool choose_sheet(const std::string& row);
  void packs_menu(const std::string& what, Menu& menu) const;
  bool choose_packs(const std::string& row);
  bool submit_packs(const std::string& what, const std::string& text);
  void begin_pack_work(PackWork work);
  void plan_pack();
  void accept_pack(const std::string& trust_as);
  [[nodiscard]] std::string who() const;
  [[nodiscard]] std::string part_in_line() const;
  [[nodiscard]] bool part_is_line() const;
  [[nodiscard]] const shop::Finished* finished_job() const;
  void open_finished(const std::string& outcome);
  void record_comeback(const std::string& reason);
  void ask_part(const std::string& name, quality::By by);
  void part_menu(const std::string& what, Menu& menu) const;
  bool choose_part(const std::string& row);
  void record_dead();
  void keep_reading();
  void begin_reading(const std::string& check, const std::string& part, bool after);
  void guide_now();
  void read_on_opened();
  void open_menu(const std::string& what);
  void choose(const std::string& row);
  void start_job(search::Vehicle vehicle);
  void leave_job();
  bool apply_frame(const Action& action);
  void forget_guide();
  void begin_writing(const std::string& path, const std::string& before, shop::Document document);
  void write_from(const job::Job& job, const shop::Outcome* outcome);
  void leave_field();
  void load_field(const std::string& key);
  void submit_asking();
  void save_terminal();
  void rest_or_wake(FrameInput& input);
  void watch_the_clock();
  bool apply_terminal(const Action& action);
  bool terminal_menu(const std::string& what, Menu& menu) const;
  bool choose_terminal(const std::string& row);
  bool submit_terminal(const std::string& what, const std::string& text);
  void show_tour();
  void undo();
  void open_shop_folder(const std::string& folder);
  void ask(std::string what, std::string title, std::string hint, const std::string& known);
  void take_language();
  void next_language();
  [[nodiscard]] std::string language_name() const;

  AppOptions options_;
  job::VinPatterns vin_patterns_;
  std::string vin_;  // of the job at hand, until its vehicle is chosen; never written anywhere
  State state_;
  Ui ui_;
  FontShelf fonts_;
  Metrics metrics_;
  bool metrics_set_ = false;
  GestureRecogniser gestures_{5.0F};
  ScanWatch scan_watch_;
  // What the keypads had typed before the keys at hand, should these turn out to be a scan.
  struct Keypads {
    Taking taking;
    Adapter adapter;
    Working working;
    Framing framing;
    Coming coming;
  };
  Keypads before_scan_;
  std::unique_ptr<Desk> desk_;
  double now_ = 0;
  std::uint64_t serial_ = 0;        // of the newest search asked for
  std::uint64_t answered_ = 0;      // of the newest answer shown
  std::uint64_t guide_serial_ = 0;  // of the newest diagnosis asked for
  std::uint64_t guided_ = 0;        // of the newest one shown
  std::uint64_t part_serial_ = 0;   // of the newest part asked for
  std::uint64_t part_shown_ = 0;    // of the newest one shown
  std::vector<std::string> part_choices_;
  std::vector<PartRecord> part_records_;  // of the list being shown
  std::string part_records_of_;
  std::string read_when_open_;  // check to read once its tip is there
  std::string recording_;       // id of the job whose outcome is being written
  // A part that was bad in the box, until its record is on the disk.
  struct RecordingDead {
    std::string job;
    std::string part;
    std::string lot;
    std::vector<job::Reading> seen;
  };
  std::optional<RecordingDead> recording_dead_;
  std::uint64_t picture_clock_ = 0;
  std::uint64_t shown_from_ = 0;  // the pictures of the last frame were used after this
  RestWatch rest_;
  std::optional<double> wall_ahead_;
  bool unchecked_ = false;  // what is being written changed since it was checked
  std::optional<Guided> held_guide_;
  std::optional<Searched> held_;  // an answer that waits for the finger to lift
  std::string enter_on_;  // the line Enter was pressed on before its answer was there; empty: none
};

}  // namespace baylore::viewer
