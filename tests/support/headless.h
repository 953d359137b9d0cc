// Drives the real App without a window or OpenGL: ImGui's input is filled in frame by frame the way
// the GLFW backend does it, on a clock of its own, so that a second of holding a finger still costs
// no second. Desk, store and files are the real ones, in folders the test gives.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "viewer/state/app.h"

struct ImGuiContext;

namespace baylore::test {

struct HeadlessOptions {
  int width = 1280;
  int height = 800;
  std::string theme = "light";
  std::string hand = "glove";
  std::string language = "en";
  int text_percent = 100;
  std::string shop;          // folder that may be written to
  std::string store_folder;  // folder that may be written to
  std::string state_folder;  // folder that may be written to
  std::string terminal = "bay-3-TEST01";
  std::string photo_program;  // empty: no picture is ever decoded
  std::vector<std::string> pack_places;
  std::vector<std::string> photo_places;
  bool demo = false;
  bool first_run = false;  // nobody has answered the first questions yet
  std::string demo_source;
};

class Headless {
 public:
  explicit Headless(HeadlessOptions options);
  ~Headless();
  Headless(const Headless&) = delete;
  Headless& operator=(const Headless&) = delete;

  [[nodiscard]] viewer::App& app() { return *app_; }
  [[nodiscard]] viewer::State& state() { return app_->state(); }
  [[nodiscard]] viewer::Ui& ui() { return app_->ui(); }
  [[nodiscard]] double now() const { return now_; }
  [[nodiscard]] int textures() const { return textures_; }

  // Draws `n` frames, a sixtieth of a second apart on the harness's own clock.
  void frames(int n = 1);
  // The harness's clock runs on by `seconds` with one frame a tenth; real time hardly passes.
  void pass(double seconds);
  // The clock runs on at once, and one frame is drawn: nobody was there meanwhile.
  void later(double seconds) { one_frame(seconds); }
  // Draws until `done` or until `seconds` of real time are over.
  bool until(const std::function<bool()>& done, double seconds = 20);
  // Draws until nothing is under way: three quiet frames running. False when it does not come to
  // rest.
  bool settle(double seconds = 20);
  // Waits for the shop's first build, then for rest.
  bool ready(double seconds = 60);

  // --- a finger; positions in mm
  void down(float x, float y);
  void move(float x, float y);
  void up();
  // Down and up in one place, in neighbouring frames.
  void tap_at(float x, float y);
  // Taps the middle of what is visible of a named target, drawing it into view with drags where it
  // lies in a scrolling area. False when there is no such target or it cannot be brought into view.
  bool tap(std::string_view name);
  // Down, some steps, held still, up: a drag and no throw.
  void drag(float x1, float y1, float x2, float y2);
  // Taps keys of the keyboard on the panel, turning its page where that is needed.
  bool tap_keys(std::string_view text);

  // --- a hardware keyboard or a scanner: UTF-8; '\n' is Enter, '\b' Backspace, '\t' Tab,
  // '\x1b' Escape
  void type(std::string_view text);

  // --- what is on the panel
  [[nodiscard]] bool has(std::string_view item) { return app_->ui().item(item) != nullptr; }
  // Whether some text in view, or the texts in view one after the other with blanks between, hold
  // this.
  [[nodiscard]] bool shows(std::string_view text);

  // Told after each frame how long the application's own part of it took, in seconds of real time:
  // input, screens, actions.
  std::function<void(double seconds)> on_drawn;

 private:
  void one_frame(double dt);
  void press_key(int key);

  HeadlessOptions options_;
  ImGuiContext* context_ = nullptr;
  std::unique_ptr<viewer::App> app_;
  double now_ = 1;
  float x_ = -1;
  float y_ = -1;
  bool known_ = false;
  bool down_ = false;
  int textures_ = 0;
};

// A copy of the demo shop that the test may change; `source_dir` is the project's folder.
void copy_demo_shop(const std::string& source_dir, const std::string& to);

}  // namespace baylore::test
