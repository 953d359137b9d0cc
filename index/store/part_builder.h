// Makes a part of the postings from tips, one by one.
#pragma once

#include <cstdint>
#include <deque>
#include <functional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "files/result.h"
#include "store/part_format.h"
#include "store/spread.h"

namespace baylore::store {

// Takes the next bytes of the part.
using PartSink = std::function<files::Result<void>(std::string_view bytes)>;

class PartBuilder {
 public:
  PartBuilder() = default;
  PartBuilder(const PartBuilder&) = delete;
  PartBuilder& operator=(const PartBuilder&) = delete;

  // In ascending order of `doc`.
  void add(std::int64_t doc, const Spread& tip);
  [[nodiscard]] std::size_t tips() const { return docs_.size(); }

  // Writes the part from its first byte to its last; once. The checksum in the footer, which tells
  // this part from any other.
  files::Result<std::uint64_t> write(const PartSink& sink);

 private:
  class Writing;

  struct Word {
    std::string text;
    Language language = Language::other;
    std::uint32_t count = 0;  // tips
    std::uint32_t next = 0;   // the first tip that may come; one more than the last that has it
    std::uint64_t bytes = 0;  // of its postings
  };

  std::uint32_t number_of(std::string_view text, Language language);
  std::uint32_t name(std::string_view text);
  void note(std::uint32_t word);

  // A text and its language as one key: the language's byte in front.
  struct Hash {
    using is_transparent = void;
    std::size_t operator()(std::string_view key) const {
      return std::hash<std::string_view>()(key);
    }
  };
  template <class Value>
  using Map = std::unordered_map<std::string_view, Value>;

  std::deque<Word> words_;                   // in order of first appearance; never moved
  std::array<Map<std::uint32_t>, 4> known_;  // by language, views into words_
  std::vector<std::string> tips_;            // the tips' own bytes, many to a block: LEB128 numbers
  std::vector<std::int64_t> docs_;
  std::vector<std::uint32_t> name_at_{0};
  std::string names_;
  std::vector<std::uint64_t> hashes_;
  std::vector<std::uint8_t> flags_;
  std::vector<std::uint32_t> fit_at_{0};
  std::vector<std::uint32_t> fits_;
  std::vector<FitLine> fit_lines_;
  std::unordered_map<std::string, std::uint32_t> known_fits_;
  std::deque<std::string> vehicle_names_;
  Map<std::uint32_t> known_names_;
};

}  // namespace baylore::store
