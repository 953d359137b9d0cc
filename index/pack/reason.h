// Why something from elsewhere is not taken as it stands.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace baylore::pack {

struct Reason {
  std::string rule;  // short and stable: "manifest", "checksum", "name" ...
  std::string path;  // the file concerned, as it is named; may be empty
  std::string what;  // what is wrong, in words

  // "path: what"
  [[nodiscard]] std::string text() const { return path.empty() ? what : path + ": " + what; }
  bool operator==(const Reason&) const = default;
};

// At most kMost are kept, each at most kLongest bytes: nobody reads more, and rubbish must not fill
// the memory.
class Reasons {
 public:
  static constexpr std::size_t kMost = 200;
  static constexpr std::size_t kLongest = 600;
  void add(std::string rule, std::string path, std::string what) {
    if (list_.size() < kMost)
      list_.push_back({std::move(rule), cut(std::move(path)), cut(std::move(what))});
  }
  void add(const std::vector<Reason>& more) {
    for (const Reason& one : more) add(one.rule, one.path, one.what);
  }
  [[nodiscard]] bool empty() const { return list_.empty(); }
  [[nodiscard]] const std::vector<Reason>& list() const { return list_; }

 private:
  static std::string cut(std::string text) {
    if (text.size() <= kLongest) return text;
    std::size_t size = kLongest;
    // Not within a character of UTF-8.
    while (size > 0 && (static_cast<unsigned char>(text[size]) & 0xC0U) == 0x80U) --size;
    return text.substr(0, size) + " ...";
  }

  std::vector<Reason> list_;
};

}  // namespace baylore::pack
