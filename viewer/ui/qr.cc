#include "viewer/ui/qr.h"

#include <qrencode.h>

#include <memory>
#include <string>

namespace baylore::viewer {
namespace {

constexpr int kQuiet = 4;  // modules, ISO/IEC 18004 section 6.3.8

struct Free {
  void operator()(QRcode* code) const { QRcode_free(code); }
};

}  // namespace

QrCode qr_of(std::string_view text) {
  const std::unique_ptr<QRcode, Free> code(
      QRcode_encodeString8bit(std::string(text).c_str(), 0, QR_ECLEVEL_Q));
  QrCode out;
  if (code == nullptr) return out;
  out.side = code->width;
  const auto count = static_cast<std::size_t>(code->width) * static_cast<std::size_t>(code->width);
  out.dark.reserve(count);
  for (std::size_t i = 0; i < count; ++i) out.dark.push_back(code->data[i] & 1U);
  return out;
}

void draw_qr(Ui& ui, float x, float y, float width, const QrCode& code) {
  if (code.side == 0) return;
  const Theme& light = theme(ThemeName::sun);
  const float module = width / static_cast<float>(code.side + 2 * kQuiet);
  ui.fill({x, y, width, width}, light.paper);
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
        ui.fill({x + module * static_cast<float>(from + kQuiet),
                 y + module * static_cast<float>(row + kQuiet),
                 module * static_cast<float>(to - from), module},
                light.ink);
      }
      from = to + 1;
    }
  }
}

}  // namespace baylore::viewer
