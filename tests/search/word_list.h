// A lexicon held in memory, for the tests of corrections: from lines of words, or from the demo
// shop's tips.
#pragma once

#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <set>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

#include "search/lexicon.h"
#include "shop/document.h"
#include "shop/fold.h"
#include "shop/vocabulary.h"

namespace baylore::search::test {

class WordList : public Lexicon {
 public:
  // One tip.
  void add(std::string_view text) {
    for (const std::string& word : shop::words_of(text)) {
      std::vector<std::uint32_t>& tips = words_[word];
      if (tips.empty() || tips.back() != tips_) tips.push_back(tips_);
    }
    ++tips_;
    ++stamp_;
  }
  // `times` tips of one word.
  void add(std::string_view word, int times) {
    for (int i = 0; i < times; ++i) add(word);
  }

  [[nodiscard]] std::uint32_t tips() const override { return tips_; }
  [[nodiscard]] std::uint32_t tips_with(std::string_view word) const override {
    const auto found = words_.find(word);
    return found == words_.end() ? 0 : static_cast<std::uint32_t>(found->second.size());
  }
  void each(const std::function<void(std::string_view, std::uint32_t)>& visit) const override {
    for (const auto& [word, tips] : words_) visit(word, static_cast<std::uint32_t>(tips.size()));
  }
  [[nodiscard]] std::uint64_t stamp() const override { return stamp_; }
  [[nodiscard]] std::uint32_t together(std::string_view a, std::string_view b) const override {
    const auto left = words_.find(a);
    const auto right = words_.find(b);
    if (left == words_.end() || right == words_.end()) return 0;
    std::vector<std::uint32_t> both;
    std::set_intersection(left->second.begin(), left->second.end(), right->second.begin(),
                          right->second.end(), std::back_inserter(both));
    return static_cast<std::uint32_t>(both.size());
  }

 private:
  std::map<std::string, std::vector<std::uint32_t>, std::less<>> words_;
  std::uint32_t tips_ = 0;
  std::uint64_t stamp_ = 0;
};

inline std::string file_text(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

// The demo shop's tips, in the order of their paths.
inline WordList demo_words() {
  std::set<std::filesystem::path> paths;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(
           std::filesystem::path(BAYLORE_SOURCE_DIR) / "content" / "tips")) {
    if (entry.path().extension() == ".md") paths.insert(entry.path());
  }
  WordList list;
  for (const std::filesystem::path& path : paths) list.add(file_text(path));
  return list;
}

inline shop::Vocabulary demo_vocabulary() {
  std::set<std::filesystem::path> paths;
  for (const auto& entry : std::filesystem::directory_iterator(
           std::filesystem::path(BAYLORE_SOURCE_DIR) / "content" / "vocabulary")) {
    paths.insert(entry.path());
  }
  shop::Vocabulary vocabulary;
  for (const std::filesystem::path& path : paths) {
    shop::read_vocabulary(shop::Document::parse(file_text(path)), path.filename().string(),
                          vocabulary);
  }
  return vocabulary;
}

}  // namespace baylore::search::test
