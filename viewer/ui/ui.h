// The toolkit of the screens: drawing in millimetres, targets that answer to taps, scrolling areas.
// Immediate mode over ImGui's draw list; ImGui's own widgets are not used, because 1.86 loses taps
// and takes the focus from a field when a key is tapped.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "viewer/input/gesture.h"
#include "viewer/input/text_buffer.h"
#include "viewer/look/fonts.h"
#include "viewer/look/metrics.h"
#include "viewer/look/theme.h"

struct ImDrawList;

namespace baylore::viewer {

enum class Align { left, centre, right };

// Keys of a hardware keyboard that mean something.
enum class HardKey {
  enter,
  escape,
  tab,
  back_tab,
  erase,
  erase_forward,
  left,
  right,
  up,
  down,
  home,
  end,
  page_up,
  page_down,
  help,
};

// What came in since the last frame.
struct FrameInput {
  double now = 0;  // seconds, from any start
  float dt = 0;
  std::vector<Gesture> gestures;
  std::vector<char32_t> typed;
  std::vector<HardKey> keys;
  bool down = false;  // a finger is on the panel
  float x = 0, y = 0;
};

// What was drawn, for tests and for the next frame's focus.
struct Item {
  std::string id;
  Rect rect;     // the target
  Rect visible;  // what of it is inside its clip
};
struct DrawnText {
  Rect rect;
  Rect clip;
  std::string text;
  bool scrolls = false;  // inside a scrolling area: being cut at its edge is no defect
};

// A picture that a frame showed, or has room for.
struct AskedPicture {
  std::string key;     // in State::pictures
  std::string beside;  // path of the text that shows it
  std::string file;    // its name there; of a camera's picture its path
  int side = 0;        // pixels wanted at most along its longer side; 0: as a page shows it
  bool camera = false;
};

// A stretch of text in one weight.
struct Run {
  std::string text;
  bool bold = false;
};

class Ui {
 public:
  Ui() = default;
  Ui(const Ui&) = delete;
  Ui& operator=(const Ui&) = delete;

  // --- look
  void set_look(const Metrics& metrics, ThemeName theme, FontShelf* fonts);
  // Whether anything may move by itself: a page thrown runs on, a mark pulses.
  void set_motion(bool on) { motion_ = on; }
  [[nodiscard]] bool motion() const { return motion_; }
  [[nodiscard]] const Metrics& metrics() const { return metrics_; }
  [[nodiscard]] const Theme& theme() const { return *theme_; }

  // --- frame
  void begin(ImDrawList* list, FrameInput input);
  void end();
  // Something moves by itself (a scroll running out): another frame is due.
  [[nodiscard]] bool moving() const { return moving_; }
  [[nodiscard]] const FrameInput& input() const { return input_; }
  [[nodiscard]] const std::vector<Item>& items() const { return items_; }
  [[nodiscard]] const std::vector<DrawnText>& texts() const { return texts_; }
  [[nodiscard]] const Item* item(std::string_view id) const;

  // --- drawing; everything in mm from the top left
  void fill(Rect rect, Colour colour);
  // Lets what was drawn so far show through by 1 - `opacity`.
  void veil(Rect rect, Colour colour, float opacity);
  void hline(float x, float y, float w, float thick, Colour colour);  // centred on y
  void vline(float x, float y, float h, float thick, Colour colour);  // centred on x
  void line(float x1, float y1, float x2, float y2, float thick, Colour colour);
  void frame(Rect rect, float thick, Colour colour);
  void triangle(float x1, float y1, float x2, float y2, float x3, float y3, Colour colour);
  void polygon(const std::vector<std::pair<float, float>>& points, Colour colour);  // convex
  void disc(float x, float y, float radius, Colour colour);
  void ring(float x, float y, float radius, float thick, Colour colour);
  void hook(Rect cell, Colour colour);  // the tick of a done cell
  void hatch(Rect rect, float apart, float thick, Colour colour);
  void picture(Rect rect, void* texture, Colour tint);

  // --- text
  [[nodiscard]] float width(Type type, std::string_view text);
  [[nodiscard]] float capitals(Type type) const { return metrics_.capitals(type); }
  [[nodiscard]] float finger(float mm) const { return metrics_.finger(mm); }
  [[nodiscard]] float pitch(Type type) const { return metrics_.capitals(type) * 1.87F; }
  // Draws on a baseline; returns the width.
  float text(float x, float baseline, Type type, Colour colour, std::string_view words,
             Align align = Align::left);
  // The same, cut with an ellipsis where it does not fit `w`. Returns the width drawn.
  float text_in(float x, float baseline, float w, Type type, Colour colour, std::string_view words,
                Align align = Align::left);
  // Wrapped text from a first baseline of y + capitals; returns the height it took (lines x pitch).
  // `most` lines at most when positive.
  float paragraph(float x, float y, float w, Type type, Colour colour, std::string_view words,
                  int most = 0);
  float paragraph(float x, float y, float w, Type regular, Colour colour,
                  const std::vector<Run>& runs, int most = 0);
  [[nodiscard]] float paragraph_height(float w, Type type, std::string_view words, int most = 0);
  [[nodiscard]] float paragraph_height(float w, Type regular, const std::vector<Run>& runs,
                                       int most = 0);

  // --- targets
  // Registers a target and says whether it was tapped (or Enter was pressed on it).
  bool target(std::string_view id, Rect rect);
  // One that destroys something: it answers only when it has been in its place for a while, so that
  // the second tap of a hasty pair, meant for what stood there before, does nothing.
  bool guarded_target(std::string_view id, Rect rect);
  // A band is about to be drawn over what stands there, for texts and all targets but the first
  // `above`, which are its own.
  void cover(Rect band, std::size_t above);
  // A finger is down on it, undecided.
  [[nodiscard]] bool pressed(Rect rect) const;
  // A tap nobody took yet inside `rect`: for keyboards and text, which map the position themselves.
  bool take_tap(Rect rect, float& x, float& y);
  // Focus of the hardware keyboard; empty: none.
  [[nodiscard]] const std::string& focus() const { return focus_; }
  void clear_focus() { focus_.clear(); }
  // Takes a hardware key that nobody took yet.
  bool take_key(HardKey key);

  // A place where a picture is moved under the finger: by how many mm since the last frame.
  struct Drag {
    float dx = 0;
    float dy = 0;
  };
  Drag drag_area(std::string_view id, Rect view);
  // Says that a picture is in view, so that it is decoded and kept.
  void ask_picture(AskedPicture picture) { asked_.push_back(std::move(picture)); }
  [[nodiscard]] const std::vector<AskedPicture>& asked_pictures() const { return asked_; }
  // Something moves by itself: another frame is due.
  void keep_moving() { moving_ = true; }

  // --- scrolling. Between begin and end everything is clipped to the view; positions are the
  // page's: the page's top is y() .
  struct Scroll {
    float offset = 0;  // mm scrolled away above
    float speed = 0;   // mm/s
    float content = 0;
    float view = 0;
    [[nodiscard]] float most() const { return content > view ? content - view : 0; }
  };
  // Returns the y at which the page's top is drawn.
  float begin_scroll(std::string_view id, Rect view);
  void end_scroll(float content_height);
  [[nodiscard]] Scroll& scroll_state(std::string_view id);
  void push_clip(Rect rect);
  void pop_clip();
  [[nodiscard]] Rect clip() const { return clips_.empty() ? screen() : clips_.back(); }
  [[nodiscard]] Rect screen() const { return {0, 0, metrics_.width(), metrics_.height()}; }

 private:
  struct Area {
    std::string id;
    Rect view;
  };
  [[nodiscard]] float px(float mm) const;
  void bring_into_view(Rect rect);
  [[nodiscard]] Type drawn_type(Type type) const { return theme_->all_bold ? bold_of(type) : type; }
  float draw_runs(float x, float y, float w, Type regular, Colour colour,
                  const std::vector<Run>& runs, int most, bool draw);

  Metrics metrics_;
  const Theme* theme_ = &viewer::theme(ThemeName::light);
  FontShelf* fonts_ = nullptr;
  ImDrawList* list_ = nullptr;
  FrameInput input_;
  bool tap_pending_ = false;
  float tap_x_ = 0, tap_y_ = 0;
  bool finger_undecided_ = false;
  float finger_x_ = 0, finger_y_ = 0;
  std::string drag_area_;
  std::vector<Item> items_;
  std::vector<DrawnText> texts_;
  std::vector<AskedPicture> asked_;
  std::vector<Area> areas_;  // of the last frame, for the next one's presses
  std::vector<Area> areas_now_;
  std::vector<std::string> open_scrolls_;
  std::vector<Rect> clips_;
  std::map<std::string, Scroll, std::less<>> scrolls_;
  std::string focus_;
  bool focus_moved_ = false;  // by Tab: what it is on has to come into view
  std::map<std::string, double, std::less<>> guarded_;      // since when each has been drawn
  std::map<std::string, double, std::less<>> guarded_now_;  // of this frame
  bool moving_ = false;
  bool motion_ = true;
};

}  // namespace baylore::viewer
