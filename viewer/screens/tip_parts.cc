#include "viewer/screens/tip_parts.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <vector>

#include "trade/torque_spec.h"
#include "viewer/ui/marks.h"
#include "viewer/ui/prose.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

bool in_view(const Ui& ui, const Rect& r) {
  const Rect clip = ui.clip();
  return r.bottom() > clip.y && r.y < clip.bottom();
}

void draw_mark(Ui& ui, float px, float py, float x, float y, const std::string& label) {
  const Theme& t = ui.theme();
  const bool number = !label.empty() && label[0] >= '0' && label[0] <= '9';
  constexpr float kRadius = 2.7F;
  if (std::hypot(px - x, py - y) > kRadius) ui.line(px, py, x, y, 0.3F, t.ink);
  ui.disc(px, py, 0.7F, t.ink);
  ui.disc(x, y, kRadius, number ? t.ink : t.paper);
  if (!number) ui.ring(x, y, kRadius, 0.45F, t.ink);
  ui.text(x, y + ui.capitals(Type::small_bold) / 2, Type::small_bold, number ? t.paper : t.ink,
          label, Align::centre);
}

// The largest pair of sizes at which the two torque figures stand side by side in `w`.
std::pair<Type, Type> figure_types(Ui& ui, float w, bool pinned, const trade::TorqueFigure& one,
                                   const trade::TorqueFigure& two) {
  static constexpr std::pair<Type, Type> kPairs[] = {
      {Type::torque, Type::torque},       {Type::bay, Type::bay},
      {Type::torque, Type::number},       {Type::torque, Type::name},
      {Type::bay, Type::number},          {Type::bay, Type::name},
      {Type::number, Type::number},       {Type::number, Type::name},
      {Type::number, Type::line_bold},    {Type::name, Type::line_bold},
      {Type::line_bold, Type::line_bold}, {Type::title, Type::title},
  };
  const float units = ui.width(Type::small, one.unit) + ui.width(Type::small, two.unit) + 7.2F;
  // In the page the figures are smaller than beside it, but on a phone, where there is no side.
  const bool large = pinned || ui.metrics().form() == Form::phone;
  for (const auto& [first, second] : kPairs) {
    if (!large && ui.capitals(first) > ui.capitals(Type::number) + 0.1F) continue;
    if (ui.width(first, one.number) + ui.width(second, two.number) + units <= w)
      return {first, second};
  }
  return {Type::small_bold, Type::small_bold};
}

}  // namespace

std::string day_words(std::string_view iso) {
  static constexpr std::array<const char*, 12> kMonths{
      marked("Jan"), marked("Feb"), marked("Mar"), marked("Apr"), marked("May"), marked("Jun"),
      marked("Jul"), marked("Aug"), marked("Sep"), marked("Oct"), marked("Nov"), marked("Dec")};
  const std::string text(iso.substr(0, 10));
  int y = 0;
  int m = 0;
  int d = 0;
  if (std::sscanf(text.c_str(), "%4d-%2d-%2d", &y, &m, &d) != 3 || m < 1 || m > 12) return text;
  return std::to_string(d) + " " + tr(kMonths[static_cast<std::size_t>(m - 1)]) + " " +
         std::to_string(y);
}

std::string picture_key(std::string_view path, const shop::Picture& picture) {
  return std::string(path) + "\n" + picture.file;
}

void draw_blank(Ui& ui, Rect r, std::string_view why) {
  const Theme& t = ui.theme();
  ui.hline(r.x, r.y, r.w, 0.35F, t.ink);
  ui.hline(r.x, r.bottom(), r.w, 0.35F, t.ink);
  for (int i = 1; i < 6; ++i)
    ui.hline(r.x, r.y + r.h * static_cast<float>(i) / 6, r.w, 0.2F, t.rule);
  const float w = std::min(ui.width(Type::small, why) + 6, r.w);
  ui.fill({r.x + (r.w - w) / 2, r.y + r.h / 2 - 2.6F, w, 5.2F}, t.paper);
  ui.text_in(r.x + r.w / 2, r.y + r.h / 2 + 1.4F, r.w - 4, Type::small, t.muted, why,
             Align::centre);
}

// Numbered marks stand off their point, outward from the picture's middle, so that they do not
// hide it; those that would lie on each other are pushed apart.
void draw_marks(Ui& ui, Rect box, Rect inside, const std::vector<shop::Mark>& marks,
                const PictureView& view, int chosen) {
  struct Placed {
    float px, py, x, y;
    const std::string* label;
  };
  std::vector<Placed> placed;
  const auto within = [&](float& x, float& y) {
    x = std::clamp(x, inside.x + 2.8F, inside.right() - 2.8F);
    y = std::clamp(y, inside.y + 2.8F, inside.bottom() - 2.8F);
  };
  const double age = ui.input().now - view.pulse_from;
  const bool pulse = ui.motion() && view.pulse_from >= 0 && age >= 0 && age < kPulseSeconds;
  for (std::size_t i = 0; i < marks.size(); ++i) {
    const float px = box.x + static_cast<float>(marks[i].x) * box.w;
    const float py = box.y + static_cast<float>(marks[i].y) * box.h;
    if (px < inside.x - 0.1F || px > inside.right() + 0.1F || py < inside.y - 0.1F ||
        py > inside.bottom() + 0.1F)
      continue;
    float dx = px - (box.x + box.w / 2);
    float dy = py - (box.y + box.h / 2);
    const float far = std::max(0.1F, std::hypot(dx, dy));
    dx /= far;
    dy /= far;
    Placed one{px, py, px + dx * 6.5F, py + dy * 6.5F, &marks[i].label};
    within(one.x, one.y);
    placed.push_back(one);
    if (pulse) {
      const double wave = std::sin(age / kPulseSeconds * 3.14159265358979);
      ui.ring(px, py, 2.0F + 5.0F * static_cast<float>(wave), 0.6F, ui.theme().ink);
      ui.keep_moving();
    }
    if (static_cast<int>(i) == chosen) {
      ui.ring(px, py, 2.6F, 1.2F, ui.theme().paper);
      ui.ring(px, py, 2.3F, 0.6F, ui.theme().accent);
    }
  }
  constexpr float kApart = 5.8F;
  for (int round = 0; round < 60; ++round) {
    for (std::size_t i = 0; i < placed.size(); ++i) {
      for (std::size_t k = i + 1; k < placed.size(); ++k) {
        Placed& a = placed[i];
        Placed& b = placed[k];
        float dx = b.x - a.x;
        float dy = b.y - a.y;
        float far = std::hypot(dx, dy);
        if (far >= kApart) continue;
        if (far < 0.01F) {
          dx = 1;
          dy = 0;
          far = 1;
        }
        const float push = (kApart - far) / 2 / far;
        a.x -= dx * push;
        a.y -= dy * push;
        b.x += dx * push;
        b.y += dy * push;
        within(a.x, a.y);
        within(b.x, b.y);
      }
    }
  }
  for (const Placed& p : placed) draw_mark(ui, p.px, p.py, p.x, p.y, *p.label);
}

float draw_picture(Ui& ui, Rect at, float most, const State& state, std::string_view path,
                   const shop::Picture& picture, int caption_lines) {
  const Theme& t = ui.theme();
  const auto found = state.pictures.find(picture_key(path, picture));
  const bool ready =
      found != state.pictures.end() && found->second.state == PictureView::State::ready;
  const bool failed =
      found != state.pictures.end() && found->second.state == PictureView::State::failed;
  // A picture higher than the view could never be seen whole.
  if (ui.metrics().low()) most = std::min(most, ui.metrics().height() * 0.5F);
  float w = at.w;
  float h = w * 0.6875F;
  if (ready)
    h = w * static_cast<float>(found->second.height) / static_cast<float>(found->second.width);
  if (h > most) {
    w *= most / h;
    h = most;
  }
  const Rect box{at.x + (at.w - w) / 2, at.y, w, h};
  if (in_view(ui, box))
    ui.ask_picture({picture_key(path, picture), std::string(path), picture.file, 0, false});
  if (ready) {
    ui.picture(box, found->second.texture, found->second.drawing ? t.ink : Colour{255, 255, 255});
    draw_marks(ui, box, box, picture.marks, found->second);
  } else {
    draw_blank(ui, box, failed ? found->second.why : say("opening {0}", picture.file));
  }
  if (caption_lines == 0 || picture.caption.empty()) return h;
  ui.hline(at.x, at.y + h + 0.8F, at.w, 0.35F, t.ink);
  if (caption_lines == 1) {
    ui.text_in(at.x, at.y + h + 5.2F, at.w, Type::small, t.muted, picture.caption);
    return h + 7.0F;
  }
  return h + 0.8F + 1.4F +
         ui.paragraph(at.x, at.y + h + 2.2F, at.w, Type::small, t.muted, picture.caption,
                      caption_lines);
}

ExpectedWords expected_words(const trade::Expectation& e) {
  // An authored number stays as it is; one that came out of a correction has more digits than any
  // meter.
  const auto shown = [](double value) {
    const std::string authored = trade::authored_number(value);
    return in_figures(authored.size() <= 6 ? authored : trade::shown_number(value));
  };
  ExpectedWords out;
  out.unit = std::string(e.unit->symbol);
  if (e.low && e.high) {
    out.number = shown(*e.low) + "–" + shown(*e.high);
  } else if (e.low) {
    out.number = shown(*e.low);
    out.after = e.low_excluded ? tr("to be exceeded") : tr("or more");
  } else {
    out.number = shown(*e.high);
    out.after = e.high_excluded ? tr("not to be reached") : tr("or less");
  }
  return out;
}

float draw_fastener(Ui& ui, Rect at, const State& state, const TipPage& page,
                    const shop::Fastener& f, bool pinned) {
  const Theme& t = ui.theme();
  float y = at.y;
  std::string about;
  if (f.count > 0) about = std::to_string(f.count) + " × ";
  about += f.thread;
  if (!f.property_class.empty()) about += (about.empty() ? "" : ", ") + f.property_class;
  if (f.reuse == "yes") about += (about.empty() ? "" : ", ") + std::string(tr("reuse"));
  // One-time fasteners stand out: a used one can let go.
  const bool fresh = f.reuse == "no";
  if (pinned && fresh) about = tr("new every time");
  const float cap = ui.capitals(Type::small_bold);
  const bool narrow = at.w < 60;
  const float about_w = narrow ? ui.width(Type::small, about.substr(0, about.find(',')))
                               : ui.width(Type::small, about);
  if (!pinned && ui.width(Type::title, f.name) + about_w + 4 > at.w) {
    y += ui.paragraph(at.x, y, at.w, Type::title, t.ink, f.name);
    ui.text_in(at.x, y + cap, at.w, Type::small, t.muted, about);
    y += 6;
  } else {
    const float name_w =
        ui.text_in(at.x, y + cap + 0.3F, at.w - about_w - 3, Type::small_bold, t.ink, f.name);
    const bool loud = pinned && fresh;
    ui.text_in(at.x + at.w, y + cap + 0.3F, at.w - name_w - 3,
               loud ? Type::small_bold : Type::small, loud ? t.out_of_range : t.muted,
               narrow ? about.substr(0, about.find(',')) : about, Align::right);
    y += 5.4F;
  }
  if (!pinned && fresh) {
    ui.text(at.x, y + cap, Type::small_bold, t.out_of_range, tr("new every time"));
    y += 5.4F;
  }
  if (f.torque) {
    const trade::Unit& other = trade::other_torque_unit(*f.torque);
    const trade::TorqueFigure one = trade::final_figure(*f.torque);
    const trade::TorqueFigure two = trade::final_figure_in(*f.torque, other);
    const auto [type, second] = figure_types(ui, at.w, pinned, one, two);
    const float base = y + ui.capitals(type) + 1.2F;
    if (!one.number.empty()) {
      float x = at.x + ui.text(at.x, base, type, t.ink, one.number) + 1.4F;
      x += ui.text(x, base, Type::small, t.ink, one.unit);
      // The second figure stands at the half, or further left where it needs the room.
      const float needs = ui.width(second, two.number) + ui.width(Type::small, two.unit) + 1.3F;
      const float half = std::max(x + 4.0F, std::min(at.x + at.w * 0.5F, at.x + at.w - needs));
      ui.vline(half - 2.2F, y + 1.2F, ui.capitals(type), 0.2F, t.rule);
      const float x2 = half + ui.text(half, base, second, t.ink, two.number) + 1.2F;
      ui.text(x2, base, Type::small, t.ink, two.unit);
      y = base + 2.4F;
    }
    std::string order = trade::stages_in_words(*f.torque);
    if (!one.after.empty()) order += (order.empty() ? "" : " ") + one.after;
    if (!f.sequence.empty())
      order =
          order.empty() ? say("order {0}", f.sequence) : say("{0}; order {1}", order, f.sequence);
    // Beside the page the note below keeps its line; the whole order stands in the page.
    const float pitch = ui.pitch(Type::small_bold);
    const int lines = pinned ? std::min(2, static_cast<int>((at.bottom() - pitch - y) / pitch)) : 0;
    if (!order.empty() && (!pinned || lines > 0)) {
      y += ui.paragraph(at.x, y, at.w, Type::small_bold, t.ink, order, lines);
    }
  } else if (!f.torque_text.empty()) {
    y += ui.paragraph(at.x, y, at.w, Type::title, t.ink, f.torque_text);
  }
  if (!pinned && !f.text.empty())
    y += draw_prose(ui, at.x, y, at.w, Type::small, t.ink, prose_of(f.text));
  const bool doubted = !page.questions.empty();
  const bool demo = state.demo || state.shop.demo;
  const bool short_note = pinned && at.w < 66;
  const std::string_view note =
      demo ? (short_note ? tr("Demo: not for a vehicle")
                         : tr("Demo value: never use it on a vehicle."))
      : doubted
          ? (short_note ? tr("In doubt: see question") : tr("In doubt until a lead settles it."))
      : page.safety ? (pinned ? tr("Safety: maker's value only")
                              : tr("Safety-critical: the maker's value for this VIN decides."))
                    : (pinned ? tr("The maker's value decides.")
                              : tr("Shop's note; the maker's value decides."));
  const Type note_type = page.safety || doubted ? Type::small_bold : Type::small;
  const std::vector<const shop::Finding*> found = findings_at(page, f);
  if (pinned && std::any_of(found.begin(), found.end(), [](const shop::Finding* finding) {
        return finding->level != shop::Level::note;
      })) {
    // The page says what does not add up; beside it there is room to say that something does not.
    caution_sign(ui, at.x, y, 4.6F, t.out_of_range, t.paper);
    ui.text_in(
        at.x + 6.5F, y + cap, at.w - 6.5F, Type::small_bold, t.out_of_range,
        short_note ? tr("In doubt: see the check") : tr("In doubt: see what the check says"));
    return y + ui.pitch(Type::small_bold) - at.y;
  }
  y += ui.paragraph(at.x, y, at.w, note_type, page.safety ? t.ink : t.muted, note, pinned ? 1 : 0);
  return y - at.y;
}

}  // namespace baylore::viewer
