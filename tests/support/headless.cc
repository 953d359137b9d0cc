#include "support/headless.h"

#include <imgui.h>
#include <cstdio>

#include <algorithm>
#include <array>
#include <chrono>
#include <filesystem>
#include <thread>

#include "viewer/input/text_buffer.h"

namespace baylore::test {
namespace {

// The numbers GLFW 3.3 gives these keys (GLFW/glfw3.h), which is what the backend puts in KeyMap.
struct KeyNumber {
  ImGuiKey key;
  int number;
};
constexpr std::array<KeyNumber, 14> kKeys{{{ImGuiKey_Tab, 258},
                                           {ImGuiKey_LeftArrow, 263},
                                           {ImGuiKey_RightArrow, 262},
                                           {ImGuiKey_UpArrow, 265},
                                           {ImGuiKey_DownArrow, 264},
                                           {ImGuiKey_PageUp, 266},
                                           {ImGuiKey_PageDown, 267},
                                           {ImGuiKey_Home, 268},
                                           {ImGuiKey_End, 269},
                                           {ImGuiKey_Delete, 261},
                                           {ImGuiKey_Backspace, 259},
                                           {ImGuiKey_Enter, 257},
                                           {ImGuiKey_Escape, 256},
                                           {ImGuiKey_KeyPadEnter, 335}}};
constexpr double kFrame = 1.0 / 60;

}  // namespace

Headless::Headless(HeadlessOptions options) : options_(std::move(options)) {
  context_ = ImGui::CreateContext();
  ImGui::SetCurrentContext(context_);
  ImGuiIO& io = ImGui::GetIO();
  io.IniFilename = nullptr;
  io.BackendFlags |= ImGuiBackendFlags_RendererHasVtxOffset;
  for (const KeyNumber& k : kKeys) io.KeyMap[k.key] = k.number;
  viewer::AppOptions app;
  app.shop = options_.shop;
  app.demo = options_.demo;
  app.demo_source = options_.demo_source;
  app.store_folder = options_.store_folder;
  app.state_folder = options_.state_folder;
  app.words_folder = BAYLORE_WORDS;
  app.photo_program = options_.photo_program;
  app.pack_places = options_.pack_places;
  app.photo_places = options_.photo_places;
  app.make_texture = [this](int, int, const std::uint8_t*) {
    return reinterpret_cast<void*>(static_cast<std::uintptr_t>(++textures_));
  };
  app.drop_texture = [](void*) {};
  job::Terminal terminal;
  terminal.name = options_.terminal.substr(0, options_.terminal.rfind('-'));
  terminal.folder = options_.terminal;
  terminal.theme = options_.theme;
  terminal.hand = options_.hand;
  terminal.language = options_.language;
  terminal.set_up = !options_.first_run;
  terminal.text_percent = options_.text_percent;
  app_ = std::make_unique<viewer::App>(std::move(app), std::move(terminal));
  frames(3);
}

Headless::~Headless() {
  ImGui::SetCurrentContext(context_);
  app_.reset();
  ImGui::DestroyContext(context_);
}

void Headless::one_frame(double dt) {
  ImGui::SetCurrentContext(context_);
  now_ += dt;
  ImGuiIO& io = ImGui::GetIO();
  io.DisplaySize = ImVec2(static_cast<float>(options_.width), static_cast<float>(options_.height));
  io.DeltaTime = static_cast<float>(dt);
  if (app_->set_panel(options_.width, options_.height))
    io.Fonts->SetTexID(reinterpret_cast<void*>(static_cast<std::uintptr_t>(~0U)));
  const float k = app_->ui().metrics().px();
  io.MousePos = known_ ? ImVec2(x_ * k, y_ * k) : ImVec2(-FLT_MAX, -FLT_MAX);
  io.MouseDown[0] = down_;
  ImGui::NewFrame();
  const auto began = std::chrono::steady_clock::now();
  app_->frame(now_);
  if (on_drawn)
    on_drawn(std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count());
  ImGui::Render();
}

void Headless::frames(int n) {
  for (int i = 0; i < n; ++i) one_frame(kFrame);
}

void Headless::pass(double seconds) {
  for (double left = seconds; left > 0; left -= 0.1) one_frame(std::min(left, 0.1));
}

bool Headless::until(const std::function<bool()>& done, double seconds) {
  const auto end = std::chrono::steady_clock::now() + std::chrono::duration<double>(seconds);
  for (;;) {
    frames();
    if (done()) return true;
    if (std::chrono::steady_clock::now() > end) return false;
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
  }
}

bool Headless::settle(double seconds) {
  int calm = 0;
  std::string busy;
  const bool settled = until(
      [&] {
        busy = app_->busy();
        if (busy.empty() && app_->restless()) busy = "moving";
        if (busy.empty() && app_->wants_fonts()) busy = "fonts";
        calm = busy.empty() ? calm + 1 : 0;
        return calm >= 3;
      },
      seconds);
  if (!settled) std::fprintf(stderr, "no rest: %s\n", busy.c_str());
  return settled;
}

bool Headless::ready(double seconds) {
  return until([&] { return state().counts.tips > 0; }, seconds) && settle();
}

void Headless::down(float x, float y) {
  known_ = true;
  x_ = x;
  y_ = y;
  down_ = true;
  frames();
}

void Headless::move(float x, float y) {
  x_ = x;
  y_ = y;
  frames();
}

void Headless::up() {
  down_ = false;
  frames();
}

void Headless::tap_at(float x, float y) {
  down(x, y);
  up();
  settle();
}

bool Headless::tap(std::string_view name) {
  settle();
  for (int tries = 0; tries < 80; ++tries) {
    const viewer::Item* item = ui().item(name);
    if (item == nullptr) return false;
    if (item->visible.h >= std::min(item->rect.h * 0.6F, 9.0F) && item->visible.w > 3) {
      tap_at(item->visible.x + item->visible.w / 2, item->visible.y + item->visible.h / 2);
      return true;
    }
    // Below or above the view: a finger scrolls it in.
    const float x = item->rect.x + std::min(item->rect.w / 2, 30.0F);
    const float mid = ui().screen().h * 0.45F;
    drag(x, mid, x, item->rect.y > mid ? mid - 22 : mid + 22);
  }
  return false;
}

void Headless::drag(float x1, float y1, float x2, float y2) {
  down(x1, y1);
  constexpr int kSteps = 8;
  for (int i = 1; i <= kSteps; ++i) {
    const float part = static_cast<float>(i) / kSteps;
    move(x1 + (x2 - x1) * part, y1 + (y2 - y1) * part);
  }
  // Held still for longer than what decides a throw.
  frames(9);
  up();
  settle();
}

bool Headless::tap_keys(std::string_view text) {
  for (const char c : text) {
    const std::string name = c == ' ' ? "key:space" : std::string("key:") + c;
    if (!has(name) && !tap(state().number_keys ? "key:abc" : "key:123")) return false;
    if (!tap(name)) return false;
  }
  return true;
}

void Headless::press_key(int key) {
  ImGui::SetCurrentContext(context_);
  ImGuiIO& io = ImGui::GetIO();
  const int number = io.KeyMap[key];
  io.KeysDown[number] = true;
  frames();
  ImGui::SetCurrentContext(context_);
  io.KeysDown[number] = false;
  frames();
}

void Headless::type(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    const char32_t c = viewer::next_code_point(text, at);
    switch (c) {
      case '\n':
        press_key(ImGuiKey_Enter);
        break;
      case '\b':
        press_key(ImGuiKey_Backspace);
        break;
      case '\t':
        press_key(ImGuiKey_Tab);
        break;
      case 0x1B:
        press_key(ImGuiKey_Escape);
        break;
      default:
        ImGui::SetCurrentContext(context_);
        ImGui::GetIO().AddInputCharacter(c);
        frames();
        break;
    }
  }
  settle();
}

bool Headless::shows(std::string_view text) {
  std::string all;
  for (const viewer::DrawnText& t : ui().texts()) {
    const bool in_view = t.rect.bottom() > t.clip.y && t.rect.y < t.clip.bottom();
    if (!in_view) continue;
    if (t.text.find(text) != std::string::npos) return true;
    while (!all.empty() && all.back() == ' ') all.pop_back();
    all += " " + t.text;
  }
  return all.find(text) != std::string::npos;
}

void copy_demo_shop(const std::string& source_dir, const std::string& to) {
  std::filesystem::create_directories(std::filesystem::path(to).parent_path());
  std::filesystem::copy(source_dir + "/content", to, std::filesystem::copy_options::recursive);
}

}  // namespace baylore::test
