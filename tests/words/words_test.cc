// The program's texts: another language's catalogue, what it lacks, plural forms, patterns,
// figures, threads.
#include "words/words.h"

#include <doctest/doctest.h>

#include <atomic>
#include <fstream>
#include <iterator>
#include <string>
#include <thread>
#include <vector>

using namespace baylore;

namespace {

std::string spanish() {
  std::ifstream file(std::string(BAYLORE_BINARY_DIR) + "/share/locale/es/LC_MESSAGES/baylore.mo",
                     std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

// English again, whatever a case did.
struct English {
  English() = default;
  English(const English&) = delete;
  English& operator=(const English&) = delete;
  ~English() { words::use("en", {}); }
};

}  // namespace

TEST_CASE("English needs no catalogue") {
  CHECK(words::language() == "en");
  CHECK(std::string(tr("Back")) == "Back");
  CHECK(std::string(tr("")).empty());
  CHECK(say("{0} of {1}", 2, 6) == "2 of 6");
  CHECK(say_count("{0} tip", "{0} tips", 1, 1) == "1 tip");
  CHECK(say_count("{0} tip", "{0} tips", 3, 3) == "3 tips");
  CHECK(in_figures("12.5 V") == "12.5 V");
}

TEST_CASE("Spanish is taken and left again") {
  const English again;
  const char* before = tr("Back");
  REQUIRE(words::use("es", spanish()));
  CHECK(words::language() == "es");
  CHECK(std::string(tr("Back")) == "Atrás");
  CHECK(tr(std::string("in range")) == "en rango");
  CHECK(std::string(tr_in("an answer", "no")) == "no");
  CHECK(std::string(tr("no such text in any table")) == "no such text in any table");
  CHECK(std::string(tr("")).empty());  // not the catalogue's header
  CHECK(say_count("{0} tip", "{0} tips", 1, 1) == "1 consejo");
  CHECK(say_count("{0} tip", "{0} tips", 0, 0) == "0 consejos");
  const char* held = tr("Back");
  REQUIRE(words::use("en", {}));
  CHECK(std::string(before) == "Back");
  CHECK(std::string(held) == "Atrás");  // what was handed out stays
  CHECK(std::string(tr("Back")) == "Back");
}

TEST_CASE("a catalogue that is none changes nothing") {
  const English again;
  CHECK_FALSE(words::use("es", ""));
  CHECK_FALSE(words::use("es", "no catalogue at all"));
  std::string cut = spanish();
  CHECK(cut.size() > 1000);
  CHECK(words::language() == "en");
  // Cut short it may be taken; its texts are then English, and nothing is thrown.
  cut.resize(cut.size() / 3);
  words::use("es", cut);
  CHECK_FALSE(std::string(tr("Back")).empty());
  CHECK_FALSE(say_count("{0} tip", "{0} tips", 2, 2).empty());
}

TEST_CASE("a pattern whose braces are wrong is said as it stands") {
  CHECK(say("{0} of {", 1) == "{0} of {");
  CHECK(say("{0} of {1}", 1) == "{0} of {1}");
}

TEST_CASE("figures") {
  const English again;
  REQUIRE(words::use("es", spanish()));
  CHECK(in_figures("12.5 V") == "12,5 V");
  CHECK(in_figures("0.2–1.8 mm") == "0,2–1,8 mm");
  CHECK(in_figures("M6x1.0") == "M6x1.0");
  CHECK(in_figures("1.2.3") == "1.2.3");
  CHECK(in_figures("ends.") == "ends.");
  CHECK(in_typed_figures("12.") == "12,");
}

TEST_CASE("languages change while others read") {
  const English again;
  const std::string bytes = spanish();
  std::atomic<bool> over{false};
  std::atomic<int> odd{0};
  std::vector<std::thread> readers;
  for (int i = 0; i < 3; ++i) {
    readers.emplace_back([&] {
      while (!over) {
        const std::string back = tr("Back");
        if (back != "Back" && back != "Atrás") ++odd;
      }
    });
  }
  for (int i = 0; i < 2000; ++i) words::use(i % 2 == 0 ? "es" : "en", bytes);
  over = true;
  for (std::thread& reader : readers) reader.join();
  CHECK(odd == 0);
}
