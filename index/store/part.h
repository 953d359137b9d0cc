// A part of the postings, read where it lies: mapped from its file or held in memory. What is asked
// for is checked when it is first touched.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "files/result.h"
#include "store/part_format.h"
#include "store/spread.h"

namespace baylore::store {

// What a tip's words look like inside a part.
struct Forward {
  std::span<const std::uint16_t> sizes;  // words in each area
  std::span<const std::uint16_t> whens;  // words of each condition in the area `when`
  std::span<const std::uint16_t> codes;  // two halves for each
  std::span<const std::uint16_t> words;  // numbers, or kEscape and two halves
};

// Adds a posting: how many tips were skipped since the one before, and the weight.
inline void put_posting(std::string& bytes, std::uint32_t skipped, std::uint8_t weight) {
  for (; skipped >= 0x80; skipped >>= 7U) bytes += static_cast<char>(skipped | 0x80U);
  bytes += static_cast<char>(skipped);
  bytes += static_cast<char>(weight);
}

// The postings of a word, to be walked in order of tips.
class Postings {
 public:
  Postings() = default;
  Postings(const std::uint8_t* at, const std::uint8_t* end) : at_(at), end_(end) { ahead(); }

  // False after the last; then tip() and weight() mean nothing.
  [[nodiscard]] bool more() const { return !over_; }
  [[nodiscard]] std::uint32_t tip() const { return tip_; }
  [[nodiscard]] std::uint8_t weight() const { return weight_; }
  void next() {
    ++tip_;
    ahead();
  }

 private:
  void ahead() {
    // Nearly all of a common word's.
    if (end_ - at_ >= 2 && *at_ < 0x80) {
      tip_ += at_[0];
      weight_ = at_[1];
      at_ += 2;
      return;
    }
    far_ahead();
  }
  void far_ahead() {
    std::uint32_t skipped = 0;
    unsigned shift = 0;
    while (at_ < end_ && *at_ >= 0x80 && shift < 28) {
      skipped |= static_cast<std::uint32_t>(*at_++ & 0x7FU) << shift;
      shift += 7;
    }
    if (end_ - at_ < 2) {
      over_ = true;
      return;
    }
    skipped |= static_cast<std::uint32_t>(*at_++) << shift;
    tip_ += skipped;
    weight_ = *at_++;
  }

  const std::uint8_t* at_ = nullptr;
  const std::uint8_t* end_ = nullptr;
  std::uint32_t tip_ = 0;
  std::uint8_t weight_ = 0;
  bool over_ = false;
};

// Numbers of words and tips count from 0 inside the part. An accessor that meets damage answers
// with nothing, and damaged() is true from then on. One thread at a time.
class Part {
 public:
  // Takes what PartBuilder wrote. `sum` is what write() gave; another one is damage.
  static files::Result<Part> map(const std::string& path, std::uint64_t sum);
  static files::Result<Part> hold(std::string bytes);
  Part(Part&&) noexcept;
  Part& operator=(Part&&) noexcept;
  ~Part();

  [[nodiscard]] std::uint32_t tips() const { return static_cast<std::uint32_t>(footer_.tips); }
  [[nodiscard]] std::uint32_t words() const { return static_cast<std::uint32_t>(footer_.words); }
  [[nodiscard]] bool damaged() const { return damaged_; }
  // Reads everything once: whether it is as it was written.
  [[nodiscard]] bool whole() const;

  // --- words
  [[nodiscard]] std::optional<std::uint32_t> find(std::string_view text, Language language) const;
  [[nodiscard]] std::string_view text(std::uint32_t word) const;
  [[nodiscard]] Language language(std::uint32_t word) const;
  [[nodiscard]] std::uint32_t count(std::uint32_t word) const;  // tips that hold it
  // All words in order of text and language, and those of them that begin with `prefix`.
  [[nodiscard]] std::span<const std::uint32_t> by_text() const;
  [[nodiscard]] std::span<const std::uint32_t> beginning(std::string_view prefix) const;
  // Words of one stem.
  [[nodiscard]] std::span<const std::uint32_t> of_stem(std::string_view stem,
                                                       Language language) const;
  [[nodiscard]] Postings postings(std::uint32_t word) const;

  // --- tips
  [[nodiscard]] std::optional<std::uint32_t> tip_of(std::int64_t doc) const;
  [[nodiscard]] std::int64_t doc(std::uint32_t tip) const;
  [[nodiscard]] std::string_view id(std::uint32_t tip) const;
  [[nodiscard]] std::string_view path(std::uint32_t tip) const;
  [[nodiscard]] std::uint64_t hash(std::uint32_t tip) const;
  // Has the processor fetch what forward(tip) will look at first.
  void expect_forward(std::uint32_t tip) const {
    const Place& place = footer_.sections[static_cast<std::size_t>(Section::forward_at)];
    if (tip < footer_.tips) __builtin_prefetch(bytes_ + place.at + tip * sizeof(std::uint64_t));
  }
  // kWithdrawn, and the language above it, of each tip.
  [[nodiscard]] std::span<const std::uint8_t> flags() const;
  [[nodiscard]] Forward forward(std::uint32_t tip) const;

  // --- vehicles
  [[nodiscard]] std::span<const FitLine> fit_lines() const;
  [[nodiscard]] std::span<const std::uint32_t> fits(std::uint32_t tip) const;
  // Calls `visit` for every tip in order with the numbers of its fit lines.
  template <class Visit>
  void each_fit(const Visit& visit) const {
    const std::span<const std::uint32_t> ends = fit_ends();
    const std::span<const std::uint32_t> all = all_fits();
    for (std::uint32_t tip = 0; tip + 1 < ends.size(); ++tip) {
      if (ends[tip + 1] < ends[tip] || ends[tip + 1] > all.size()) return;
      visit(tip, all.subspan(ends[tip], ends[tip + 1] - ends[tip]));
    }
  }
  [[nodiscard]] std::uint32_t names() const { return static_cast<std::uint32_t>(footer_.names); }
  [[nodiscard]] std::string_view name(std::uint32_t number) const;

  // The tip as it was added; views into the part. Empty when damage is met.
  [[nodiscard]] std::optional<Spread> spread(std::uint32_t tip) const;

 private:
  Part() = default;
  static files::Result<Part> take(Part part, const std::string& name,
                                  std::optional<std::uint64_t> sum);
  [[nodiscard]] std::span<const std::uint32_t> fit_ends() const;
  [[nodiscard]] std::span<const std::uint32_t> all_fits() const;
  template <class T>
  [[nodiscard]] std::span<const T> section(Section which) const;
  // Elements of a section, checked.
  template <class T>
  [[nodiscard]] std::span<const T> slice(Section which, std::uint64_t from,
                                         std::uint64_t count) const;
  template <class T>
  [[nodiscard]] T one(Section which, std::uint64_t index) const;
  [[nodiscard]] std::string_view between(Section text, Section at, std::uint64_t index) const;
  [[nodiscard]] bool checked(std::uint64_t from, std::uint64_t size) const;
  [[nodiscard]] bool check_block(std::uint64_t block) const;

  std::shared_ptr<const void> mapped_;
  std::string held_;
  const char* bytes_ = nullptr;
  std::uint64_t size_ = 0;
  Footer footer_;
  std::unique_ptr<std::uint64_t[]> good_;  // a bit a block: its checksum was right
  mutable bool damaged_ = false;
};

}  // namespace baylore::store
