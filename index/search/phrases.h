// The vocabulary's wordings of one thing, made ready for looking up: `won't turn over` for `no
// crank`, `AC` for `air conditioning`.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "shop/vocabulary.h"

namespace baylore::search {

// A hash that takes views of strings too.
struct TextHash {
  using is_transparent = void;
  std::size_t operator()(std::string_view text) const {
    return std::hash<std::string_view>{}(text);
  }
};

// Another wording of some words of a line.
struct Wording {
  std::size_t first = 0;  // the line's words it may stand for
  std::size_t count = 1;
  std::vector<std::string> words;  // folded
  double weight = 0;               // what an occurrence counts, the words as typed being 1
  bool operator==(const Wording&) const = default;
};

// What an occurrence of another wording counts. The same words written together or apart are nearly
// the words themselves, and what an abbreviation stands for is the same thing; a synonym is
// near it, and a wording that the file gives in one direction only says less than what was typed.
inline constexpr double kWrittenOtherwiseWeight = 0.9;
inline constexpr double kAbbreviationWeight = 0.65;
inline constexpr double kSynonymWeight = 0.6;
inline constexpr double kOneWayWeight = 0.4;

class Phrases {
 public:
  Phrases() = default;
  explicit Phrases(const shop::Vocabulary& vocabulary);

  // Every other wording of every stretch of `words`, by place and then by weight. Written together
  // or apart does not matter (`wont turn over`, `air con`), nor do articles inside (`bleed coolant`
  // for `bleed the coolant`), nor a plural's s at the end. A wording inside a longer one that is
  // there too is left alone: `heater` in `heater core` is no `cabin heat`. Wordings of
  // wordings are not followed. What is worth more than one weight has the highest.
  [[nodiscard]] std::vector<Wording> others(const std::vector<std::string>& words) const;

  // The words of a wording that is written together: {"water", "pump"} for "waterpump"; empty when
  // there is none.
  [[nodiscard]] const std::vector<std::string>& apart(std::string_view joined) const;

 private:
  struct Known {
    std::vector<std::string> words;
    std::vector<std::pair<std::uint32_t, double>> others;  // of known_, with the weight
  };

  std::uint32_t place_of(const std::vector<std::string>& words);
  void add(std::uint32_t from, std::uint32_t to, double weight);
  void add_group(const std::vector<std::string>& wordings, double weight);

  std::vector<Known> known_;
  std::unordered_map<std::string, std::uint32_t, TextHash, std::equal_to<>> by_text_;
  // By the words without gaps and articles.
  std::unordered_map<std::string, std::vector<std::uint32_t>, TextHash, std::equal_to<>> by_joined_;
  std::size_t longest_ = 0;  // words
};

}  // namespace baylore::search
