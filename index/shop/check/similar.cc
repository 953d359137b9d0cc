#include "shop/check/similar.h"

#include <algorithm>
#include <limits>
#include <string>
#include <unordered_map>

#include "shop/fold.h"

namespace baylore::shop::checking {
namespace {

constexpr std::size_t kRows = 4;
constexpr std::size_t kBands = Sketch::kSize / kRows;
constexpr std::size_t kMostInBand = 8;

// The finalizer of MurmurHash3 (Appleby, public domain): every bit of the result depends on every
// bit of `x`.
std::uint64_t mixed(std::uint64_t x) {
  x ^= x >> 33U;
  x *= 0xff51afd7ed558ccdULL;
  x ^= x >> 33U;
  x *= 0xc4ceb9fe1a85ec53ULL;
  x ^= x >> 33U;
  return x;
}

// FNV-1a, 64 bits.
std::uint64_t hash_of(std::string_view word) {
  std::uint64_t hash = 0xcbf29ce484222325ULL;
  for (const char c : word) {
    hash ^= static_cast<unsigned char>(c);
    hash *= 0x100000001b3ULL;
  }
  return hash;
}

// The permutations of the sketch: odd multipliers and offsets, the same in every run.
struct Permutations {
  std::array<std::uint32_t, Sketch::kSize> multiply{};
  std::array<std::uint32_t, Sketch::kSize> add{};
  Permutations() {
    for (std::size_t i = 0; i < Sketch::kSize; ++i) {
      const std::uint64_t bits = mixed(i + 1);
      multiply.at(i) = static_cast<std::uint32_t>(bits) | 1U;
      add.at(i) = static_cast<std::uint32_t>(bits >> 32U);
    }
  }
};

}  // namespace

Sketch sketch_of(std::string_view text) {
  static const Permutations kPermutations;
  Sketch sketch;
  sketch.least.fill(std::numeric_limits<std::uint32_t>::max());
  const std::vector<std::string> words = words_of(text);
  std::uint64_t before = 0;
  std::uint64_t last = 0;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const std::uint64_t word = hash_of(words[i]);
    if (i >= 2) {
      const auto shingle = static_cast<std::uint32_t>(mixed(mixed(before * 3 + last) * 3 + word));
      for (std::size_t place = 0; place < Sketch::kSize; ++place) {
        const std::uint32_t value =
            shingle * kPermutations.multiply[place] + kPermutations.add[place];
        sketch.least[place] = std::min(sketch.least[place], value);
      }
      ++sketch.shingles;
    }
    before = last;
    last = word;
  }
  return sketch;
}

double likeness(const Sketch& a, const Sketch& b) {
  if (a.shingles < Sketch::kFewest || b.shingles < Sketch::kFewest) return 0;
  std::size_t equal = 0;
  for (std::size_t i = 0; i < Sketch::kSize; ++i) equal += a.least[i] == b.least[i] ? 1U : 0U;
  return static_cast<double>(equal) / static_cast<double>(Sketch::kSize);
}

std::vector<Alike> alike(const std::vector<const Sketch*>& sketches) {
  std::vector<std::unordered_map<std::uint64_t, std::vector<std::uint32_t>>> bands(kBands);
  std::vector<Alike> found;
  for (std::size_t i = 0; i < sketches.size(); ++i) {
    const Sketch* sketch = sketches[i];
    if (sketch == nullptr || sketch->shingles < Sketch::kFewest) continue;
    Alike best{i, i, 0};
    for (std::size_t band = 0; band < kBands; ++band) {
      std::uint64_t key = 0;
      for (std::size_t row = 0; row < kRows; ++row) {
        key = mixed(key + sketch->least.at(band * kRows + row) + 1);
      }
      std::vector<std::uint32_t>& met = bands[band][key];
      for (const std::uint32_t other : met) {
        if (best.likeness > 0 && other == best.other) continue;
        const double like = likeness(*sketch, *sketches[other]);
        if (like >= kNearlyTheSame && like > best.likeness) best = {i, other, like};
      }
      if (met.size() < kMostInBand) met.push_back(static_cast<std::uint32_t>(i));
    }
    if (best.likeness > 0) found.push_back(best);
  }
  return found;
}

}  // namespace baylore::shop::checking
