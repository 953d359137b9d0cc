// A tip's working sheet on the panel: the codes are read from what is drawn by another program, the
// PDF lands on the stick. Driven by taps, with the real desk, store and files.
#include <doctest/doctest.h>
#include <imgui.h>

#include <array>
#include <cstdio>

#include "sheet/essential.h"
#include "support/terminals.h"

namespace {

using baylore::test::Headless;
using baylore::test::HeadlessOptions;
using baylore::test::Terminals;
using baylore::viewer::Screen;
namespace viewer = baylore::viewer;

// The filled shapes of the last frame as a grey picture, pixel by pixel as the graphics card sets
// them: a pixel is inside a triangle when its middle is. Text is left out.
std::string picture_of_fills(int width, int height) {
  std::vector<unsigned char> grey(static_cast<std::size_t>(width * height), 255);
  const ImDrawData* drawn = ImGui::GetDrawData();
  const ImVec2 white = ImGui::GetIO().Fonts->TexUvWhitePixel;
  for (int l = 0; l < drawn->CmdListsCount; ++l) {
    const ImDrawList* list = drawn->CmdLists[l];
    for (const ImDrawCmd& command : list->CmdBuffer) {
      for (unsigned i = 0; i + 2 < command.ElemCount; i += 3) {
        std::array<ImDrawVert, 3> v;
        for (unsigned k = 0; k < 3; ++k) {
          const auto index = list->IdxBuffer[static_cast<int>(command.IdxOffset + i + k)];
          v[k] = list->VtxBuffer[static_cast<int>(command.VtxOffset + index)];
        }
        if (v[0].uv.x != white.x || v[0].uv.y != white.y || (v[0].col >> 24U) != 255U) continue;
        const auto side = [](ImVec2 a, ImVec2 b, float x, float y) {
          return (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x);
        };
        const auto [left, right] = std::minmax({v[0].pos.x, v[1].pos.x, v[2].pos.x});
        const auto [top, bottom] = std::minmax({v[0].pos.y, v[1].pos.y, v[2].pos.y});
        for (int y = std::max(0, static_cast<int>(top));
             y < std::min(height, static_cast<int>(bottom) + 1); ++y) {
          for (int x = std::max(0, static_cast<int>(left));
               x < std::min(width, static_cast<int>(right) + 1); ++x) {
            const float px = static_cast<float>(x) + 0.5F;
            const float py = static_cast<float>(y) + 0.5F;
            const float a = side(v[0].pos, v[1].pos, px, py);
            const float b = side(v[1].pos, v[2].pos, px, py);
            const float c = side(v[2].pos, v[0].pos, px, py);
            if ((a >= 0 && b >= 0 && c >= 0) || (a <= 0 && b <= 0 && c <= 0))
              grey[static_cast<std::size_t>(y * width + x)] =
                  static_cast<unsigned char>(v[0].col & 0xFFU);
          }
        }
      }
    }
  }
  return "P5\n" + std::to_string(width) + " " + std::to_string(height) + "\n255\n" +
         std::string(grey.begin(), grey.end());
}

std::string printed_by(const std::string& command) {
  std::string out;
  std::FILE* pipe = ::popen((command + " 2>/dev/null").c_str(), "r");
  REQUIRE(pipe != nullptr);
  char piece[4096];
  while (const std::size_t got = std::fread(piece, 1, sizeof piece, pipe)) out.append(piece, got);
  ::pclose(pipe);
  return out;
}

struct Bay {
  Terminals at;
  std::unique_ptr<Headless> panel;
  int width;
  int height;
  std::string stick;

  Bay(int w, int h, const std::string& theme = "light") : width(w), height(h) {
    at.use_demo();
    HeadlessOptions options = at.options();
    options.width = w;
    options.height = h;
    options.theme = theme;
    stick = at.scratch().path("BLUE STICK");
    std::filesystem::create_directories(stick);
    options.pack_places = {stick};
    panel = std::make_unique<Headless>(options);
    REQUIRE(panel->ready());
  }
  void open_sheet() {
    baylore::test::search_and_open(*panel, "heater cold", "Heater cold at idle");
    REQUIRE(panel->tap(panel->has("strip:more") ? "strip:more" : "strip:sections"));
    REQUIRE(panel->tap("row:sheet"));
    panel->settle();
    REQUIRE(panel->state().screen == Screen::sheet);
    REQUIRE(panel->state().sheet.page);
  }
  std::string code_read() {
    panel->frames(2);
    at.scratch().put("panel.pgm", picture_of_fills(width, height));
    return printed_by("zbarimg --raw -q -Sdisable -Sqrcode.enable '" +
                      at.scratch().path("panel.pgm") + "'");
  }
};

}  // namespace

TEST_CASE("the codes on the panel, read by another program, are the sheet's essential text") {
  for (const auto& [width, height, theme] :
       {std::tuple(1280, 800, "light"), std::tuple(800, 480, "dark"),
        std::tuple(390, 844, "sun")}) {
    CAPTURE(width);
    Bay bay(width, height, theme);
    bay.open_sheet();
    const viewer::SheetPage page = *bay.panel->state().sheet.page;
    REQUIRE(page.codes.size() > 1);
    std::string all;
    for (std::size_t i = 0; i < page.codes.size(); ++i) {
      const std::string head =
          std::to_string(i + 1) + "/" + std::to_string(page.codes.size()) + "\n";
      CHECK(bay.panel->shows("Code " + std::to_string(i + 1) + " of"));
      const std::string read = bay.code_read();
      REQUIRE(read.starts_with(head));
      all += (i == 0 ? "" : "\n") + read.substr(head.size(), read.size() - head.size() - 1);
      REQUIRE(bay.panel->tap("strip:next"));
    }
    const viewer::TipPage& tip = *bay.panel->state().tip;
    const auto settings = baylore::shop::read_settings(baylore::files::real_disk(), bay.at.shop());
    REQUIRE(settings);
    CHECK(all == baylore::sheet::essential_text(
                     baylore::sheet::sheet_of({tip.tip, &*settings, nullptr, &tip.findings})));
    CHECK(all.find("! Hot coolant under pressure: open below 40 \u00B0C.") != std::string::npos);
    // Round again, and back by keys.
    CHECK(bay.panel->state().sheet.at == 0);
    if (width == 1280) {
      REQUIRE(bay.panel->tap("strip:previous"));
      CHECK(bay.panel->state().sheet.at == page.codes.size() - 1);
    }
  }
}

// 0.8 mm a module is what a telephone can tell apart at 40 cm: sheet/codes.h has the reckoning.
TEST_CASE("on a 10-inch panel no module is smaller than a telephone can tell apart") {
  Bay bay(1280, 800);
  bay.open_sheet();
  for (const viewer::SheetPage::Part& part : bay.panel->state().sheet.page->codes)
    CHECK(part.code.side <= baylore::sheet::kDensestSide);
  // The first dark column is the edge of a finder pattern: seven modules high.
  bay.panel->frames(2);
  const std::string picture = picture_of_fills(1280, 800);
  const std::string pixels = picture.substr(picture.size() - 1280 * 800);
  int longest = 0;
  for (int x = 700; x < 1280 && longest == 0; ++x) {
    for (int y = 100, run = 0; y < 200; ++y) {
      const std::size_t at = static_cast<std::size_t>(y) * 1280 + static_cast<std::size_t>(x);
      run = static_cast<unsigned char>(pixels[at]) < 128 ? run + 1 : 0;
      longest = std::max(longest, run);
    }
  }
  const float mm = static_cast<float>(longest) / 7 / bay.panel->ui().metrics().px_per_mm;
  CHECK(mm >= 0.8F);
  CHECK(mm < 2.0F);
}

TEST_CASE("the PDF goes onto the stick in the paper that was chosen, and says so") {
  Bay bay(1280, 800);
  bay.open_sheet();
  Headless& panel = *bay.panel;
  CHECK(panel.state().sheet.to == bay.stick);
  CHECK(panel.shows("BLUE STICK"));
  CHECK(panel.shows("A4"));
  REQUIRE(panel.tap("sheet:paper"));
  CHECK(panel.shows("US Letter"));
  REQUIRE(panel.tap("primary"));
  REQUIRE(panel.until([&] { return panel.state().notice.has_value(); }, 30));
  CHECK_MESSAGE(!panel.state().notice->bad, panel.state().notice->more);
  const std::string name = "heater-cold-at-idle-coolant-lost-cold-sheet.pdf";
  CHECK(panel.state().notice->lead == "Saved: " + name);
  const std::string file = "'" + bay.stick + "/" + name + "'";
  CHECK(printed_by("pdfinfo " + file).find("(letter)") != std::string::npos);
  CHECK(printed_by("pdftotext -raw " + file + " -").find("Hot coolant under pressure") !=
        std::string::npos);
  CHECK(printed_by("pdfimages -list " + file).find("image") != std::string::npos);  // the drawing
  // Another place, from the list.
  REQUIRE(panel.tap("notice"));
  REQUIRE(panel.tap("sheet:to"));
  const std::string own = panel.state().sheet.page->places.back().folder;
  REQUIRE(panel.tap("row:to:" + own));
  REQUIRE(panel.tap("primary"));
  REQUIRE(panel.until([&] { return panel.state().notice.has_value(); }, 30));
  CHECK(std::filesystem::exists(own + "/" + name));
}

TEST_CASE("a stick that was pulled out is said to be gone, and nothing is made in its place") {
  Bay bay(390, 844);
  bay.open_sheet();
  Headless& panel = *bay.panel;
  std::filesystem::remove_all(bay.stick);
  REQUIRE(panel.tap("primary"));
  REQUIRE(panel.until([&] { return panel.state().notice.has_value(); }, 30));
  CHECK(panel.state().notice->bad);
  CHECK(panel.state().notice->more.find("put the stick in again") != std::string::npos);
  CHECK(!std::filesystem::exists(bay.stick));
  CHECK(!panel.state().sheet.saving);
}
