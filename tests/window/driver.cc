#include "window/driver.h"

#include <GLFW/glfw3.h>
#include <X11/XKBlib.h>
#include <X11/Xlib.h>
#include <X11/Xutil.h>
#include <X11/extensions/XTest.h>
#include <X11/keysym.h>
#define STB_IMAGE_WRITE_IMPLEMENTATION
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wold-style-cast"
#pragma GCC diagnostic ignored "-Wconversion"
#pragma GCC diagnostic ignored "-Wsign-conversion"
#pragma GCC diagnostic ignored "-Wmissing-field-initializers"
#pragma GCC diagnostic ignored "-Wpedantic"
#include <stb_image_write.h>
#pragma GCC diagnostic pop

#include <chrono>
#include <cstdio>
#include <thread>

namespace baylore::test {

struct Driver::X {
  Display* display = nullptr;
  ~X() {
    if (display != nullptr) XCloseDisplay(display);
  }
};

Driver::Driver(const DriverOptions& o) : x_(std::make_unique<X>()) {
  x_->display = XOpenDisplay(nullptr);
  int ignored = 0;
  if (x_->display == nullptr ||
      XTestQueryExtension(x_->display, &ignored, &ignored, &ignored, &ignored) == 0) {
    why_ = "no X display with the XTEST extension";
    return;
  }
  window_.reset(viewer::Window::open({o.width, o.height, false}, why_));
  if (window_ == nullptr) return;
  viewer::AppOptions app;
  app.shop = o.shop;
  app.demo = o.demo;
  app.store_folder = o.store_folder;
  app.state_folder = o.state_folder;
  app.words_folder = BAYLORE_WORDS;
  app.photo_program = o.photo_program;
  app.pack_places = o.pack_places;
  app.photo_places = o.photo_places;
  app.wake = viewer::Window::wake;
  app.make_texture = viewer::Window::make_texture;
  app.drop_texture = viewer::Window::drop_texture;
  job::Terminal terminal;
  terminal.name = "bay-3";
  terminal.folder = "bay-3-TEST01";
  terminal.theme = o.theme;
  terminal.language = o.language;
  terminal.hand = o.hand;
  terminal.set_up = true;
  terminal.text_percent = o.text_percent;
  app_ = std::make_unique<viewer::App>(std::move(app), std::move(terminal));
  frames(3);
}

Driver::~Driver() {
  app_.reset();
  window_.reset();
}

void Driver::frame() {
  window_->poll();
  if (app_->set_panel(window_->width(), window_->height())) window_->remake_font_texture();
  window_->begin_frame();
  app_->frame(viewer::clock_seconds());
  window_->end_frame();
}

void Driver::frames(int n) {
  for (int i = 0; i < n; ++i) frame();
}

bool Driver::until(const std::function<bool()>& done, double seconds) {
  const double end = viewer::clock_seconds() + seconds;
  for (;;) {
    frame();
    if (done()) return true;
    if (viewer::clock_seconds() > end) return false;
    std::this_thread::sleep_for(std::chrono::milliseconds(2));
  }
}

bool Driver::settle(double seconds) {
  int calm = 0;
  return until(
      [&] {
        // A result may be on its way from one thread to the next: rest is three quiet frames
        // running.
        calm = app_->busy().empty() && !app_->restless() && !app_->wants_fonts() ? calm + 1 : 0;
        return calm >= 3;
      },
      seconds);
}

void Driver::pointer(float x_mm, float y_mm) {
  int wx = 0;
  int wy = 0;
  glfwGetWindowPos(glfwGetCurrentContext(), &wx, &wy);
  const float k = app_->ui().metrics().px();
  XTestFakeMotionEvent(x_->display, -1, wx + static_cast<int>(x_mm * k),
                       wy + static_cast<int>(y_mm * k), CurrentTime);
  XSync(x_->display, False);
  std::this_thread::sleep_for(std::chrono::milliseconds(2));
  frames(2);
}

void Driver::button(bool down) {
  XTestFakeButtonEvent(x_->display, 1, down ? True : False, CurrentTime);
  XSync(x_->display, False);
  std::this_thread::sleep_for(std::chrono::milliseconds(2));
  frames(2);
}

bool Driver::tap(std::string_view name) {
  frames(1);
  for (int tries = 0; tries < 60; ++tries) {
    const viewer::Item* item = app_->ui().item(name);
    if (item == nullptr) return false;
    if (item->visible.h >= std::min(item->rect.h * 0.6F, 9.0F) && item->visible.w > 3) break;
    // Below or above the view: a finger scrolls it in.
    const viewer::Rect screen = app_->ui().screen();
    const float x = item->rect.x + std::min(item->rect.w / 2, 30.0F);
    const float mid = screen.h * 0.45F;
    const bool below = item->rect.y > mid;
    drag(x, mid, x, below ? mid - 22 : mid + 22);
    frames(2);
  }
  const viewer::Item* item = app_->ui().item(name);
  if (item == nullptr) return false;
  pointer(item->visible.x + item->visible.w / 2, item->visible.y + item->visible.h / 2);
  button(true);
  button(false);
  settle();
  return true;
}

void Driver::drag(float x1, float y1, float x2, float y2) {
  pointer(x1, y1);
  button(true);
  constexpr int kSteps = 8;
  for (int i = 1; i <= kSteps; ++i) {
    const float part = static_cast<float>(i) / kSteps;
    pointer(x1 + (x2 - x1) * part, y1 + (y2 - y1) * part);
  }
  // Held still before it lifts, so that this is a drag and not a throw.
  std::this_thread::sleep_for(std::chrono::milliseconds(130));
  frames(2);
  button(false);
  settle();
}

void Driver::type(std::string_view text) {
  for (const char c : text) {
    KeySym symbol = static_cast<KeySym>(static_cast<unsigned char>(c));
    if (c == '\n') symbol = XK_Return;
    if (c == '\b') symbol = XK_BackSpace;
    if (c == '\t') symbol = XK_Tab;
    if (c == '\x1b') symbol = XK_Escape;
    const KeyCode code = XKeysymToKeycode(x_->display, symbol);
    if (code == 0) continue;
    const bool shift = XkbKeycodeToKeysym(x_->display, code, 0, 0) != symbol;
    const KeyCode shift_code = XKeysymToKeycode(x_->display, XK_Shift_L);
    if (shift) XTestFakeKeyEvent(x_->display, shift_code, True, CurrentTime);
    XTestFakeKeyEvent(x_->display, code, True, CurrentTime);
    XSync(x_->display, False);
    frames(2);
    XTestFakeKeyEvent(x_->display, code, False, CurrentTime);
    if (shift) XTestFakeKeyEvent(x_->display, shift_code, False, CurrentTime);
    XSync(x_->display, False);
    frames(2);
  }
  settle();
}

bool Driver::tap_keys(std::string_view text) {
  for (const char c : text) {
    const bool digit = c >= '0' && c <= '9';
    if (c != ' ' && digit != app_->state().number_keys &&
        app_->ui().item(std::string("key:") + c) == nullptr) {
      if (!tap(digit ? "key:123" : app_->state().number_keys ? "key:abc" : "key:123")) return false;
    }
    if (!tap(c == ' ' ? std::string("key:space") : std::string("key:") + c)) return false;
  }
  return true;
}

bool Driver::shot(const std::string& path) {
  settle();
  frames(3);
  // What the X server shows, not what the program believes it drew.
  int wx = 0;
  int wy = 0;
  glfwGetWindowPos(glfwGetCurrentContext(), &wx, &wy);
  const int w = window_->width();
  const int h = window_->height();
  XSync(x_->display, False);
  XImage* image = XGetImage(x_->display, DefaultRootWindow(x_->display), wx, wy,
                            static_cast<unsigned>(w), static_cast<unsigned>(h), AllPlanes, ZPixmap);
  if (image == nullptr) return false;
  std::string rgb;
  rgb.reserve(static_cast<std::size_t>(w) * static_cast<std::size_t>(h) * 3);
  for (int y = 0; y < h; ++y) {
    for (int x = 0; x < w; ++x) {
      const unsigned long pixel = XGetPixel(image, x, y);
      for (const unsigned shift : {16U, 8U, 0U})
        rgb.push_back(static_cast<char>((pixel >> shift) & 0xFFU));
    }
  }
  XDestroyImage(image);
  return stbi_write_png(path.c_str(), w, h, 3, rgb.data(), w * 3) != 0;
}

}  // namespace baylore::test
