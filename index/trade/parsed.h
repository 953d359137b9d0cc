#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <variant>

namespace baylore::trade {

// Why a text was not understood. `what` says what is wrong, `remedy` what to write instead; both
// are fragments without a full stop, ready for `file:line:column: what: remedy`.
struct Refusal {
  std::size_t at = 0;  // byte offset into the text as it was given; text.size() means "at its end"
  std::string what;
  std::string remedy;
};

// What a reader of typed text gives back: the value, or why there is none. Nothing in this layer
// throws for bad input, and nothing guesses: a text that can be read in two ways is refused with
// the question in `remedy`.
template <class T>
using Parsed = std::variant<T, Refusal>;

// The value, or nullptr. The pointer lives as long as `parsed`; a temporary is not accepted.
template <class T>
const T* value_in(const Parsed<T>& parsed) {
  return std::get_if<T>(&parsed);
}
template <class T>
T* value_in(Parsed<T>& parsed) {
  return std::get_if<T>(&parsed);
}
template <class T>
const T* value_in(const Parsed<T>&& parsed) = delete;

// The refusal, or nullptr. Lives as long as `parsed`.
template <class T>
const Refusal* refusal_in(const Parsed<T>& parsed) {
  return std::get_if<Refusal>(&parsed);
}
template <class T>
const Refusal* refusal_in(const Parsed<T>&& parsed) = delete;

// The refusal by copy: `if (value_in(read) == nullptr) return reason_in(read);` hands it on.
template <class T>
Refusal reason_in(const Parsed<T>& parsed) {
  if (const Refusal* refusal = std::get_if<Refusal>(&parsed)) return *refusal;
  return {};
}

// The value by copy, or nullopt: for callers that do not need the reason.
template <class T>
std::optional<T> taken(const Parsed<T>& parsed) {
  if (const T* value = std::get_if<T>(&parsed)) return *value;
  return std::nullopt;
}

}  // namespace baylore::trade
