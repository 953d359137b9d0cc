// How tips are written, learned from the tips of the demo shop: which words stand in which part,
// which follows which, how long sentences are. It then writes new sentences of the same kind.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "random.h"
#include "rare_words.h"
#include "shop/tip.h"

namespace baylore::benchmark {

enum class Part {
  title,
  symptom,
  caution,
  check_name,
  tools,
  valid,
  answer,
  check_text,
  location,
  caption,
  mark,
  step,
  fastener_name,
  fastener_text,
  part_text,
  finish,
  background,
  note,
};
inline constexpr std::size_t kParts = 18;

class Language {
 public:
  // Learns; afterwards finish() once, and then write() from any thread. `dictionary`: words of the
  // language, of which the seldom ones are taken.
  void learn(const shop::Tip& tip);
  void finish(std::vector<std::string> dictionary);

  // The number of sentences in a text.
  static std::size_t sentences_in(std::string_view text);

  // Appends one sentence of this part, as one line without a line break. Two of three begin
  // as one of a tip of the same system. `component` stands wherever the tips that were learned from
  // name their own.
  void write(std::string& out, Part part, const std::string& system, const std::string& component,
             Random& random) const;
  // The same, `count` times, with blanks between.
  void write(std::string& out, Part part, const std::string& system, const std::string& component,
             Random& random, std::size_t count) const;

 private:
  struct Token {
    std::uint32_t word = 0;  // of words_: the folded form
    std::uint32_t at = 0;    // in text_, as written with its punctuation
    std::uint16_t size = 0;
    bool last = false;       // of its sentence
    bool component = false;  // stands for the component's name
    bool number = false;
    bool prose = false;   // of a part that is told in sentences, not of a name
    bool common = false;  // never replaced by a rare word
  };
  struct Sentences {
    std::vector<std::uint32_t> all;  // first tokens
    std::map<std::string, std::vector<std::uint32_t>, std::less<>> by_system;
  };

  void learn_text(Part part, std::string_view text, const shop::Tip& tip);
  void learn_line(Part part, std::string_view line, const shop::Tip& tip);
  void emit(std::string& out, const Token& token, const std::string& component,
            Random& random) const;

  std::string text_;
  std::vector<Token> tokens_;
  std::array<Sentences, kParts> sentences_;
  std::unordered_map<std::string, std::uint32_t> numbers_;  // of words
  std::vector<std::uint32_t> counts_;                       // by word
  std::vector<std::vector<std::uint32_t>> places_;          // by word: its tokens
  std::vector<std::pair<std::size_t, std::size_t>> grown_;  // words read, different words
  std::optional<RareWords> rare_;
  double rare_share_ = 0;  // of the tokens that may be replaced
};

}  // namespace baylore::benchmark
