#include "viewer/state/app.h"

#include <imgui.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

#include "files/names.h"
#include "trade/vin.h"
#include "viewer/screens/screens.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

constexpr double kDraftEvery =
    1.0;  // seconds of typing that a power cut may cost, with the write itself inside two
// What pictures may take in memory; the rest is decoded again. Those that the last frame showed
// stay.
constexpr std::size_t kPictureBytes = std::size_t{96} << 20U;
constexpr std::size_t kPicturesKept = 200;
constexpr std::size_t kPicturesAhead = 8;  // of an open tip, decoded before they are looked at
constexpr int kPictureSide = 1400;

// GLFW's key numbers, as the platform hands them on in ImGui's table (1.86 has no key names of its
// own for them all).
constexpr const char* kDraftNotKept = marked("Draft not kept: {0}");
constexpr int kF1 = 290;  // GLFW's number for it
struct KeyRow {
  ImGuiKey imgui;
  HardKey key;
};
constexpr KeyRow kKeys[] = {
    {ImGuiKey_Enter, HardKey::enter},
    {ImGuiKey_KeyPadEnter, HardKey::enter},
    {ImGuiKey_Escape, HardKey::escape},
    {ImGuiKey_Backspace, HardKey::erase},
    {ImGuiKey_Delete, HardKey::erase_forward},
    {ImGuiKey_LeftArrow, HardKey::left},
    {ImGuiKey_RightArrow, HardKey::right},
    {ImGuiKey_UpArrow, HardKey::up},
    {ImGuiKey_DownArrow, HardKey::down},
    {ImGuiKey_Home, HardKey::home},
    {ImGuiKey_End, HardKey::end},
    {ImGuiKey_PageUp, HardKey::page_up},
    {ImGuiKey_PageDown, HardKey::page_down},
};

}  // namespace

App::App(AppOptions options, job::Terminal terminal)
    : options_(std::move(options)),
      vin_patterns_(options_.disk != nullptr ? *options_.disk : files::real_disk(),
                    options_.state_folder) {
  state_.terminal = std::move(terminal);
  state_.shop_folder = options_.shop;
  state_.demo = options_.demo;
  take_language();
  gestures_.set_slop(Metrics{.hand = hand_named(state_.terminal.hand)}.slop());
  scan_watch_ = ScanWatch(state_.terminal.scanner_prefix);
  open_desk();
  if (!state_.terminal.set_up) {
    state_.setting_up = true;
    open_menu("first");
  }
}

App::~App() { flush(); }

void App::open_desk() {
  DeskOptions desk;
  desk.shop = state_.shop_folder;
  if (state_.demo) desk.demo_source = options_.demo_source;
  desk.store_folder = options_.store_folder;
  desk.state_folder = options_.state_folder;
  desk.terminal = state_.terminal.folder;
  desk.photo_program = options_.photo_program;
  desk.pack_places = options_.pack_places;
  desk.photo_places = options_.photo_places;
  desk.mounts = options_.mounts;
  desk.disk = options_.disk;
  desk.wake = options_.wake;
  desk_ = std::make_unique<Desk>(std::move(desk));
}

bool App::set_panel(int width_px, int height_px) {
  const Hand hand = hand_named(state_.terminal.hand);
  const Metrics next =
      metrics_for(width_px, height_px, state_.terminal.ppi, state_.terminal.text_percent, hand);
  const bool same = metrics_set_ && next.width_px == metrics_.width_px &&
                    next.height_px == metrics_.height_px && next.px_per_mm == metrics_.px_per_mm &&
                    next.text_scale == metrics_.text_scale;
  metrics_ = next;
  gestures_.set_slop(metrics_.slop());
  ui_.set_look(metrics_, theme_named(state_.terminal.theme), &fonts_);
  ui_.set_motion(state_.terminal.motion);
  if (same && !fonts_.wants_rebuild()) return false;
  metrics_set_ = true;
  fonts_.build(*ImGui::GetIO().Fonts, metrics_);
  return true;
}

FrameInput App::read_input(double now) {
  const ImGuiIO& io = ImGui::GetIO();
  FrameInput input;
  input.now = now;
  input.dt = static_cast<float>(std::clamp(now - now_, 0.0, 0.1));
  now_ = now;
  const bool known = ImGui::IsMousePosValid(&io.MousePos);
  const float k = metrics_.px();
  input.down = io.MouseDown[0];
  if (known) {
    input.x = io.MousePos.x / k;
    input.y = io.MousePos.y / k;
    input.gestures = gestures_.feed(now, input.x, input.y, input.down);
  } else if (!input.down) {
    input.gestures = gestures_.cancel();
  }
  if (io.MouseWheel != 0) {
    // A wheel is a drag without a finger.
    input.gestures.push_back(Gesture{Gesture::Kind::press, input.x, input.y, 0, 0});
    input.gestures.push_back(Gesture{Gesture::Kind::drag, input.x, input.y, 0, io.MouseWheel * 12});
  }
  for (const ImWchar c : io.InputQueueCharacters) input.typed.push_back(c);
  for (const KeyRow& row : kKeys) {
    if (ImGui::IsKeyPressed(io.KeyMap[row.imgui])) input.keys.push_back(row.key);
  }
  if (ImGui::IsKeyPressed(io.KeyMap[ImGuiKey_Tab]))
    input.keys.push_back(io.KeyShift ? HardKey::back_tab : HardKey::tab);
  if (ImGui::IsKeyPressed(kF1)) input.keys.push_back(HardKey::help);
  if (!input.keys.empty() || !input.typed.empty()) state_.hard_keyboard = true;
  return input;
}

bool App::on_keypad() const {
  return state_.screen == Screen::reading || state_.screen == Screen::adapter ||
         state_.screen == Screen::work_out || state_.screen == Screen::outcome ||
         state_.screen == Screen::frame;
}

// A keypad takes digits at once; when Enter tells that a scanner sent them, they are taken back and
// Enter is the scan's, not the screen's. Elsewhere a scan goes where typing goes.
App::Heard App::listen(FrameInput& input) {
  Heard heard;
  for (const char32_t c : std::exchange(input.typed, {})) {
    std::string one;
    append_utf8(one, c);
    if (scan_watch_.take(one, input.now) && on_keypad())
      before_scan_ = {state_.taking, state_.adapter, state_.working, state_.framing, state_.coming};
    if (!scan_watch_.in_scan()) heard.typing += one;
  }
  const auto enter = std::find(input.keys.begin(), input.keys.end(), HardKey::enter);
  if (enter == input.keys.end()) return heard;
  const bool prefixed = scan_watch_.in_scan();
  std::string scanned = scan_watch_.end(input.now);
  if (scanned.empty() || (!on_keypad() && !prefixed)) return heard;
  input.keys.erase(enter);
  if (!on_keypad()) return {std::move(heard.typing), std::move(scanned)};
  state_.taking = before_scan_.taking;
  state_.adapter = before_scan_.adapter;
  state_.working = before_scan_.working;
  state_.framing = before_scan_.framing;
  state_.coming = before_scan_.coming;
  return {{}, std::move(scanned)};
}

void App::frame(double now) {
  take_events();
  FrameInput input = read_input(now);
  rest_.set(state_.terminal.dim_minutes, state_.terminal.hide_minutes);
  rest_or_wake(input);
  watch_the_clock();
  const bool tapped = std::any_of(input.gestures.begin(), input.gestures.end(),
                                  [](const Gesture& g) { return g.kind == Gesture::Kind::tap; });
  const Heard heard = listen(input);
  ui_.begin(ImGui::GetBackgroundDrawList(), std::move(input));
  Actions actions;
  // Typed characters go to what has the caret, and without one to the line: a scanner or a keyboard
  // needs no field touched first.
  if (!heard.typing.empty()) {
    ui_.clear_focus();  // Enter is for what is being typed, not for what Tab came to before
    actions.push_back({Do::type, heard.typing});
  }
  if (!heard.scanned.empty()) actions.push_back({Do::scanned, heard.scanned});
  draw_screens(ui_, state_, actions);
  ui_.end();
  // A finger on the panel brings the on-screen keyboard back, but only after its tap was given out:
  // the keyboard moves what the finger was aimed at.
  if (tapped) state_.hard_keyboard = false;
  for (const Action& action : actions) apply(action);
  want_pictures();
  check_writing();
  keep_draft_if_due();
}

bool App::restless() const { return ui_.moving() || !state_.scroll_to.empty(); }

double App::deadline() const {
  double due = gestures_.deadline();
  const auto sooner = [&](double t) {
    if (t > 0 && (due == 0 || t < due)) due = t;
  };
  if (state_.write.changed_at > 0) sooner(state_.write.changed_at + kDraftEvery);
  sooner(rest_.deadline(now_));
  return due;
}

std::string App::busy() const {
  if (serial_ != answered_) return "search";
  if (guide_serial_ != guided_) return "diagnosis";
  if (part_serial_ != part_shown_) return "part";
  if (!state_.opening.empty()) return "opening " + state_.opening;
  return desk_->busy();
}

void App::flush() {
  if (state_.write.active && state_.write.changed_at > 0) {
    state_.write.changed_at = now_ - 2 * kDraftEvery;
    keep_draft_if_due();
  }
}

// --- events

void App::take_events() {
  if (held_ && !gestures_.down()) {
    Searched waited = std::move(*held_);
    held_.reset();
    take(waited);
  }
  if (held_guide_ && !gestures_.down()) {
    Guided waited = std::move(*held_guide_);
    held_guide_.reset();
    take(waited);
  }
  for (Event& event : desk_->take()) {
    std::visit([this](auto& one) { take(one); }, event);
  }
}

void App::take(Searched& event) {
  if (event.serial != serial_) return;  // an older line's answer
  // Results never jump under a finger that is already down: the answer waits until it is up.
  if (gestures_.down()) {
    held_ = std::move(event);
    return;
  }
  answered_ = event.serial;
  state_.answer = std::move(event.answer);
  state_.answered = true;
  state_.part_found = part_in_line();
  const std::string enter_on = std::exchange(enter_on_, {});
  if (!enter_on.empty() && enter_on == state_.line.text() && state_.screen == Screen::job)
    apply({Do::open_best, {}});
}

void App::take(Opened& event) {
  if (event.asked != state_.opening) return;
  state_.opening.clear();
  if (!event.page) {
    // Read again behind another screen, such as after a pack was taken out: nobody asked for it.
    const bool behind = state_.tip && state_.tip->row.id == event.asked;
    if (behind && state_.screen != Screen::tip) {
      state_.tip.reset();
      return;
    }
    state_.notice = Notice{tr("This tip is not there any more"),
                           tr("It was renamed or taken away; search again."), true};
    return;
  }
  const bool same = state_.tip && state_.tip->row.id == event.page->row.id;
  state_.tip = std::move(event.page);
  if (!same) {
    state_.fastener = 0;
    state_.picture = 0;
    state_.here = "symptom";
    state_.symptom_open = false;
    ui_.scroll_state("tip") = {};
  }
  read_on_opened();
  if (job::Job* now = state_.current();
      now != nullptr && now->tip != state_.tip->tip.id && !state_.tip->tip.provisional_id) {
    now->tip = state_.tip->tip.id;
    keep_job();
  }
}

void App::take(Guided& event) {
  if (event.serial != guide_serial_) return;  // a newer one is under way
  if (gestures_.down()) {
    held_guide_ = std::move(event);
    return;
  }
  guided_ = event.serial;
  state_.guide = std::move(event.guide);
}

void App::take(ShopNews& event) {
  state_.shop_gone = event.gone;
  state_.copy_time = event.copy_time;
  if (!event.problem.empty() && !event.gone)
    state_.notice = Notice{tr("The shop could not be read"), event.problem, true};
  if (event.vocabulary == nullptr) return;
  state_.shop = std::move(event.settings);
  state_.counts = event.counts;
  state_.vocabulary = std::move(event.vocabulary);
  state_.often = std::move(event.often);
  state_.words = std::move(event.words);
  state_.questions = std::move(event.questions);
  state_.finished = std::move(event.finished);
  // What is shown follows the files: the list is asked again, the open tip read again.
  search_now();
  reopen_tip();
}

void App::take(Checked& /*event*/) { reopen_tip(); }

void App::reopen_tip() {
  if (!state_.tip || state_.tip->preview || !state_.opening.empty()) return;
  state_.opening = state_.tip->row.id;
  desk_->open_tip(state_.opening,
                  state_.current() != nullptr ? state_.current()->vehicle : search::Vehicle{});
}

void App::take(Building& event) {
  if (event.total <= 0 || event.done >= event.total) {
    state_.building.reset();
    return;
  }
  if (!state_.building) state_.building = Progress(now_);
  state_.building->at(static_cast<std::uint64_t>(event.done),
                      static_cast<std::uint64_t>(event.total), now_);
}

void App::take(JobsRead& event) {
  // A job begun before the files were read stays; the files' own come beside it.
  for (job::Job& job : event.jobs) {
    const auto same = [&](const job::Job& j) { return j.id == job.id; };
    if (std::none_of(state_.jobs.begin(), state_.jobs.end(), same))
      state_.jobs.push_back(std::move(job));
  }
  if (state_.current() == nullptr) {
    const auto open = std::find_if(state_.jobs.begin(), state_.jobs.end(),
                                   [](const job::Job& j) { return j.state == job::State::open; });
    if (open != state_.jobs.end()) {
      apply({Do::open_job, open->id});
    } else {
      start_job({});
    }
  }
  if (!event.findings.empty()) {
    state_.notice = Notice{tr("A job file is damaged"), event.findings.front().text(), true};
  }
}

void App::take(BoardRead& event) {
  job::Board before = std::exchange(state_.board, std::move(event.board));
  for (const auto& [id, gone] : state_.board.gone) {
    const auto at = std::find_if(state_.jobs.begin(), state_.jobs.end(),
                                 [&id = id](const job::Job& j) { return j.id == id; });
    // What was changed here since is a version of its own: it stays.
    if (at == state_.jobs.end() || at->touched != gone.touched) continue;
    const std::string what =
        say("Job {0} was taken over by {1}", at->number,
            gone.bay + (gone.initials.empty() ? "" : " (" + gone.initials + ")"));
    const std::string of =
        at->vehicle.empty() ? at->complaint() : at->vehicle.text() + ", " + at->complaint();
    const bool current = id == state_.job;
    state_.jobs.erase(at);
    if (current) {
      start_job({});
      state_.screen = Screen::job;
      state_.back.clear();
    }
    state_.notice = Notice{what, of, false};
  }
  for (const auto& [id, bays] : state_.board.also) {
    if (before.also.contains(id)) continue;
    const auto at = std::find_if(state_.jobs.begin(), state_.jobs.end(),
                                 [&id = id](const job::Job& j) { return j.id == id; });
    if (at == state_.jobs.end()) continue;
    state_.notice = Notice{say("{0} has job {1} too", bays.front(), at->number),
                           say("Both bays wrote on it, and both versions are kept. More, Leave it "
                               "to {0}, ends this one.",
                               bays.front()),
                           true};
  }
}

void App::take(CarMarked& event) {
  if (event.failure) {
    state_.notice = Notice{tr("This car will not be known again"), event.failure->text(), true};
    return;
  }
  for (job::Job& job : state_.jobs) {
    if (job.id != event.job || job.cars == event.marks) continue;
    job.cars = event.marks;
    job.touched = files::now_text();
    job.bay = state_.terminal.name;
    desk_->save_job(job);
  }
}

void App::take(DraftRead& event) {
  if (state_.write.active) return;
  begin_writing(event.path, event.before, shop::Document::parse(event.text));
  state_.write.draft_id = event.id;
  state_.write.active = true;
  state_.notice = Notice{tr("A draft is waiting"), tr("Write goes on where it was left."), false};
}

void App::take(JobSaved& event) {
  // The job waits here and is written later: what is lost for good is said first.
  if (!event.failure || (state_.notice && state_.notice->bad)) return;
  state_.notice = event.failure->kind == files::Failure::Kind::full
                      ? Notice{tr("Not saved; free 20 MB"),
                               tr("Ticks are kept in memory until there is room."), true}
                      : Notice{tr("Kept on this terminal"), event.failure->text(), true};
}

void App::take(DraftKept& event) {
  if (!event.failure) {
    if (state_.write.failure.starts_with(say(kDraftNotKept, ""))) state_.write.failure.clear();
    return;
  }
  state_.write.failure =
      say(kDraftNotKept, event.failure->kind == files::Failure::Kind::full ? tr("free 20 MB")
                                                                           : event.failure->text());
}

void App::take(TipSaved& event) {
  if (event.draft != state_.write.draft_id) return;
  state_.write.saving = false;
  if (event.failure) {
    state_.write.conflict = event.failure->kind == files::Failure::Kind::exists;
    state_.write.failure = event.failure->kind == files::Failure::Kind::full
                               ? tr("Not saved; free 20 MB")
                           : state_.write.conflict ? tr("Someone else changed this tip meanwhile")
                                                   : event.failure->text();
    return;
  }
  state_.write = Writing{};
  state_.notice = Notice{tr("Saved"), event.path, false};
  state_.screen = Screen::job;
  state_.back.clear();
  apply({Do::open_tip, event.id});
}

void App::take(QuestionSaved& event) {
  if (!event.failure) {
    state_.question.clear();
    return;
  }
  // What was typed is not lost: the next "Question this tip" begins with it.
  state_.notice = Notice{tr("The question was not kept; its text is"), event.failure->text(), true};
}

void App::take(PictureDecoded& event) {
  PictureView& view = state_.pictures[event.key];
  if (!event.picture) {
    view.state = PictureView::State::failed;
    view.why = event.why;
    return;
  }
  photo::Picture& p = *event.picture;
  view.drawing = p.drawing;
  if (p.drawing) {
    // Line art takes the theme: darkness becomes opacity, and the ink's colour is put on when it is
    // drawn.
    for (std::size_t i = 0; i + 3 < p.rgba.size(); i += 4) {
      p.rgba[i + 3] = static_cast<std::uint8_t>(255 - p.rgba[i]);
      p.rgba[i] = p.rgba[i + 1] = p.rgba[i + 2] = 255;
    }
  }
  view.width = p.width;
  view.height = p.height;
  if (view.texture != nullptr && options_.drop_texture) options_.drop_texture(view.texture);
  view.texture =
      options_.make_texture ? options_.make_texture(p.width, p.height, p.rgba.data()) : nullptr;
  view.state = view.texture != nullptr ? PictureView::State::ready : PictureView::State::failed;
  view.pulse_from = now_;
  if (view.texture == nullptr) view.why = "no room for the picture";
  drop_old_pictures();
}

void App::take(ShopStarted& event) {
  if (event.failure) {
    state_.notice = Notice{tr("The shop was not started"), event.failure->text(), true};
    return;
  }
  state_.terminal.shop = event.folder;
  save_terminal();
  state_.shop_folder = event.folder;
  state_.demo = false;
  state_.jobs.clear();
  state_.job.clear();
  state_.board = {};
  state_.tip.reset();
  state_.answer = {};
  state_.often.clear();
  state_.screen = Screen::job;
  state_.back.clear();
  open_desk();
  if (state_.setting_up) open_menu("first");
}

// --- pictures

// What the frame showed, and the open tip's first pictures before they are scrolled to.
void App::want_pictures() {
  shown_from_ = picture_clock_;
  std::set<std::string> outside;
  const auto want = [&](const AskedPicture& asked) {
    PictureView& view = state_.pictures[asked.key];
    view.used = ++picture_clock_;
    if (asked.camera) outside.insert(asked.key);
    if (view.state != PictureView::State::loading || view.width != 0) return;
    view.width = -1;  // asked for
    if (asked.camera) {
      desk_->photos().in_view(outside);
      desk_->photos().thumb(asked.key, asked.file, asked.side);
    } else {
      desk_->decode(asked.key, asked.beside, asked.file, asked.side);
    }
  };
  const auto ahead = [&](const std::string& path, const std::vector<shop::Picture>& pictures) {
    for (std::size_t i = 0; i < pictures.size() && i < kPicturesAhead; ++i)
      want({picture_key(path, pictures[i]), path, pictures[i].file, kPictureSide, false});
  };
  if (state_.tip) ahead(state_.tip->row.path, state_.tip->tip.pictures);
  if (state_.part && state_.screen == Screen::part)
    ahead(state_.part->family.path, state_.part->family.pictures);
  for (AskedPicture asked : ui_.asked_pictures()) {
    if (asked.side == 0) asked.side = kPictureSide;
    want(asked);
  }
  desk_->photos().in_view(std::move(outside));
}

void App::drop_old_pictures() {
  const auto bytes = [](const PictureView& view) {
    return view.texture == nullptr ? std::size_t{0}
                                   : std::size_t{4} * static_cast<std::size_t>(view.width) *
                                         static_cast<std::size_t>(view.height);
  };
  std::size_t all = 0;
  for (const auto& [key, view] : state_.pictures) all += bytes(view);
  while (all > kPictureBytes || state_.pictures.size() > kPicturesKept) {
    const auto oldest = std::min_element(
        state_.pictures.begin(), state_.pictures.end(),
        [](const auto& a, const auto& b) { return a.second.used < b.second.used; });
    if (oldest == state_.pictures.end() || oldest->second.used > shown_from_) break;
    all -= bytes(oldest->second);
    if (oldest->second.texture != nullptr && options_.drop_texture)
      options_.drop_texture(oldest->second.texture);
    state_.pictures.erase(oldest);
  }
}

// --- keeping

void App::keep_job() {
  job::Job* now = state_.current();
  if (now == nullptr) return;
  // What was typed so far goes with every tap; VINs are taken out as it is written.
  now->line = trade::without_vins(state_.line.text());
  now->touched = files::now_text();
  now->bay = state_.terminal.name;
  desk_->save_job(*now);
}

void App::keep_draft_if_due() {
  Writing& w = state_.write;
  // While it is being saved the desk takes the draft away; one kept now would outlive that.
  if (!w.active || w.saving || w.changed_at == 0 || now_ < w.changed_at + kDraftEvery) return;
  shop::Document whole = w.document;
  if (!w.field.empty()) put_field(whole, w.field, w.buffer.text());
  desk_->keep_draft(Draft{w.draft_id, w.path, w.before, whole.bytes()});
  w.changed_at = 0;
}

// A fifth of a millisecond, so at every key: what is wrong shows while it is being typed.
void App::check_writing() {
  if (!std::exchange(unchecked_, false)) return;
  if (state_.write.active) state_.write.findings = findings_of(state_.write);
}

void App::save_terminal() {
  files::Disk& disk = options_.disk != nullptr ? *options_.disk : files::real_disk();
  if (const auto saved = job::save_terminal(disk, options_.state_folder, state_.terminal); !saved) {
    state_.notice = Notice{tr("The setting is not kept"), saved.failure().text(), true};
  }
}

}  // namespace baylore::viewer
