#include "files/result.h"

#include "words/words.h"

namespace baylore::files {

std::string Failure::text() const {
  std::string out;
  for (const std::string* part : {&path, &what, &remedy}) {
    if (part->empty()) continue;
    if (!out.empty()) out += ": ";
    out += part == &path ? *part : tr(*part);
  }
  return out;
}

}  // namespace baylore::files
