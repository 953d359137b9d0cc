// A QR code (ISO/IEC 18004) of a short text, for another terminal's or a phone's camera.
#pragma once

#include <string_view>

#include "sheet/codes.h"
#include "viewer/ui/ui.h"

namespace baylore::viewer {

using QrCode = sheet::Code;
// With a quarter of the code to spare against grease (level Q).
QrCode qr_of(std::string_view text);

// Draws it with its quiet zone of four modules, dark on light in every theme, into a square of
// `width`. A module is a whole number of pixels, so that edges are sharp; what is over is quiet
// zone.
void draw_qr(Ui& ui, float x, float y, float width, const QrCode& code);

}  // namespace baylore::viewer
