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

// At most kMost are kept: nobody reads more, and rubbish must not fill the memory.
class Reasons {
 public:
  static constexpr std::size_t kMost = 200;
  void add(std::string rule, std::string path, std::string what) {
    if (list_.size() < kMost) list_.push_back({std::move(rule), std::move(path), std::move(what)});
  }
  void add(const std::vector<Reason>& more) {
    for (const Reason& one : more) add(one.rule, one.path, one.what);
  }
  [[nodiscard]] bool empty() const { return list_.empty(); }
  [[nodiscard]] const std::vector<Reason>& list() const { return list_; }

 private:
  std::vector<Reason> list_;
};

}  // namespace baylore::pack
