#include "shop/finding.h"

#include <fmt/format.h>

namespace baylore::shop {

std::string Finding::text() const {
  std::string said = fmt::format("{}:{}:{}: {}", file, line, column, message);
  if (!remedy.empty()) said += ": " + remedy;
  return said;
}

std::string_view level_word(Level level) {
  switch (level) {
    case Level::error:
      return "error";
    case Level::warning:
      return "warning";
    case Level::note:
      return "note";
  }
  return "note";
}

}  // namespace baylore::shop
