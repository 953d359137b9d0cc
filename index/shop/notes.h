// Collects the findings of one file while it is read.
#pragma once

#include <string>
#include <string_view>
#include <utility>

#include "shop/document.h"
#include "shop/finding.h"
#include "trade/parsed.h"

namespace baylore::shop {

class Notes {
 public:
  Notes(std::string file, Findings& into) : file_(std::move(file)), into_(into) {}

  // At most kMost of one file are kept: nobody reads more, and a file of rubbish must not fill the
  // memory.
  static constexpr int kMost = 1000;
  void add(Level level, int line, int column, std::string rule, std::string message,
           std::string remedy);
  // A value that trade/ could not read, at the very character.
  void refused(Level level, const Item& item, std::string rule, const trade::Refusal& refusal);
  // What Document::parse noticed.
  void take(const Document& document);

 private:
  std::string file_;
  Findings& into_;
  int added_ = 0;
};

// The words of a field with where they stand, as Notes wants them.
inline Item item_of(const Field& field) { return {field.value, field.line, field.column}; }
// A field's values as a list: the one on its own line first.
std::vector<Item> items_of(const Field* field);

// A piece of somebody's text for a message: 60 bytes at most, cut between characters, control
// characters as blanks.
std::string excerpt(std::string_view text);

// The candidate that `word` was probably meant to be: one slip in short words, two in longer ones
// (a letter wrong, missing, too many, or two swapped); empty when none is near, or `word` is one of
// them.
std::string_view nearest(std::string_view word, const std::vector<std::string>& candidates);

}  // namespace baylore::shop
