#include "viewer/platform/window.h"

#define GLFW_INCLUDE_GLEXT
#include <GLFW/glfw3.h>
#include <backends/imgui_impl_glfw.h>
#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>

#include <cmath>

namespace baylore::viewer {
namespace {

std::string last_error;
void on_error(int code, const char* text) {
  last_error = std::to_string(code) + ": " + (text != nullptr ? text : "");
}

}  // namespace

Window* Window::open(const WindowOptions& options, std::string& why) {
  glfwSetErrorCallback(on_error);
  if (glfwInit() != GLFW_TRUE) {
    why = "no display to open a window on (" + last_error + ")";
    return nullptr;
  }
  glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
  glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 0);
  GLFWmonitor* monitor = options.full_screen ? glfwGetPrimaryMonitor() : nullptr;
  int w = options.width;
  int h = options.height;
  if (monitor != nullptr) {
    const GLFWvidmode* mode = glfwGetVideoMode(monitor);
    w = mode->width;
    h = mode->height;
  }
  GLFWwindow* window = glfwCreateWindow(w, h, "Baylore", monitor, nullptr);
  if (window == nullptr) {
    why = "no OpenGL 3.0 on this display (" + last_error + ")";
    glfwTerminate();
    return nullptr;
  }
  glfwMakeContextCurrent(window);
  glfwSwapInterval(1);
  IMGUI_CHECKVERSION();
  ImGui::CreateContext();
  ImGui::GetIO().IniFilename = nullptr;  // the layout is the program's, nothing of it is a file
  ImGui_ImplGlfw_InitForOpenGL(window, true);
  ImGui_ImplOpenGL3_Init("#version 130");
  return new Window(window);
}

Window::~Window() {
  ImGui_ImplOpenGL3_Shutdown();
  ImGui_ImplGlfw_Shutdown();
  ImGui::DestroyContext();
  glfwDestroyWindow(window_);
  glfwTerminate();
}

bool Window::closing() const { return glfwWindowShouldClose(window_) != 0; }

int Window::width() const {
  int w = 0;
  int h = 0;
  glfwGetFramebufferSize(window_, &w, &h);
  return w;
}

int Window::height() const {
  int w = 0;
  int h = 0;
  glfwGetFramebufferSize(window_, &w, &h);
  return h;
}

double Window::panel_ppi() const {
  GLFWmonitor* monitor = glfwGetWindowMonitor(window_);
  if (monitor == nullptr) monitor = glfwGetPrimaryMonitor();
  if (monitor == nullptr) return 0;
  int mm_w = 0;
  int mm_h = 0;
  glfwGetMonitorPhysicalSize(monitor, &mm_w, &mm_h);
  const GLFWvidmode* mode = glfwGetVideoMode(monitor);
  if (mm_w <= 0 || mm_h <= 0 || mode == nullptr) return 0;
  const double x = mode->width * 25.4 / mm_w;
  const double y = mode->height * 25.4 / mm_h;
  // Servers without a real panel make a size up from 96 per inch; a ratio far from the pixels' is
  // made up too.
  if (std::abs(x - y) > 0.08 * x || std::abs(x - 96) < 1.5 || x < 70 || x > 500) return 0;
  return (x + y) / 2;
}

void Window::poll() { glfwPollEvents(); }

void Window::wait(double seconds) {
  if (seconds < 0) {
    glfwWaitEvents();
  } else if (seconds == 0) {
    glfwPollEvents();
  } else {
    glfwWaitEventsTimeout(seconds);
  }
}

void Window::wake() { glfwPostEmptyEvent(); }

void Window::begin_frame() {
  begun_ = true;
  ImGui_ImplOpenGL3_NewFrame();
  ImGui_ImplGlfw_NewFrame();
  ImGui::NewFrame();
}

void Window::end_frame() {
  ImGui::Render();
  glViewport(0, 0, width(), height());
  glClearColor(0, 0, 0, 1);
  glClear(GL_COLOR_BUFFER_BIT);
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
  glfwSwapBuffers(window_);
}

void Window::remake_font_texture() {
  if (!begun_) return;  // the first frame makes it, with all else that it needs
  ImGui_ImplOpenGL3_DestroyFontsTexture();
  ImGui_ImplOpenGL3_CreateFontsTexture();
}

void* Window::make_texture(int width, int height, const std::uint8_t* rgba) {
  GLuint texture = 0;
  glGenTextures(1, &texture);
  glBindTexture(GL_TEXTURE_2D, texture);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR_MIPMAP_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_T, GL_CLAMP_TO_EDGE);
  // OpenGL 1.4's own way of making the smaller copies: no loader for newer calls is needed.
  glTexParameteri(GL_TEXTURE_2D, GL_GENERATE_MIPMAP, GL_TRUE);
  glTexImage2D(GL_TEXTURE_2D, 0, GL_RGBA, width, height, 0, GL_RGBA, GL_UNSIGNED_BYTE, rgba);
  return reinterpret_cast<void*>(static_cast<std::uintptr_t>(texture));
}

void Window::drop_texture(void* texture) {
  const auto id = static_cast<GLuint>(reinterpret_cast<std::uintptr_t>(texture));
  glDeleteTextures(1, &id);
}

double clock_seconds() { return glfwGetTime(); }

}  // namespace baylore::viewer
