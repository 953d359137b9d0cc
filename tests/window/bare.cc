// The least that a GLFW and ImGui window can be: opens, draws one frame, says when that was done.
// `tools/bench start` holds the viewer's start against it.
#include <imgui.h>

#include <cstdio>
#include <memory>
#include <string>

#include "viewer/platform/window.h"

int main() {
  using baylore::viewer::Window;
  std::string why;
  const std::unique_ptr<Window> window(Window::open({}, why));
  if (window == nullptr) {
    std::fprintf(stderr, "baylore-bare: no window: %s: start it under X11\n", why.c_str());
    return 2;
  }
  window->wait(0);
  window->begin_frame();
  ImGui::ShowAboutWindow();
  window->end_frame();
  std::printf("first frame %.1f ms\n", baylore::viewer::clock_seconds() * 1e3);
  return 0;
}
