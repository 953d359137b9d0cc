// What is found in running text: steps, sentences, reasons, pictures with their marks.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "shop/notes.h"
#include "shop/tip.h"

namespace baylore::shop {

// The numbered items (`1.` or `1)`) of a body, each with its continuation lines; the bulleted ones
// when none is numbered. Pictures and their marks belong to no step.
std::vector<std::string> steps_of(std::string_view body);

// The list items of a body, or else its sentences.
std::vector<std::string> points_of(std::string_view body);

// The sentences of a text: ended by . ! or ? before a blank and no small letter or digit, or by a
// blank line. Abbreviations such as "approx." do not end one.
std::vector<std::string> sentences_of(std::string_view text);

// What follows "Why:" up to the end of its paragraph, on one line; empty when there is none.
std::string why_of(std::string_view text);

// The pictures `![caption](file)` of a section with the marks `- mark 1: 0.42 0.61 words` under
// each. `body_line` is the body's first line in the file.
void read_pictures(std::string_view body, int body_line, Notes& notes, std::vector<Picture>& into);

}  // namespace baylore::shop
