// Numbers as LEB128: seven bits a byte, the lowest first, the top bit says that more follow.
#pragma once

#include <cstdint>
#include <string>

namespace baylore::store {

inline void put_number(std::string& out, std::uint64_t value) {
  while (value >= 0x80) {
    out += static_cast<char>(value | 0x80U);
    value >>= 7U;
  }
  out += static_cast<char>(value);
}

}  // namespace baylore::store
