// Finds trouble codes in a line, and codes that only lack their letter.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "trade/code.h"

namespace baylore::search {

struct CodeInLine {
  std::size_t at = 0;  // bytes of the line
  std::size_t length = 0;
  trade::ReadCode read;
};

// `0301` alone: P0301, B0301, C0301 and U0301 are four different codes, and nobody but the one who
// read the car knows which.
struct HalfCode {
  std::size_t at = 0;
  std::size_t length = 0;
  std::vector<std::string> choices;  // "P0301" first: powertrain codes are the commonest
};

struct CodesInLine {
  std::vector<CodeInLine> codes;  // by place
  std::vector<HalfCode> halves;   // by place
};

// Everything trade::find_codes() finds, and besides: `P 0128` and `po 301`, with the letter or its
// zero apart; `0302` right after a code, which has that code's letter; and half codes. Four figures
// that start with a zero are taken for one anywhere, others only alone in the line, because `3000`
// is mostly a number; never years, and never what `is_part` knows, asked without gaps.
CodesInLine codes_in(std::string_view line,
                     const std::function<bool(std::string_view joined)>& is_part);

}  // namespace baylore::search
