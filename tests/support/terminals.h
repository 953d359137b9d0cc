// Folders of one or more terminals on one shop, for tests that drive the viewer without a window.
#pragma once

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <memory>
#include <sstream>
#include <string>

#include "support/headless.h"
#include "support/scratch.h"

namespace baylore::test {

inline std::string bytes_of(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream bytes;
  bytes << file.rdbuf();
  return bytes.str();
}

// Id of the hit or row whose title begins with `title`; empty when none is listed.
inline std::string hit_of(const viewer::State& state, std::string_view title) {
  for (const search::Hit& hit : state.answer.hits) {
    if (hit.tip.title.starts_with(title)) return hit.tip.id;
  }
  return {};
}

class Terminals {
 public:
  [[nodiscard]] const Scratch& scratch() const { return scratch_; }
  [[nodiscard]] std::string shop() const { return scratch_.path("shop"); }

  // The demo's files as this shop's, the way a person's own shop lies there.
  void use_demo() const { copy_demo_shop(BAYLORE_SOURCE_DIR, shop()); }
  void put(const std::string& path, std::string_view bytes) const {
    scratch_.put("shop/" + path, bytes);
  }
  [[nodiscard]] std::string get(const std::string& path) const {
    return scratch_.get("shop/" + path);
  }

  // A terminal on the shop, with store and state of its own; the same name again is the same
  // terminal started once more.
  [[nodiscard]] HeadlessOptions options(const std::string& terminal = "bay-3-TEST01") const {
    HeadlessOptions o;
    o.shop = shop();
    o.store_folder = scratch_.path(terminal + "/store");
    o.state_folder = scratch_.path(terminal + "/state");
    o.terminal = terminal;
    o.photo_program = BAYLORE_PHOTO;
    return o;
  }
  [[nodiscard]] std::unique_ptr<Headless> start(
      const std::string& terminal = "bay-3-TEST01") const {
    auto panel = std::make_unique<Headless>(options(terminal));
    REQUIRE(panel->ready());
    return panel;
  }

 private:
  Scratch scratch_;
};

// Search by taps on the panel's keyboard and open the hit whose title begins with `title`.
inline void search_and_open(Headless& panel, std::string_view line, std::string_view title) {
  REQUIRE(panel.tap("line"));
  REQUIRE(panel.tap_keys(line));
  REQUIRE(panel.tap("key:Search"));
  const std::string id = hit_of(panel.state(), title);
  REQUIRE_FALSE(id.empty());
  REQUIRE(panel.tap("hit:" + id));
  REQUIRE(panel.until([&] { return panel.state().tip && panel.state().tip->row.id == id; }, 10));
  panel.settle();
}

}  // namespace baylore::test
