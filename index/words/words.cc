#include "words/words.h"

#include <atomic>
#include <boost/locale/gnu_gettext.hpp>
#include <boost/locale/message.hpp>
#include <exception>
#include <list>
#include <locale>
#include <mutex>

namespace baylore {
namespace {

using Messages = boost::locale::message_format<char>;

struct Catalogue {
  std::string code;
  std::string bytes;
  std::locale keeps;  // owns `messages`
  const Messages* messages = nullptr;
};

// Read without a lock by every text that is drawn; nullptr is English.
std::atomic<const Catalogue*> current{nullptr};

const Messages* messages() {
  const Catalogue* now = current.load(std::memory_order_acquire);
  return now == nullptr ? nullptr : now->messages;
}

// nullptr when the catalogue has no such text. The empty text is the catalogue's own header. A
// damaged file is only found out when the damaged place is read, and then by an exception.
const char* found(const char* context, const char* text) {
  const Messages* all = messages();
  if (all == nullptr || *text == '\0') return nullptr;
  try {
    const char* there = all->get(0, context, text);
    return there != nullptr && *there != '\0' ? there : nullptr;
  } catch (const std::exception&) {
    return nullptr;
  }
}

const char* found_form(const char* one, const char* many, long count) {
  const char* english = count == 1 ? one : many;
  const Messages* all = messages();
  if (all == nullptr) return english;
  try {
    const char* there = all->get(0, nullptr, one, static_cast<int>(count % 1000000));
    return there != nullptr && *there != '\0' ? there : english;
  } catch (const std::exception&) {
    return english;
  }
}

std::string filled(const char* pattern, const char* english, fmt::format_args args) {
  for (const char* each : {pattern, english}) {
    try {
      return fmt::vformat(each, args);
    } catch (const std::exception&) {
      continue;
    }
  }
  return english;
}

}  // namespace

const char* tr(const char* text) {
  const char* there = found(nullptr, text);
  return there != nullptr ? there : text;
}

std::string tr(const std::string& text) { return tr(text.c_str()); }
std::string tr(std::string_view text) { return tr(std::string(text).c_str()); }

const char* tr_in(const char* context, const char* text) {
  const char* there = found(context, text);
  return there != nullptr ? there : text;
}

std::string say_with(const char* pattern, fmt::format_args args) {
  return filled(tr(pattern), pattern, args);
}

std::string say_count_with(const char* one, const char* many, long count, fmt::format_args args) {
  return filled(found_form(one, many, count), count == 1 ? one : many, args);
}

// The catalogue says how its language writes a number, as the C library's locales do.
const char* decimal_mark() { return *tr_in("decimal mark", ".") == ',' ? "," : "."; }

std::string in_typed_figures(std::string typed) {
  for (char& c : typed) {
    if (c == '.') c = *decimal_mark();
  }
  return typed;
}

std::string in_figures(std::string number) {
  if (*decimal_mark() == '.') return number;
  const auto figure = [&](std::size_t at) {
    return at < number.size() && number[at] >= '0' && number[at] <= '9';
  };
  for (std::size_t i = 1; i + 1 < number.size(); ++i) {
    if (number[i] != '.' || !figure(i - 1) || !figure(i + 1)) continue;
    std::size_t from = i;
    while (from > 0 && figure(from - 1)) --from;
    std::size_t to = i + 1;
    while (figure(to)) ++to;
    const auto joins = [](char c) {
      return c == '.' || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
    };
    const bool more = (from > 0 && joins(number[from - 1])) ||
                      (to + 1 < number.size() && number[to] == '.' && figure(to + 1));
    if (!more) number[i] = ',';
    i = to;
  }
  return number;
}

namespace words {
namespace {

// Only ever grows, under the lock; what is read without it are entries that no longer change.
std::mutex taking;
std::list<Catalogue>& taken() {
  static auto* const all = new std::list<Catalogue>;  // outlives every thread that still draws
  return *all;
}

}  // namespace

const std::vector<Language>& languages() {
  static const std::vector<Language> all{{"en", "English"}, {"es", "Español"}};
  return all;
}

std::string language() {
  const Catalogue* now = current.load(std::memory_order_acquire);
  return now == nullptr ? "en" : now->code;
}

bool use(const std::string& code, std::string_view catalogue) {
  if (code == "en") {
    current.store(nullptr, std::memory_order_release);
    return true;
  }
  const std::lock_guard<std::mutex> lock(taking);
  for (const Catalogue& known : taken()) {
    if (known.code != code || known.bytes != catalogue) continue;
    current.store(&known, std::memory_order_release);
    return true;
  }
  // An empty or a foreign file would be taken for a catalogue without texts.
  const bool little = catalogue.starts_with("\xde\x12\x04\x95");
  if (catalogue.size() < 28 || (!little && !catalogue.starts_with("\x95\x04\x12\xde")))
    return false;
  namespace gettext = boost::locale::gnu_gettext;
  gettext::messages_info info;
  info.language = code;
  info.encoding = "UTF-8";
  info.paths = {""};
  info.domains = {gettext::messages_info::domain("baylore")};
  info.callback = [&](const std::string&, const std::string&) {
    return std::vector<char>(catalogue.begin(), catalogue.end());
  };
  try {
    Catalogue made;
    Messages* all = gettext::create_messages_facet<char>(info);
    if (all == nullptr) return false;
    made.keeps = std::locale(std::locale::classic(), all);
    made.messages = all;
    made.code = code;
    made.bytes = catalogue;
    taken().push_back(std::move(made));
  } catch (const std::exception&) {
    return false;
  }
  current.store(&taken().back(), std::memory_order_release);
  return true;
}

}  // namespace words
}  // namespace baylore
