#include "viewer/ui/qr.h"

#include <cmath>

namespace baylore::viewer {
namespace {

constexpr int kQuiet = 4;  // modules, ISO/IEC 18004 section 6.3.8

}  // namespace

QrCode qr_of(std::string_view text) { return sheet::code_of(text, sheet::Spare::quarter); }

void draw_qr(Ui& ui, float x, float y, float width, const QrCode& code) {
  if (code.side == 0) return;
  const Theme& light = theme(ThemeName::sun);
  const float pixel = 1 / ui.metrics().px_per_mm;
  const auto modules = static_cast<float>(code.side + 2 * kQuiet);
  float module = width / modules;
  if (module > pixel) module = std::floor(module / pixel) * pixel;
  ui.fill({x, y, width, width}, light.paper);
  const float spare = (width - module * modules) / 2;
  const float left = std::round((x + spare) / pixel) * pixel;
  const float top = std::round((y + spare) / pixel) * pixel;
  for (int row = 0; row < code.side; ++row) {
    // A run of dark modules is one rectangle: between two there would be a hair of light.
    for (int from = 0; from < code.side;) {
      const auto dark = [&](int column) {
        return column < code.side &&
               code.dark[static_cast<std::size_t>(row * code.side + column)] != 0;
      };
      int to = from;
      while (dark(to)) ++to;
      if (to > from) {
        ui.fill({left + module * static_cast<float>(from + kQuiet),
                 top + module * static_cast<float>(row + kQuiet),
                 module * static_cast<float>(to - from), module},
                light.ink);
      }
      from = to + 1;
    }
  }
}

}  // namespace baylore::viewer
