// Pictures and their marks in a tip's text: put in, changed, taken out. An edit changes the lines
// of its picture and no other.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "shop/document.h"
#include "shop/tip.h"

namespace baylore::shop {

// A picture with the section it stands in; "" when it stands before the first one.
struct PlacedPicture {
  Picture picture;
  std::string section;  // key: "location"
};

// Those of the whole text, in its order.
std::vector<PlacedPicture> placed_pictures(const Document& document);

// `![caption](file)` and a line for each mark, without a line ending behind the last. What would
// end the caption or the name is written so that it does not.
std::string picture_lines(const Picture& picture);

// Appends the picture to a section, making the section when it is missing.
void add_picture(Document& document, std::string_view heading, const Picture& picture);

// Puts `picture` in the place of the one with that place in placed_pictures(). Where something else
// stands on its line, that line stays and only the marks change. False when there is none.
bool change_picture(Document& document, std::size_t which, const Picture& picture);

// Takes its lines out, and its section when that held nothing else. False when there is none, or
// something else stands on its line.
bool remove_picture(Document& document, std::size_t which);

}  // namespace baylore::shop
