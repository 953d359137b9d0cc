// Engines as people write them, `3.6 V6`, `3,6l v6`, `2.0 diesel`, taken apart for comparing.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace baylore::search {

struct Engine {
  std::string displacement;        // litres with a point: "3.6"; empty when not said
  std::string layout;              // "v6", "i4"; empty when not said
  std::vector<std::string> words;  // the rest, folded: "diesel", "turbo"

  [[nodiscard]] bool empty() const {
    return displacement.empty() && layout.empty() && words.empty();
  }
};

Engine read_engine(std::string_view text);

// Whether both can be one engine: what only one of them says is no contradiction.
bool agree(const Engine& a, const Engine& b);

// Whether everything `said` names is in `engine`.
bool covers(const Engine& engine, const Engine& said);

// One token: "3.6", "3.6l" and "3,6" give "3.6"; empty when it is no displacement. `litres` tells
// whether the unit was written.
std::string displacement_in(std::string_view token, bool* litres = nullptr);

// "v6" from "V6"; empty when the token is no cylinder layout.
std::string layout_in(std::string_view token);

}  // namespace baylore::search
