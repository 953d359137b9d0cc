#include "files/result.h"

namespace baylore::files {

std::string Failure::text() const {
  std::string out;
  for (const std::string* part : {&path, &what, &remedy}) {
    if (part->empty()) continue;
    if (!out.empty()) out += ": ";
    out += *part;
  }
  return out;
}

}  // namespace baylore::files
