#include "search/engine.h"

#include <algorithm>
#include <array>

#include "shop/fold.h"
#include "shop/scan.h"

namespace baylore::search {
namespace {

std::vector<std::string> blank_separated(const std::string& text) {
  std::vector<std::string> tokens;
  std::string token;
  for (const char c : text) {
    if (c == ' ' || c == '\t' || c == '/' || c == ';') {
      if (!token.empty()) tokens.push_back(std::move(token));
      token.clear();
    } else {
      token += c;
    }
  }
  if (!token.empty()) tokens.push_back(std::move(token));
  return tokens;
}

}  // namespace

std::string displacement_in(std::string_view token, bool* litres) {
  if (litres != nullptr) *litres = false;
  std::size_t at = 0;
  while (at < token.size() && at < 2 && shop::scan::is_digit(token[at])) ++at;
  if (at == 0 || at + 1 >= token.size()) return {};
  if ((token[at] != '.' && token[at] != ',') || !shop::scan::is_digit(token[at + 1])) return {};
  std::string value = std::string(token.substr(0, at)) + "." + token[at + 1];
  const std::string_view rest = token.substr(at + 2);
  if (rest.empty()) return value;
  if (rest == "l" || rest == "L") {
    if (litres != nullptr) *litres = true;
    return value;
  }
  return {};
}

std::string layout_in(std::string_view token) {
  static constexpr std::array<std::string_view, 17> kLayouts = {
      "v4", "v6", "v8", "v10", "v12", "i3",  "i4", "i5", "i6",
      "l4", "l6", "h4", "h6",  "w8",  "w12", "r4", "r6"};
  if (token.size() < 2 || token.size() > 3) return {};
  std::string lower(token);
  if (lower[0] >= 'A' && lower[0] <= 'Z') lower[0] = static_cast<char>(lower[0] - 'A' + 'a');
  return std::find(kLayouts.begin(), kLayouts.end(), lower) != kLayouts.end() ? lower
                                                                              : std::string();
}

Engine read_engine(std::string_view text) {
  Engine engine;
  for (const std::string& token : blank_separated(shop::fold(text))) {
    const std::string litres = displacement_in(token);
    const std::string layout = layout_in(token);
    if (!litres.empty() && engine.displacement.empty()) {
      engine.displacement = litres;
    } else if (!layout.empty() && engine.layout.empty()) {
      engine.layout = layout;
    } else if (token != "l" && token != "litre" && token != "liter") {
      for (std::string& word : shop::words_of(token)) engine.words.push_back(std::move(word));
    }
  }
  return engine;
}

bool agree(const Engine& a, const Engine& b) {
  if (!a.displacement.empty() && !b.displacement.empty() && a.displacement != b.displacement) {
    return false;
  }
  if (!a.layout.empty() && !b.layout.empty() && a.layout != b.layout) return false;
  if (a.words.empty() || b.words.empty()) return true;
  return std::any_of(a.words.begin(), a.words.end(), [&](const std::string& word) {
    return std::find(b.words.begin(), b.words.end(), word) != b.words.end();
  });
}

bool covers(const Engine& engine, const Engine& said) {
  if (!said.displacement.empty() && said.displacement != engine.displacement) return false;
  if (!said.layout.empty() && said.layout != engine.layout) return false;
  return std::all_of(said.words.begin(), said.words.end(), [&](const std::string& word) {
    return std::find(engine.words.begin(), engine.words.end(), word) != engine.words.end();
  });
}

}  // namespace baylore::search
