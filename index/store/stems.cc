#include "store/stems.h"

#include <libstemmer.h>

#include <algorithm>

#include "shop/fold.h"

namespace baylore::store {

void Stemmer::Delete::operator()(sb_stemmer* stemmer) const { sb_stemmer_delete(stemmer); }

Stemmer::Stemmer()
    : english_(sb_stemmer_new("english", "UTF_8")), spanish_(sb_stemmer_new("spanish", "UTF_8")) {}
Stemmer::~Stemmer() = default;
Stemmer::Stemmer(Stemmer&&) noexcept = default;
Stemmer& Stemmer::operator=(Stemmer&&) noexcept = default;

Language language_of(std::string_view lang) {
  if (lang.empty()) return Language::english;
  const std::string folded = shop::fold(lang.substr(0, 3));
  const std::string_view code = std::string_view(folded).substr(0, folded.find_first_of("-_"));
  if (code == "en") return Language::english;
  if (code == "es") return Language::spanish;
  return Language::other;
}

std::string_view Stemmer::stem(std::string_view word, Language language) {
  sb_stemmer* stemmer = language == Language::english   ? english_.get()
                        : language == Language::spanish ? spanish_.get()
                                                        : nullptr;
  const bool digit =
      std::any_of(word.begin(), word.end(), [](char c) { return c >= '0' && c <= '9'; });
  if (stemmer == nullptr || digit) return word;
  const sb_symbol* stem = sb_stemmer_stem(stemmer, reinterpret_cast<const sb_symbol*>(word.data()),
                                          static_cast<int>(word.size()));
  if (stem == nullptr) return word;  // out of memory
  return {reinterpret_cast<const char*>(stem),
          static_cast<std::size_t>(sb_stemmer_length(stemmer))};
}

}  // namespace baylore::store
