#pragma once

#include <fstream>
#include <map>
#include <string>
#include <string_view>
#include <vector>

// Small readers for the data files beside these tests.

inline std::vector<std::string> split(std::string_view text, char sign) {
  std::vector<std::string> out;
  std::size_t from = 0;
  while (true) {
    const std::size_t at = text.find(sign, from);
    out.emplace_back(text.substr(from, at - from));
    if (at == std::string_view::npos) return out;
    from = at + 1;
  }
}

// The rows of a tab-separated file under tests/outside/data; empty when it is not there.
inline std::vector<std::vector<std::string>> table(const std::string& name) {
  std::ifstream file(std::string(BAYLORE_SOURCE_DIR) + "/tests/outside/data/" + name);
  std::vector<std::vector<std::string>> rows;
  for (std::string line; std::getline(file, line);) {
    if (!line.empty()) rows.push_back(split(line, '\t'));
  }
  return rows;
}

// `R=10;T1=20` as a map.
inline std::map<std::string, std::string> named(const std::string& text) {
  std::map<std::string, std::string> out;
  for (const std::string& pair : split(text, ';')) {
    const std::size_t equals = pair.find('=');
    out[pair.substr(0, equals)] = equals == std::string::npos ? "" : pair.substr(equals + 1);
  }
  return out;
}
