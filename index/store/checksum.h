// The checksum of pages and blocks: damage is noticed, intent is not.
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstring>

namespace baylore::store {

// 64 bits over `size` bytes, a multiple of 8, and a seed that says where they belong. Each step is
// a bijection of the state for a given word and of the word for a given state, so a change confined
// to one word is always seen; others escape with a chance of 2^-64.
inline std::uint64_t checksum(const void* bytes, std::size_t size, std::uint64_t seed) {
  const auto* at = static_cast<const unsigned char*>(bytes);
  std::uint64_t sum = 0x9e3779b97f4a7c15U ^ seed;
  for (const auto* end = at + size; at != end; at += sizeof(std::uint64_t)) {
    std::uint64_t word = 0;
    std::memcpy(&word, at, sizeof word);
    sum = (sum ^ word) * 0xff51afd7ed558ccdU;
    sum ^= sum >> 29U;
  }
  return sum;
}

}  // namespace baylore::store
