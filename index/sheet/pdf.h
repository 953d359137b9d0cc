// The working sheet on paper, like a job card: cautions above all, then what to check with blanks
// to write into, repair, fasteners, parts and the drawing, in two columns.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "files/disk.h"
#include "sheet/sheet.h"

namespace baylore::sheet {

enum class Paper { a4, letter };
std::string_view paper_word(Paper paper);  // "a4", "letter"
std::optional<Paper> paper_named(std::string_view word);
// What the shop says in shop.md, or else what goes with its torque: Letter where it is lbf.
Paper paper_of(files::Disk& disk, const std::string& shop_folder);

// A picture's pixels, of whoever decodes pictures safely; this layer never opens one.
struct Pixels {
  int width = 0;  // 0: there is none, and `why`
  int height = 0;
  std::vector<std::uint8_t> rgba;  // width * height * 4, rows from the top
  std::string why;
};
// The longest side worth asking for: the column at 300 dots an inch.
inline constexpr int kPictureSide = 1000;

struct Printed {
  std::string bytes;  // the PDF
  int pages = 0;
  double scale = 1;  // of the type
};
// Text shrinks to kLeastScale to stay on one page; where that is not enough it flows, as large as
// the number of pages allows. `pictures` belong to sheet.pictures by position; missing ones are a
// ruled blank. Equal input gives equal bytes: the file holds no date of its making. Fails only when
// the PDF library does.
inline constexpr double kLeastScale = 0.8;
files::Result<Printed> print_pdf(const Sheet& sheet, Paper paper,
                                 const std::vector<Pixels>& pictures);

// The same into a file, in one step over what was there. What the picture decoder or the disk says
// comes back as it is.
files::Result<Printed> save_pdf(files::Disk& disk, const std::string& path, const Sheet& sheet,
                                Paper paper, const std::vector<Pixels>& pictures);

}  // namespace baylore::sheet
