// One folding for index and query: case, diacritics, ß æ ø, full-width forms, decimal comma. Two
// texts that a technician would call the same fold to the same bytes.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace baylore::shop {

// Lower case ASCII where there is one, other scripts lower-cased; invalid UTF-8 becomes a space.
std::string fold(std::string_view text);

// Runs of letters and digits of the folded text, in order.
std::vector<std::string> words_of(std::string_view text);
// The same of text that is folded already; views into it.
std::vector<std::string_view> words_in(std::string_view folded);
// words_of() with a blank between, and with nothing between.
std::string folded_words(std::string_view text);
std::string run_together(std::string_view text);

// UTF-8 check: the byte offset of the first invalid sequence, or npos.
std::size_t invalid_utf8_at(std::string_view text);

}  // namespace baylore::shop
