// Words of everyday speech, English and Spanish.
#pragma once

#include <string_view>
#include <unordered_set>

namespace baylore::search {

// A word people put round a complaint, which a shop's tips need not have (`please`, `customer`):
// never a slip. Folded.
bool everyday(std::string_view word);

const std::unordered_set<std::string_view>& everyday_words();

// A word that is rare in a few hundred tips by chance only, and tells none of them from the others:
// `really`, `takes`, `they`, and words without a meaning of their own. Not those that turn a
// complaint round or place it: `off`, `after`, `never`.
bool says_little(std::string_view word);

}  // namespace baylore::search
