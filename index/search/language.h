// The shop's vocabulary, made ready for looking up: once for a vocabulary, not once a line.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <vector>

#include "search/engine.h"
#include "search/phrases.h"
#include "shop/vocabulary.h"

namespace baylore::search {

// Immutable once made, so that any number of threads may read it. It keeps nothing of the
// vocabulary it was made from.
class Language {
 public:
  explicit Language(const shop::Vocabulary& vocabulary = {});

  struct Name {
    std::string make;
    std::string model;  // empty: the make alone
  };
  // The makes and models that are spelt like this: folded, without gaps (`corvanehauler`, `f9`).
  [[nodiscard]] const std::vector<Name>& named(std::string_view joined) const;
  // The longest name's length in words, its make included.
  [[nodiscard]] std::size_t longest_name() const { return longest_name_; }
  // Whether a word also stands in the name of a part or a fault: such a name is no sign of a
  // vehicle alone.
  [[nodiscard]] bool trade_word(std::string_view word) const;

  struct Engines {
    std::vector<std::string> names;  // "3.6 V6"
    std::vector<Engine> engines;     // the same, taken apart
  };
  // Of the models with this make and name; empty for any.
  [[nodiscard]] Engines engines_of(std::string_view make, std::string_view model) const;
  // Whether such a model was built in that year, as far as its years are known.
  [[nodiscard]] bool built(std::string_view make, std::string_view model, int year) const;

  [[nodiscard]] const Phrases& phrases() const { return phrases_; }
  // Every word of the vocabulary, folded.
  [[nodiscard]] const std::unordered_set<std::string, TextHash, std::equal_to<>>& words() const {
    return words_;
  }
  [[nodiscard]] bool has_word(std::string_view word) const { return words_.contains(word); }
  // Differs between any two languages of one process.
  [[nodiscard]] std::uint64_t serial() const { return serial_; }

 private:
  template <class Visit>
  void each_model(std::string_view make, std::string_view model, const Visit& visit) const;

  std::vector<shop::Model> models_;
  std::unordered_map<std::string, std::vector<std::size_t>, TextHash, std::equal_to<>> by_make_;
  std::unordered_map<std::string, std::vector<std::size_t>, TextHash, std::equal_to<>> by_model_;
  std::unordered_map<std::string, std::vector<Name>, TextHash, std::equal_to<>> names_;
  std::unordered_set<std::string, TextHash, std::equal_to<>> trade_words_;
  std::unordered_set<std::string, TextHash, std::equal_to<>> words_;
  Engines all_engines_;
  Phrases phrases_;
  std::size_t longest_name_ = 0;
  std::uint64_t serial_ = 0;
};

}  // namespace baylore::search
