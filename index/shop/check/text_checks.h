// What can be wrong in a line whatever it belongs to: personal data, placeholders, impossible
// codes, two figures that disagree, characters that no screen of ours can draw. And sections that
// say nothing.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "shop/document.h"
#include "shop/notes.h"
#include "trade/code.h"

namespace baylore::shop::checking {

// A Markdown link to another file, `[words](target)`; web addresses and places within the page are
// left out.
struct TextLink {
  std::string target;
  int line = 0;
  int column = 0;
};

// Whether no vehicle sends it: reserved by SAE J2012 / ISO 15031-6 (from memory).
bool never_sent(const trade::Code& code);

// Looks at every line of the file.
void check_lines(const Document& document, Notes& notes);
// Headings with nothing under them, and headings of a known section at the wrong depth.
// `known` are the section keys that mean something in this kind of file.
void check_sections(const Document& document, const std::vector<std::string>& known, Notes& notes);

std::vector<TextLink> links_of(const Document& document);

}  // namespace baylore::shop::checking
