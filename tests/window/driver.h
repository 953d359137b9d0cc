// Drives the real viewer in a real X window: taps, drags and keys go in as X events (XTEST), the
// way a panel and a keyboard send them. What is tapped is found by name in what the application
// says it drew; screenshots are for people.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "viewer/platform/window.h"
#include "viewer/state/app.h"

namespace baylore::test {

struct DriverOptions {
  int width = 1280;
  int height = 800;
  std::string theme = "light";
  std::string hand = "glove";
  std::string language = "en";
  int text_percent = 100;
  std::string shop;          // folder that may be written to
  std::string store_folder;  // folder that may be written to
  std::string state_folder;
  bool demo = false;
  std::string photo_program;
  std::vector<std::string> pack_places;
  std::vector<std::string> photo_places;
};

class Driver {
 public:
  explicit Driver(const DriverOptions& options);
  ~Driver();
  Driver(const Driver&) = delete;
  Driver& operator=(const Driver&) = delete;

  [[nodiscard]] bool ok() const { return window_ != nullptr; }
  [[nodiscard]] const std::string& why() const { return why_; }
  [[nodiscard]] viewer::App& app() { return *app_; }

  // Draws `n` frames, taking in whatever events are there.
  void frames(int n);
  // Draws until nothing is under way or `seconds` pass; true when it came to rest.
  bool settle(double seconds = 20);
  // Draws until `done` or `seconds` pass.
  bool until(const std::function<bool()>& done, double seconds = 20);
  // Taps the middle of a named target; scrolls it into view first where it is in a scrolling area.
  // False when there is no such target.
  bool tap(std::string_view name);
  // A finger that goes down at one point and up at another, in mm.
  void drag(float x1, float y1, float x2, float y2);
  // Keys of a hardware keyboard; '\n' is Enter, '\b' Backspace, '\t' Tab, '\x1b' Escape. ASCII
  // only.
  void type(std::string_view text);
  // Taps keys of the keyboard on the panel.
  bool tap_keys(std::string_view text);
  bool shot(const std::string& path);

 private:
  void frame();
  void pointer(float x_mm, float y_mm);
  void button(bool down);

  struct X;
  std::unique_ptr<X> x_;
  std::unique_ptr<viewer::Window> window_;
  std::unique_ptr<viewer::App> app_;
  std::string why_;
};

}  // namespace baylore::test
