// What the screens about one picture share: where things are, the picture in its window, the keys
// that move and enlarge it.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "viewer/screens/screens.h"
#include "viewer/ui/pan.h"

namespace baylore::viewer {

// The window, the words beside or under it, three rows of three keys.
struct PhotoAreas {
  Rect view;
  Rect words;
  Rect pad;
};
PhotoAreas photo_areas(const Layout& at, const Metrics& metrics);

// A picture of a text as the window shows it.
struct ShownPhoto {
  bool ready = false;
  float aspect = 1.5F;
  Rect whole;  // where the whole picture lies
};
ShownPhoto draw_photo(Ui& ui, Rect view, const State& state, std::string_view path,
                      const shop::Picture& picture, int chosen);

// What a key of the pad, or of a keyboard beside the panel, asks for.
enum class PadKey { in, out, fit, left, right, up, down, lower_left, lower_right };
struct PadLabels {
  std::string lower_left;  // empty: no key there
  std::string lower_right;
};
std::optional<PadKey> draw_photo_pad(Ui& ui, Rect pad, const PadLabels& labels);

// What a finger or a key made of the view; nothing when neither did anything to it.
std::optional<Pan> pan_by(Ui& ui, Rect view, const State& state, const ShownPhoto& shown,
                          std::optional<PadKey> key);
Action view_action(const Pan& pan);

// The marks with their words, under the caption. Returns the height.
float photo_words(Ui& ui, Rect at, const shop::Picture& picture, int chosen);

}  // namespace baylore::viewer
