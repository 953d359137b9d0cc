// The one table of the program's texts and its translations: nothing missing, the same places for
// numbers and names in both, blanks at the ends kept; and no sentence of the viewer that is not in
// it.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <set>
#include <string>
#include <vector>

namespace {

std::string read(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

struct Entry {
  std::string context;
  std::vector<std::string> texts;  // one, or one and many
  std::vector<std::string> translations;
  bool fuzzy = false;
};

// PO files as gettext's own tools write them.
std::vector<Entry> entries_of(const std::string& path) {
  std::vector<Entry> all;
  Entry entry;
  std::string* into = nullptr;
  std::ifstream file(path);
  std::string line;
  const auto quoted = [](const std::string& text) {
    const std::size_t from = text.find('"');
    std::string out;
    for (std::size_t i = from + 1; i + 1 < text.size(); ++i) {
      if (text[i] == '\\' && i + 2 < text.size()) {
        ++i;
        out += text[i] == 'n' ? '\n' : text[i];
      } else {
        out += text[i];
      }
    }
    return out;
  };
  while (std::getline(file, line)) {
    if (line.empty()) {
      if (!entry.texts.empty()) all.push_back(std::move(entry));
      entry = {};
    } else if (line.starts_with("#, ")) {
      entry.fuzzy = line.find("fuzzy") != std::string::npos;
    } else if (line.starts_with("msgctxt")) {
      entry.context = quoted(line);
      into = &entry.context;
    } else if (line.starts_with("msgid")) {
      into = &entry.texts.emplace_back(quoted(line));
    } else if (line.starts_with("msgstr")) {
      into = &entry.translations.emplace_back(quoted(line));
    } else if (line.starts_with('"') && into != nullptr) {
      *into += quoted(line);
    }
  }
  if (!entry.texts.empty()) all.push_back(std::move(entry));
  std::erase_if(all, [](const Entry& one) { return one.texts.front().empty(); });
  return all;
}

// The places a pattern has, `{}` counted on, sorted: "0", "1:.0f".
std::multiset<std::string> places_of(const std::string& text) {
  std::multiset<std::string> places;
  int next = 0;
  for (std::size_t at = text.find('{'); at != std::string::npos; at = text.find('{', at + 1)) {
    const std::size_t end = text.find('}', at);
    if (end == std::string::npos) break;
    std::string place = text.substr(at + 1, end - at - 1);
    if (place.empty() || place.front() == ':') place = std::to_string(next++) + place;
    places.insert(place);
  }
  return places;
}

// The string literals of a C++ source, adjacent ones as one, each with what stands before it.
struct Literal {
  std::string text;
  std::string before;
  int line = 0;
};
std::vector<Literal> literals_of(const std::string& source) {
  std::vector<Literal> all;
  bool joined = false;
  int line = 1;
  for (std::size_t i = 0; i < source.size(); ++i) {
    const char c = source[i];
    if (c == '\n') ++line;
    if (source.compare(i, 2, "//") == 0) {
      i = std::min(source.find('\n', i), source.size()) - 1;
    } else if (c == '\'' && i > 0 && (source[i - 1] < '0' || source[i - 1] > '9')) {
      for (++i; i < source.size() && source[i] != '\''; ++i) {
        if (source[i] == '\\') ++i;
      }
      joined = false;
    } else if (c == '"') {
      const std::size_t from = i + 1;
      for (++i; i < source.size() && source[i] != '"'; ++i) {
        if (source[i] == '\\') ++i;
      }
      const std::string text = source.substr(from, i - from);
      if (joined) {
        all.back().text += text;
      } else {
        std::string before = source.substr(from > 80 ? from - 81 : 0, from > 80 ? 80 : from - 1);
        while (!before.empty() && std::isspace(static_cast<unsigned char>(before.back())) != 0)
          before.pop_back();
        all.push_back({text, before, line});
      }
      joined = true;
    } else if (std::isspace(static_cast<unsigned char>(c)) == 0) {
      joined = false;
    }
  }
  return all;
}

bool wrapped(const Literal& literal) {
  for (const char* call : {"tr(", "say(", "say_count(", "tr_in(", "marked("}) {
    if (literal.before.ends_with(call)) return true;
  }
  // The second text of say_count() and tr_in().
  const std::size_t quote = literal.before.rfind("\",");
  return literal.before.ends_with(",") && quote != std::string::npos &&
         (literal.before.rfind("say_count(") != std::string::npos ||
          literal.before.rfind("tr_in(") != std::string::npos);
}

// A sentence or a name for a person: begins with a capital and has a small letter, or has words
// with a blank between.
bool for_people(const std::string& text) {
  const bool letters =
      std::any_of(text.begin(), text.end(), [](char c) { return c >= 'a' && c <= 'z'; });
  if (!letters || text.size() < 3) return false;
  return text.front() >= 'A' && text.front() <= 'Z';
}

const std::string kWords = std::string(BAYLORE_SOURCE_DIR) + "/index/words/";

}  // namespace

TEST_CASE("every text of the table is translated, with the same places") {
  std::map<std::pair<std::string, std::string>, Entry> known;
  const std::vector<Entry> spanish = entries_of(kWords + "es.po");
  for (const Entry& one : spanish) known[{one.context, one.texts.front()}] = one;
  const std::vector<Entry> table = entries_of(kWords + "baylore.pot");
  CHECK(table.size() > 1000);
  for (const Entry& one : table) {
    CAPTURE(one.texts.front());
    const auto at = known.find({one.context, one.texts.front()});
    REQUIRE(at != known.end());
    const Entry& other = at->second;
    CHECK_FALSE(other.fuzzy);
    CHECK(other.translations.size() == one.texts.size());
    for (std::size_t i = 0; i < other.translations.size(); ++i) {
      const std::string& said = other.translations[i];
      const std::string& text = one.texts[std::min(i, one.texts.size() - 1)];
      CAPTURE(said);
      REQUIRE_FALSE(said.empty());
      // "once" is no number in either.
      if (one.texts.size() == 1) CHECK(places_of(said) == places_of(text));
      if (one.texts.size() == 2 && i == 1) CHECK(places_of(said) == places_of(text));
      CHECK((said.front() == ' ') == (text.front() == ' '));
      CHECK((said.back() == ' ') == (text.back() == ' '));
    }
  }
}

TEST_CASE("what the viewer says is in the table") {
  // What is written in capitals and is no text: names of the format's keys, of standards, of signs.
  const std::set<std::string> allowed{
      "Source-Organization", "Bagging-Date", "Baylore", "Parts", "Location", "Why:", "N·m"};
  int seen = 0;
  for (const char* folder : {"screens", "state", "services", "ui"}) {
    for (const auto& one : std::filesystem::directory_iterator(std::string(BAYLORE_SOURCE_DIR) +
                                                               "/viewer/" + folder)) {
      if (one.path().extension() != ".cc") continue;
      for (const Literal& literal : literals_of(read(one.path().string()))) {
        if (literal.before.ends_with("#include") || !for_people(literal.text)) continue;
        ++seen;
        CAPTURE(one.path().filename().string());
        CAPTURE(literal.line);
        CAPTURE(literal.text);
        CHECK((wrapped(literal) || allowed.contains(literal.text)));
      }
    }
  }
  CHECK(seen > 500);
}
