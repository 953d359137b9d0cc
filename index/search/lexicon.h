// The shop's own words with how many tips hold each: what corrections and completions are drawn
// from. The postings implement it; nothing here touches the disk.
#pragma once

#include <cstdint>
#include <functional>
#include <string_view>

#include "store/words.h"

namespace baylore::search {

// Words are folded (shop::fold), one run of letters and digits each. Counts are of tips, not of
// places. Not thread-safe beyond what the store that gave it is: one thread at a time.
class Lexicon {
 public:
  virtual ~Lexicon() = default;

  // All tips, withdrawn ones too.
  [[nodiscard]] virtual std::uint32_t tips() const = 0;
  // Tips that hold this very word, in any column; 0 for a word that no tip holds.
  [[nodiscard]] virtual std::uint32_t tips_with(std::string_view word) const = 0;
  // Each word that some tip holds, in no particular order. The view lives until the call returns.
  virtual void each(
      const std::function<void(std::string_view word, std::uint32_t tips)>& visit) const = 0;
  // Changes when words or counts may have: equal stamps of one shop mean an equal lexicon.
  [[nodiscard]] virtual std::uint64_t stamp() const = 0;
  // The same words in two parts: the many that stay as they are while tips are saved, and the few
  // that came since. Of both, words that no tip holds any more may be among them. Equal numbers of
  // base() mean the same many.
  using Visit = std::function<void(std::string_view word)>;
  [[nodiscard]] virtual std::uint64_t base() const { return stamp(); }
  virtual void each_of_base(const Visit& visit) const {
    each([&](std::string_view word, std::uint32_t) { visit(word); });
  }
  virtual void each_since(const Visit&) const {}
  // Tips that hold both words. The cost grows with the rarer word's count.
  [[nodiscard]] virtual std::uint32_t together(std::string_view a, std::string_view b) const = 0;

 protected:
  Lexicon() = default;
  Lexicon(const Lexicon&) = default;
  Lexicon& operator=(const Lexicon&) = default;
};

// The words of a store, as long as a snapshot holds them.
class ShopLexicon final : public Lexicon {
 public:
  explicit ShopLexicon(const store::Words& words) : words_(words) {}
  [[nodiscard]] std::uint32_t tips() const override;
  [[nodiscard]] std::uint32_t tips_with(std::string_view word) const override;
  void each(
      const std::function<void(std::string_view word, std::uint32_t tips)>& visit) const override;
  [[nodiscard]] std::uint64_t stamp() const override;
  [[nodiscard]] std::uint64_t base() const override;
  void each_of_base(const Visit& visit) const override;
  void each_since(const Visit& visit) const override;
  [[nodiscard]] std::uint32_t together(std::string_view a, std::string_view b) const override;

 private:
  const store::Words& words_;
};

}  // namespace baylore::search
