// The demo shop's tips and their sheets, and what other programs read of what was made.
#pragma once

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "sheet/sheet.h"
#include "shop/check/check.h"

namespace baylore::sheet::test {

inline shop::Tip tip_of(const std::string& text, const std::string& path = "tips/x.md") {
  return shop::read_tip(shop::Document::parse(text), path);
}

inline std::vector<shop::Tip> demo_tips() {
  std::vector<shop::Tip> tips;
  const std::filesystem::path shop = BAYLORE_SOURCE_DIR "/content";
  for (const auto& one : std::filesystem::recursive_directory_iterator(shop / "tips")) {
    if (one.path().extension() != ".md") continue;
    std::ifstream file(one.path(), std::ios::binary);
    std::ostringstream bytes;
    bytes << file.rdbuf();
    tips.push_back(tip_of(bytes.str(), std::filesystem::relative(one.path(), shop).string()));
  }
  return tips;
}

// What a command prints.
inline std::string printed_by(const std::string& command) {
  std::string out;
  std::FILE* pipe = ::popen((command + " 2>/dev/null").c_str(), "r");
  if (pipe == nullptr) return out;
  char piece[4096];
  while (const std::size_t got = std::fread(piece, 1, sizeof piece, pipe)) out.append(piece, got);
  ::pclose(pipe);
  return out;
}

// Without blanks, ends of lines and the hyphens between two letters: where a line was broken means
// nothing, and the reader of the PDF takes a hyphen there for one that only the break asked for.
inline std::string flowing(const std::string& text) {
  std::string bare;
  for (const char c : text) {
    if (c != ' ' && c != '\n' && c != '\f' && c != '\r' && c != '\t') bare += c;
  }
  const auto letter = [](char c) { return (static_cast<unsigned char>(c) | 0x20U) >= 'a'; };
  std::string out;
  for (std::size_t i = 0; i < bare.size(); ++i) {
    const bool inside = i > 0 && i + 1 < bare.size() && letter(bare[i - 1]) && letter(bare[i + 1]);
    if (bare[i] != '-' || !inside) out += bare[i];
  }
  return out;
}

}  // namespace baylore::sheet::test
