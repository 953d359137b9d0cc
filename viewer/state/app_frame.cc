// The freeze frame of a code: typing its values.
#include <algorithm>

#include "trade/quantity.h"
#include "viewer/state/app.h"

namespace baylore::viewer {

bool App::apply_frame(const Action& action) {
  job::Job* now = state_.current();
  Framing& framing = state_.framing;
  const auto& fields = job::frame_fields();
  switch (action.what) {
    case Do::open_frame: {
      if (now == nullptr || action.text.empty()) return true;
      const bool other_units = framing.other_units;
      framing = Framing{action.text, 0, {}, other_units};
      const auto known = now->frames.find(action.text);
      for (std::size_t i = 0; known != now->frames.end() && i < fields.size(); ++i) {
        const auto value = known->second.find(std::string(fields[i].name));
        if (value == known->second.end()) continue;
        const auto quantity = trade::parse_quantity(value->second);
        const trade::Quantity* q = trade::value_in(quantity);
        if (q == nullptr) continue;
        // As it was typed: a number is not turned into another unit and back.
        if (q->unit->id == fields[i].other && fields[i].unit != fields[i].other)
          framing.other_units = true;
        framing.typed[i] = trade::authored_number(q->value);
      }
      ui_.scroll_state("frame") = {};
      go(Screen::frame);
      return true;
    }
    case Do::frame_field:
      if (action.number < 0 || action.number >= static_cast<int>(fields.size())) return true;
      framing.field = static_cast<std::size_t>(action.number);
      framing.typed[framing.field].clear();
      return true;
    case Do::frame_units:
      framing.other_units = !framing.other_units;
      return true;
    case Do::keep_frame: {
      if (now == nullptr) return true;
      job::Frame frame;
      for (std::size_t i = 0; i < fields.size(); ++i) {
        const auto parsed = trade::parse_number(framing.typed[i]);
        if (trade::value_in(parsed) == nullptr) continue;
        const trade::UnitId unit = framing.other_units ? fields[i].other : fields[i].unit;
        frame[std::string(fields[i].name)] =
            framing.typed[i] + " " + std::string(trade::unit(unit).symbol);
      }
      if (frame.empty()) {
        now->frames.erase(framing.code);
      } else {
        now->frames[framing.code] = std::move(frame);
      }
      keep_job();
      go_back();
      if (state_.screen == Screen::menu) open_menu(state_.menu.what);
      return true;
    }
    default:
      return false;
  }
}

}  // namespace baylore::viewer
