// What the screens about packs share.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "pack/merge.h"
#include "viewer/screens/screens.h"
#include "viewer/state/packs.h"
#include "viewer/ui/ui.h"

namespace baylore::viewer {

// Where the list and what it is about stand: beside each other, one above the other, or, on a small
// panel, each in turn with the whole width.
struct ListAndDetail {
  bool in_turn = false;
  Rect list;
  Rect detail;
};
ListAndDetail list_and_detail(const Layout& at);

// A row of a list: a title of two lines at most, a note below. True when it was tapped.
inline constexpr float kPackRow = 18.3F;
inline constexpr float kItemRow = 22;  // three lines
struct PackRow {
  std::string id;
  std::string title;
  std::string note;
  bool here = false;  // shown beside
  int lines = 2;      // of the title, at most
};
bool pack_row(Ui& ui, Rect row, const PackRow& what);
// The word above a group of rows; returns its height.
float group_word(Ui& ui, Rect at, std::string_view word);

// Whether a row is so far from what is in view that it need not be drawn.
bool far_away(const Ui& ui, Rect row);

// Both sides of a place, beside each other or, where there is no room, ours above theirs. Lines
// that only one side has are bold and have a bar. Returns the height.
float difference_block(Ui& ui, float x, float y, float w, const pack::Difference& place,
                       std::string_view ours, std::string_view theirs);
// One side of it.
float side_block(Ui& ui, float x, float y, float w, const std::string& text,
                 const std::string& other);

// What is under way, with a bar; returns the height, 0 when nothing is.
float work_block(Ui& ui, Rect at, const PacksView& view);

}  // namespace baylore::viewer
