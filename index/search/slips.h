// Slips of the finger and of the ear: what a word that no tip has was probably meant to be, drawn
// from the shop's own words. Nothing is corrected silently: every correction says what it shows for
// what, and can be refused.
#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <vector>

#include "search/language.h"
#include "search/lexicon.h"

namespace baylore::search {

// One correction of a line's words.
struct Slip {
  std::string typed;               // "tentioner", "water pumpp": folded, blanks between
  std::string shown;               // "tensioner"
  std::string key;                 // "slip:tentioner"; in `dropped` it refuses the correction
  std::size_t first = 0;           // which of the line's words it replaces
  std::size_t count = 1;           // and how many of them
  std::vector<std::string> words;  // what they become
  // A few tips do have the word as typed: it stays in the search, `words` join it.
  bool keeps = false;

  [[nodiscard]] std::string said() const;  // "showing tensioner for tentioner"
  bool operator==(const Slip&) const = default;
};

// Finds slips. Keeps an index of the lexicon's words, made when it is first needed and made again
// when the lexicon's stamp or the language changed. One thread at a time.
class Slips {
 public:
  Slips();
  Slips(Slips&&) noexcept;
  Slips& operator=(Slips&&) noexcept;
  ~Slips();

  // The corrections of a line's folded words, in their order; no word is in two of them. Never
  // touched: words that tips have, words of the vocabulary, words with digits, words of other
  // scripts than Latin, everyday words (`please`). With `last_open`, the last word may still be
  // growing: it is a slip only when no word begins with it. `dropped` are token keys; a slip whose
  // key is there is left out.
  std::vector<Slip> find(const std::vector<std::string>& words, bool last_open,
                         const Lexicon& lexicon, const Language& language,
                         const std::vector<std::string>& dropped = {});

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace baylore::search
