// A QR code (ISO/IEC 18004) of a short text, for another terminal's camera.
#pragma once

#include <string_view>
#include <vector>

#include "viewer/ui/ui.h"

namespace baylore::viewer {

struct QrCode {
  int side = 0;                     // modules; 0: the text does not fit
  std::vector<unsigned char> dark;  // side x side, row by row: 1 is dark
};
// With a quarter of the code to spare against grease (level Q).
QrCode qr_of(std::string_view text);

// Draws it with its quiet zone of four modules, dark on light in every theme, as wide as `width`.
void draw_qr(Ui& ui, float x, float y, float width, const QrCode& code);

}  // namespace baylore::viewer
