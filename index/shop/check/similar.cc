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

bool word_byte(char c) {
  return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || static_cast<unsigned char>(c) >= 0x80;
}

constexpr std::uint32_t kEmpty = std::numeric_limits<std::uint32_t>::max();

}  // namespace

// One hash of each shingle gives both its place and its value there; the least value of each place
// is kept (one permutation hashing: Li, Owen and Zhang, 2012). A place that got none takes over the
// value of another, found by a walk that is the same for every text (optimal densification:
// Shrivastava, 2017), so that the share of equal places stays an estimate of the Jaccard index.
Sketch sketch_of(std::string_view text) {
  Sketch sketch;
  sketch.least.fill(kEmpty);
  const std::string folded = fold(text);
  std::uint64_t before = 0;
  std::uint64_t last = 0;
  std::size_t words = 0;
  for (std::size_t i = 0; i < folded.size();) {
    if (!word_byte(folded[i])) {
      ++i;
      continue;
    }
    std::uint64_t word = 0xcbf29ce484222325ULL;  // FNV-1a, 64 bits
    for (; i < folded.size() && word_byte(folded[i]); ++i) {
      word ^= static_cast<unsigned char>(folded[i]);
      word *= 0x100000001b3ULL;
    }
    if (++words >= 3) {
      const std::uint64_t shingle = mixed(mixed(before * 3 + last) * 3 + word);
      std::uint32_t& least = sketch.least[(shingle >> 32U) % Sketch::kSize];
      // One bit less, so that no value looks like an empty place.
      least = std::min(least, static_cast<std::uint32_t>(shingle) >> 1U);
      ++sketch.shingles;
    }
    before = last;
    last = word;
  }
  if (sketch.shingles == 0) return sketch;
  const auto sparse = sketch.least;
  for (std::size_t place = 0; place < Sketch::kSize; ++place) {
    for (std::uint64_t step = 1; sketch.least[place] == kEmpty; ++step) {
      sketch.least[place] = sparse[mixed(place * 1000003 + step) % Sketch::kSize];
    }
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
