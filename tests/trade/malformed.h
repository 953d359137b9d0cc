#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "doctest/doctest.h"
#include "trade/parsed.h"

// Feeds each text to a reader and asks for a refusal that helps: what is wrong, what to do instead,
// and a place inside the text.
template <class Texts, class Read>
void expect_refusals(const Texts& texts, std::size_t at_least, Read read) {
  REQUIRE(texts.size() >= at_least);
  for (const std::string_view text : texts) {
    CAPTURE(std::string(text));
    const auto parsed = read(text);
    CHECK(baylore::trade::value_in(parsed) == nullptr);
    if (const baylore::trade::Refusal* refusal = baylore::trade::refusal_in(parsed)) {
      CHECK(refusal->what.size() >= 5);
      CHECK(refusal->remedy.size() >= 5);
      CHECK(refusal->what.back() != '.');
      CHECK(refusal->at <= text.size());
    }
  }
}

// Random texts of bytes and of the characters readers look at: a reader returns, and a refusal
// points into the text. Deterministic.
template <class Read>
void survive_noise(std::string_view alphabet, int rounds, Read read) {
  std::uint32_t state = 20260314;
  const auto next = [&state] {
    state = state * 1664525u + 1013904223u;
    return state >> 8;
  };
  for (int round = 0; round < rounds; ++round) {
    std::string text;
    const std::size_t length = next() % 24;
    for (std::size_t i = 0; i < length; ++i) {
      const bool any_byte = next() % 8 == 0;
      text += any_byte ? static_cast<char>(next() & 0xFF) : alphabet[next() % alphabet.size()];
    }
    const auto parsed = read(std::string_view(text));
    if (const baylore::trade::Refusal* refusal = baylore::trade::refusal_in(parsed)) {
      REQUIRE(refusal->at <= text.size());
      REQUIRE(!refusal->what.empty());
    }
  }
}
