// Asks baylore-photo for the pixels of a picture. The viewer never decodes an outside picture
// itself: a picture made to break a decoder costs one picture here, never the terminal.
#pragma once

#include <atomic>
#include <chrono>
#include <cstdint>
#include <string>
#include <vector>

#include "files/result.h"

namespace baylore::photo {

// Whose picture it is: the shop's own, or one that a camera or a telephone left, which may be
// larger and costs more time and memory (answer.h says how much).
enum class From { shop, camera };

struct Picture {
  int width = 0;  // pixels, 1 .. max_side
  int height = 0;
  bool drawing = false;            // grey throughout and mostly white: may be tinted with the theme
  std::vector<std::uint8_t> rgba;  // width * height * 4, rows from the top, upright, alpha 255
};

// The picture in the JPEG or PNG file at `path`, its longest side averaged down to `max_side`
// (clamped to 1 .. 4096) where it is longer. `program` is the path of baylore-photo; it gets the
// open file and a pipe, no other descriptor and no environment. It is killed when it has not
// answered within `limit`.
//
// Blocks up to `limit` and a little, so call it off the drawing thread; any number of threads may.
// The calling thread must live through the call, because the program dies with it. Every outcome is
// a value: a file that is missing, no file (folder, link, pipe, device), too large, foreign,
// damaged or too slow to decode, a program that is missing, crashes or lies. The failure's text
// reads "pump.png: not shown: the picture is damaged: replace the file".
files::Result<Picture> decode_picture(const std::string& program, const std::string& path,
                                      int max_side, std::chrono::milliseconds limit,
                                      From from = From::shop);

// A camera's picture as the shop keeps it: upright, its longest side at most as asked, and with
// nothing in it but the picture. No place, time or device goes along.
struct Smaller {
  int width = 0;  // pixels
  int height = 0;
  std::string jpeg;  // the file's bytes
};

// The same for a camera's picture, but the answer is a JPEG file; it is looked at before it is
// believed: shop::tells_more() holds of none that comes back. `stop`, when given, is looked at ten
// times a second: true gives it up, and the failure's text says "was given up".
files::Result<Smaller> make_smaller(const std::string& program, const std::string& path,
                                    int max_side, std::chrono::milliseconds limit,
                                    const std::atomic<bool>* stop = nullptr);

}  // namespace baylore::photo
