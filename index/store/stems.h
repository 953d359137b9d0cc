// Word stems of the languages that tips are written in: Snowball's algorithms, from libstemmer.
#pragma once

#include <cstdint>
#include <memory>
#include <string_view>

struct sb_stemmer;

namespace baylore::store {

// Of a tip, from its `lang`. Words of two languages are two entries of the dictionary though they
// are spelt alike, because their endings mean different things.
enum class Language : std::uint8_t {
  english,
  spanish,
  other,  // no stems: a word is its own
  code,   // not a language: the trouble codes a tip lists
};
inline constexpr std::uint8_t kLanguages = 3;  // of words
inline constexpr Language kSpoken[kLanguages] = {Language::english, Language::spanish,
                                                 Language::other};

// `en`, `es`, `en-US` ...; without a `lang` a tip is English.
Language language_of(std::string_view lang);

// One thread at a time.
class Stemmer {
 public:
  Stemmer();
  ~Stemmer();
  Stemmer(Stemmer&&) noexcept;
  Stemmer& operator=(Stemmer&&) noexcept;

  // The stem of a folded word. The view lives until the next call. Words with a digit are their own
  // stem.
  std::string_view stem(std::string_view word, Language language);

 private:
  struct Delete {
    void operator()(sb_stemmer* stemmer) const;
  };
  std::unique_ptr<sb_stemmer, Delete> english_;
  std::unique_ptr<sb_stemmer, Delete> spanish_;
};

}  // namespace baylore::store
