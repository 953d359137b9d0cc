// The typefaces baked into ImGui's atlas: B612, with DejaVu Sans for glyphs it lacks. Glyphs are
// baked as they are needed: a text that meets a missing one asks for it, and the atlas is rebuilt
// between frames.
#pragma once

#include <array>
#include <set>
#include <string>

#include "viewer/look/metrics.h"

struct ImFont;
struct ImFontAtlas;

namespace baylore::viewer {

class FontShelf {
 public:
  // Clears the atlas and bakes every size anew. Where a typeface's file cannot be read, ImGui's own
  // stands in: ugly, but a terminal that can be read. The atlas refers to bytes kept here: build it
  // no more once this is gone.
  void build(ImFontAtlas& atlas, const Metrics& metrics);

  [[nodiscard]] ImFont* font(Type type) const { return fonts_.at(static_cast<std::size_t>(type)); }
  // Notes a glyph that was to be drawn and is not baked in `type`. Returns true when a rebuild may
  // bring it.
  bool want(Type type, char32_t code_point);
  [[nodiscard]] bool wants_rebuild() const { return wants_rebuild_; }

 private:
  std::array<std::string, 4> faces_;  // the files' bytes: half of a build's time if read each time
  std::array<ImFont*, kTypes> fonts_{};
  std::array<std::set<char32_t>, kTypes> wanted_;
  bool wants_rebuild_ = false;
};

// The bold type of the same size; itself when it is bold.
Type bold_of(Type type);

}  // namespace baylore::viewer
