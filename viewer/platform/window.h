// The window: GLFW, OpenGL and ImGui's backends behind a few calls. Only main.cc and the bench know
// it.
#pragma once

#include <cstdint>
#include <string>

struct GLFWwindow;

namespace baylore::viewer {

struct WindowOptions {
  int width = 1280;
  int height = 800;
  bool full_screen = false;
};

class Window {
 public:
  // Null on failure; `why` says what is missing.
  static Window* open(const WindowOptions& options, std::string& why);
  ~Window();
  Window(const Window&) = delete;
  Window& operator=(const Window&) = delete;

  [[nodiscard]] bool closing() const;
  [[nodiscard]] int width() const;  // of the framebuffer
  [[nodiscard]] int height() const;
  // The density the panel tells, 0 when it does not tell a believable one.
  [[nodiscard]] double panel_ppi() const;

  void poll();
  // Sleeps until an event comes or `seconds` pass; a negative time waits for an event alone.
  void wait(double seconds);
  // Ends a wait from any thread.
  static void wake();

  void begin_frame();
  void end_frame();
  void remake_font_texture();
  static void* make_texture(int width, int height, const std::uint8_t* rgba);
  static void drop_texture(void* texture);

 private:
  explicit Window(GLFWwindow* window) : window_(window) {}
  GLFWwindow* window_;
  bool begun_ = false;  // a frame was: the backend's own things are made
};

// Seconds since the program's window system began.
double clock_seconds();

}  // namespace baylore::viewer
