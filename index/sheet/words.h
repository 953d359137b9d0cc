// Words as a sheet can hold them: Markdown taken off, and nothing left that a printer, a telephone
// or a reader would trip over.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace baylore::sheet {

// Text of any origin as text that can be set: bytes that are no UTF-8 become U+FFFD, control
// characters become blanks, line feeds stay. Marks that turn the direction of writing by force
// (Unicode 15, annex 9, section 2) are left out: they can show a torque as another one. Arabic and
// Hebrew need none of them.
std::string clean(std::string_view text);
// The same on one line, with single blanks.
std::string clean_line(std::string_view text);

struct Paragraph {
  std::string marker;  // "1." or "•" of a list's item; empty: plain
  std::string text;    // one line, clean
};
// CommonMark without its marks. Pictures and the lines of their marks are left out, they are drawn;
// raw HTML is text.
std::vector<Paragraph> paragraphs_of(std::string_view markdown);
// All of it on one line.
std::string plain_of(std::string_view markdown);

// Puts `part` behind `line` with the gap between them; an empty part leaves it as it is.
void join(std::string& line, const std::string& part, std::string_view gap);

}  // namespace baylore::sheet
