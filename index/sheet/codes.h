// QR codes (ISO/IEC 18004) of a text, and a long text cut into a few of them.
//
// How dense a code may be. It is read with a telephone from a 10-inch screen (218 x 136 mm, 1280 x
// 800, so 0.17 mm a pixel) held 40 cm away.
// - A telephone's main camera sees some 65 degrees across, 510 mm at 40 cm, and reading programs
//   look at 1920 pixels of that at least: 3.8 pixels of the camera a millimetre of screen. A module
//   needs three to be told from its neighbours where the code does not lie along the camera's rows,
//   so 0.8 mm is the least. (The camera's figures: common practice, no source.)
// - The code has 94 mm of the screen's height, and a module is a whole number of screen pixels, or
//   edges would blur: five, 0.85 mm, are 110 modules. With four of quiet zone on either side
//   (ISO/IEC 18004, 6.3.8), 102 remain. Version 20 has 97 modules, version 21 has 101: 20 is the
//   densest, which leaves a few millimetres for the hand's shake.
// - Error correction M, 15 % of the code words: glare, a finger's grease and a scratch are spots, a
//   screen is not worn like a label. Q would cost 180 bytes a code, a code more for most tips.
// A smaller text takes a smaller version, so larger modules. On smaller screens the code shrinks
// with the screen and is read from as much nearer.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace baylore::sheet {

// Bytes that a code of the densest version holds at error correction M: 666 (ISO/IEC 18004, table
// 7, version 20), less three for the mark that says UTF-8 (12 bits and the longer way to begin).
inline constexpr std::size_t kCodeBytes = 663;
inline constexpr int kDensestSide = 97;

struct Code {
  int side = 0;                     // modules; 0: the text does not fit
  std::vector<unsigned char> dark;  // side x side, row by row: 1 is dark
};

// One code of a text in UTF-8, which it says of itself where the text is not plain ASCII (ECI 26).
enum class Spare { fifteen_percent, quarter };  // levels M and Q
Code code_of(std::string_view text, Spare spare);

// The text in as few codes as hold it, of about the same size. One alone is the text itself. Of
// several each begins with a line "1/3", "2/3" ..., and cuts are at ends of lines: the lines of all
// of them one after the other, without the first of each, are the text. A line that no code holds
// is cut at a blank, and what goes on begins with "...", one blank after it.
std::vector<std::string> cut_for_codes(std::string_view text, std::size_t most = kCodeBytes);

}  // namespace baylore::sheet
