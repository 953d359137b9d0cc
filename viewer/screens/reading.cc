// Reading: what is expected, the number being entered, how it stands, and a keypad with unit keys.
#include <algorithm>
#include <cctype>

#include "job/judge.h"
#include "viewer/screens/screens.h"
#include "viewer/screens/tip_parts.h"
#include "viewer/ui/marks.h"
#include "viewer/ui/prose.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

struct Area {
  Rect read;  // expected, numeral, scale
  Rect keypad;
};

constexpr float kPhoneGap = 1.2F;
constexpr float kLowGap = 0.7F;

Area areas_of(const Metrics& metrics, const Layout& at) {
  const float width = metrics.width();
  if (metrics.low()) {
    // Beside each other: as high as the panel is, the keypad would leave nothing over itself.
    const Rect& all = at.main;
    const float keys = std::clamp(width * 0.44F, 36.0F, 50.0F);
    const float x = width - keys - 1.5F;
    return {{all.x, all.y, x - all.x - 3, all.h}, {x, all.y, keys, all.h - 0.5F}};
  }
  if (at.form == Form::phone) {
    // The whole width: the rule is not drawn here. With large text the keys are as high as a finger
    // needs, or more where there is room.
    const Rect& all = at.main;
    const float key_h = std::clamp((all.h * 0.42F - 3 * kPhoneGap) / 4, metrics.finger(15), 15.0F);
    const float keys = 4 * key_h + 3 * kPhoneGap;
    return {{all.x, all.y, width - 2 * all.x, all.h - keys - 1},
            {1.2F, all.bottom() - keys, width - 2.4F, keys}};
  }
  if (at.form == Form::tall) {
    constexpr float kKeys = 76;
    const Rect& all = at.left;
    return {{all.x, all.y, all.w, all.h - kKeys - 2}, {all.x, all.bottom() - kKeys, all.w, kKeys}};
  }
  if (at.form == Form::small) {
    constexpr float kPad = 63;
    const float right = at.side.right();
    return {{3, at.main.y, right - kPad - 8, at.main.h},
            {right - kPad, at.main.y, kPad, at.main.h}};
  }
  return {at.main, at.side};
}

bool is_out_of_range(const job::Judged& judged) {
  return judged.kind == job::Judged::Kind::judged &&
         (judged.verdict->standing == trade::Standing::kLow ||
          judged.verdict->standing == trade::Standing::kHigh);
}

// The figure being entered, its unit, the same in the companion unit, and the verdict by shape and
// word.
void draw_numeral(Ui& ui, Rect r, Type largest, const State& state, const job::Judged& judged) {
  const Theme& t = ui.theme();
  const Taking& take = state.taking;
  const std::string& entered = take.second ? take.measured : take.typed;
  const std::string typed = in_typed_figures(entered);
  const trade::Unit& unit = trade::unit(take.second ? take.measured_unit : take.unit);
  const bool phone = ui.metrics().form() == Form::phone;
  const float high = ui.capitals(largest);
  const float base = r.y + high + 2;
  const std::string word =
      take.second || judged.kind == job::Judged::Kind::not_read ? "" : job::word(judged);
  if (!take.second && !take.result.empty()) {
    // An answer in place of a number.
    const Type big = ui.width(Type::bay, word) + 12 < r.w ? Type::bay : Type::line_bold;
    standing_mark(ui, r.x + 4.5F, base - 3 - ui.capitals(big) / 2, 3.6F, judged);
    ui.text_in(r.x + 11, base - 3, r.w - 11, big, t.ink, word);
    return;
  }
  // The verdict takes what it needs, the numeral the largest size that fits beside it.
  float verdict_w = 0;
  if (!word.empty()) {
    const Type big = ui.width(Type::bay, word) + 14 < r.w * 0.45F ? Type::bay : Type::line_bold;
    const Colour colour =
        is_out_of_range(judged)                                                     ? t.out_of_range
        : judged.verdict && judged.verdict->standing == trade::Standing::kOnTheEdge ? t.ink
                                                                                    : t.accent;
    const float mark = phone ? 2.6F : 4.2F;
    const float ww = ui.text(r.right(), base - 3, big, colour, word, Align::right);
    standing_mark(ui, r.right() - ww - mark - 1.8F, base - 3 - ui.capitals(big) / 2, mark, judged);
    verdict_w = ww + 2 * mark + 4;
  }
  const Type unit_type = phone ? Type::small : Type::line;
  const float unit_w = std::max(ui.width(unit_type, unit.symbol), 8.0F) + 5.5F;
  const float room = r.w - verdict_w - unit_w;
  Type type = largest;
  for (const Type smaller :
       {Type::torque, Type::number, Type::name, Type::line_bold, Type::small_bold}) {
    if (ui.width(type, typed.empty() ? "–" : typed) <= room) break;
    if (ui.capitals(smaller) < ui.capitals(type)) type = smaller;
  }
  float x = r.x;
  if (!typed.empty()) x += ui.text_in(r.x, base, room, type, t.ink, typed);
  ui.vline(x + 1.6F, r.y + 2, high, 0.6F, t.accent);
  x += 4.2F;
  ui.text(x, base - 0.3F, unit_type, t.ink, unit.symbol);
  const auto number = trade::parse_number(entered);
  if (const double* value = trade::value_in(number)) {
    const trade::Quantity quantity{*value, &unit};
    if (const trade::Unit* other = trade::companion_unit(quantity)) {
      if (const auto same = trade::converted(quantity, *other)) {
        const std::string shown = in_figures(trade::shown(*same));
        // Half a number would be worse than none.
        const bool above = !phone || high + 2 >= 6.5F + ui.capitals(Type::small);
        if (above && x + ui.width(Type::small, shown) <= r.right() - verdict_w) {
          ui.text(x, base - (phone ? 6.5F : 8.5F), Type::small, t.muted, shown);
        }
      }
    }
  }
}

void draw_keypad(Ui& ui, Rect r, const Layout& at, const State& state, Actions& out) {
  const Taking& take = state.taking;
  const bool phone = at.form == Form::phone;
  const bool small = at.form == Form::small;
  const bool low = ui.metrics().low();
  const float gap = low ? kLowGap : phone || small ? kPhoneGap : 3.0F;
  const float key_h = low     ? std::min(ui.finger(20), (r.h - 3 * gap) / 4)
                      : phone ? (r.h - 3 * gap) / 4
                      : small ? 14.2F
                              : 16.0F;
  // The fourth column has words: the figures leave it what those need.
  const float words_w = low ? std::max(10.8F, r.w * 0.28F) : 10.4F;
  const float key_w = phone   ? std::min(15.0F, (r.w - 3 * gap - words_w) / 3)
                      : small ? 14.2F
                              : std::min(16.0F, (r.w - 32) / 3);
  static constexpr const char* kKeys[4][3] = {
      {"7", "8", "9"}, {"4", "5", "6"}, {"1", "2", "3"}, {"–", "0", "."}};
  const auto row_y = [&](int row) { return r.y + static_cast<float>(row) * (key_h + gap); };
  for (int row = 0; row < 4; ++row) {
    for (int col = 0; col < 3; ++col) {
      const char* label = kKeys[row][col];
      const Rect rect{r.x + static_cast<float>(col) * (key_w + gap), row_y(row), key_w, key_h};
      if (key(ui, std::string("pad:") + label, rect, in_typed_figures(label), Type::name))
        out.push_back({Do::digit, label});
    }
  }
  const float ux = r.x + 3 * (key_w + gap) + (phone || small ? 0 : 1.0F);
  const float uw = std::min(22.0F, r.right() - ux);
  if (key(ui, "pad:erase", {ux, row_y(0), uw, key_h}, tr("erase"), Type::small_bold)) {
    out.push_back({Do::digit_erase, {}});
  }
  const std::vector<const trade::Unit*> units =
      units_beside(take.second ? take.measured_unit : take.unit_written);
  const trade::UnitId now = take.second ? take.measured_unit : take.unit;
  if (phone) {
    // No room for a key per unit: one key goes round them, and the two states stand under it.
    std::size_t at_unit = 0;
    while (at_unit + 1 < units.size() && units[at_unit]->id != now) ++at_unit;
    const trade::Unit* next = units[(at_unit + 1) % units.size()];
    if (key(ui, "unit:next", {ux, row_y(1), uw, key_h}, trade::unit(now).symbol, Type::small_bold,
            true)) {
      out.push_back({Do::reading_unit, std::string(next->symbol)});
    }
    const std::pair<const char*, const char*> kStates[] = {{"not showing now", tr("away")},
                                                           {"could not check", tr("can't")}};
    for (int i = 0; i < 2; ++i) {
      const auto& [result, label] = kStates[i];
      if (key(ui, std::string("result:") + result, {ux, row_y(2 + i), uw, key_h}, label,
              Type::small_bold, take.result == result)) {
        out.push_back({Do::reading_result, result});
      }
    }
    return;
  }
  for (std::size_t i = 0; i < units.size() && i < 3; ++i) {
    const std::string symbol(units[i]->symbol);
    if (key(ui, "unit:" + symbol, {ux, row_y(static_cast<int>(i) + 1), uw, key_h}, symbol,
            Type::small_bold, units[i]->id == now)) {
      out.push_back({Do::reading_unit, symbol});
    }
  }
}

void draw_answers(Ui& ui, Rect r, const State& state, const shop::Check& check, Actions& out) {
  const float h = std::min(26.0F, (r.h - 3) / 2);
  const std::string yes = say("Yes: {0}", check.expect_text);
  float yes_h = std::max(h, ui.paragraph_height(r.w - 6, Type::title, yes) + 6);
  float no_h = h;
  int lines = 0;
  if (yes_h + 3 + no_h > r.h && ui.metrics().form() == Form::phone) {
    // The whole of it stands beside or above: No keeps a finger's height, Yes takes the rest.
    no_h = std::min(h, ui.finger(15));
    yes_h = r.h - 3 - no_h;
    lines = std::max(1, static_cast<int>((yes_h - 1) / ui.pitch(Type::title)));
  }
  struct Answer {
    const char* id;
    std::string label;
    float y;
    float h;
  };
  for (const Answer& a :
       {Answer{"yes", yes, r.y, yes_h}, Answer{"no", tr("No"), r.y + yes_h + 3, no_h}}) {
    const Rect rect{r.x, a.y, r.w, a.h};
    const bool chosen = state.taking.result == a.id;
    const Theme& t = ui.theme();
    if (ui.target(std::string("answer:") + a.id, rect)) out.push_back({Do::reading_result, a.id});
    ui.fill(rect, chosen ? t.accent : ui.pressed(rect) ? t.paper : t.face);
    if (!chosen) ui.hline(rect.x, rect.bottom() - 0.17F, rect.w, 0.35F, t.ink);
    const float text_h = ui.paragraph_height(r.w - 6, Type::title, a.label, lines);
    ui.paragraph(rect.x + 3, rect.y + (rect.h - text_h) / 2 + 1.5F, rect.w - 6, Type::title,
                 chosen ? t.on_accent : t.ink, a.label, lines);
  }
}

}  // namespace

void reading_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const std::optional<shop::Check> check = taken_check(state);
  if (!check) {
    draw_heading(ui, at, tr("No check to take a reading for"), {});
    draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}}, {}, false, out);
    return;
  }
  const Taking& take = state.taking;
  std::string under = !take.part.empty() ? take.part
                      : take.after       ? tr("after the repair")
                                         : tr("check");
  if (!check->valid.empty()) under += " · " + check->valid;
  if (!check->tools.empty()) under += " · " + check->tools;
  draw_heading(ui, at, check->name, under);
  if ((at.form == Form::wide || at.form == Form::tall) && !state.tip) {
    draw_rule(ui, at, job_rule(state), "", "intake", Do::menu, out);
  } else if (at.form == Form::wide || at.form == Form::tall) {
    draw_rule(ui, at, tip_rule(state), take.part.empty() ? "checks" : "parts", "sections",
              Do::go_section, out);
  }
  const bool range = check->expect && check->expect->is_range();
  const job::Reading entered = reading_of(state);
  const bool has = !entered.result.empty();
  const job::Judged judged = job::judge(*check, has ? &entered : nullptr);
  const Area area = areas_of(ui.metrics(), at);
  const bool small = at.form == Form::small;
  const bool phone = at.form == Form::phone;
  const Rect r = area.read;
  const float foot_h = phone ? std::max(ui.finger(13), 6.5F) : 15.0F;
  const float foot = r.bottom() - foot_h;
  float y = r.y;
  if (phone) {
    ui.text_in(r.x, y + 3.8F, r.w, Type::small_bold, t.ink, check->name);
    y += 5.4F;
  }

  // --- expected, in both units
  if (range) {
    const trade::Expectation& expect = judged.expect ? *judged.expect : *check->expect;
    const ExpectedWords words = expected_words(expect);
    const trade::Unit* other =
        trade::companion_unit({expect.low ? *expect.low : *expect.high, expect.unit});
    const std::string second =
        other != nullptr ? in_figures(trade::in_words_as(expect, *other)) : "";
    if (!phone && !small) {
      ui.text(
          r.x, y + 3.9F, Type::small, t.muted,
          judged.reason.empty() ? std::string(tr("expected")) : say("expected {0}", judged.reason));
      if (!second.empty() && judged.reason.empty())
        ui.text(r.right(), y + 3.9F, Type::small, t.muted, say("the same in {0}", other->symbol),
                Align::right);
      y += 6.5F;
    }
    const float high = ui.capitals(Type::line_bold);
    const float nw = ui.text(r.x, y + high + 1.5F, Type::line_bold, t.ink, words.number);
    const float uw =
        ui.text_in(r.x + nw + 1.8F, y + high + 1.5F, std::min(r.w * 0.5F, r.w - nw - 1.8F),
                   Type::text, t.ink, words.unit + " " + words.after);
    const Type second_type = phone || small ? Type::small : Type::text;
    // Half a number would be worse than none.
    if (ui.width(second_type, second) <= r.w - nw - uw - 5)
      ui.text(r.right(), y + high + 1.5F, second_type, t.muted, second, Align::right);
    y += high + (phone ? 3.0F : 5.0F);
    if (!phone) ui.hline(r.x, y, r.w, 0.35F, t.ink);
    y += phone ? 0 : 2;
    // Large text leaves a column less room than both take: then the numeral is smaller, and where
    // that is not enough its scale is left out. The verdict's word stays.
    const float around = phone ? 14.8F : 0;
    Type numeral = Type::reading;
    bool scale = true;
    if (phone && ui.metrics().text_scale > 1) {
      const float room = r.bottom() - y;
      const auto fits = [&](float more) {
        for (const Type type : {Type::reading, Type::torque, Type::bay, Type::number}) {
          numeral = type;
          if (ui.capitals(type) + more <= room) return true;
        }
        return false;
      };
      scale = fits(around);
      if (!scale) static_cast<void>(fits(3.0F));
    }
    draw_numeral(ui, {r.x, y, r.w, 26}, numeral, state, judged);
    y += ui.capitals(numeral) + (phone ? 7.6F : small ? 9.0F : 11.5F);
    if (scale)
      range_scale(ui, r.x + 1.5F, y, r.w - 6, expect, judged.verdict ? &*judged.verdict : nullptr);
    y += 10.5F;
  } else {
    // In one column with large text all of it scrolls over the keys.
    const bool scrolls = phone && ui.metrics().text_scale > 1;
    if (scrolls) y = ui.begin_scroll("reading", {r.x, y, r.w, foot - 1 - y});
    const float top = y;
    ui.text(r.x, y + 3.9F, Type::small, t.muted, tr("expected"));
    y += 6;
    y += ui.paragraph(r.x, y, r.w, Type::line_bold, t.ink, check->expect_text,
                      scrolls ? 0
                      : phone ? 2
                              : 3) +
         3;
    // How it is done stands here: there is no scale to show.
    if (!phone) {
      const int room = static_cast<int>((foot - y - 14) / ui.pitch(Type::text));
      if (room > 0)
        y +=
            ui.paragraph(r.x, y, r.w, Type::text, t.ink, plain_of(check->text), std::min(room, 7)) +
            3;
    }
    const std::string word = job::word(judged);
    if (!word.empty()) {
      standing_mark(ui, r.x + 3, y + ui.capitals(Type::line_bold) / 2, 2.4F, judged);
      ui.text(r.x + 8, y + ui.capitals(Type::line_bold), Type::line_bold,
              judged.kind == job::Judged::Kind::no ? t.out_of_range : t.accent, word);
    }
    if (scrolls) {
      if (!word.empty()) y += 9;
      if (!judged.means.empty())
        y += ui.paragraph(r.x, y, r.w, Type::text, t.ink, judged.means + ".") + 1;
      y += ui.paragraph(r.x, y, r.w, Type::text, t.ink, plain_of(check->text)) + 1;
      ui.end_scroll(y - top);
      y = foot;  // nothing more stands over the keys
    }
    y += 9;
  }
  // --- what it says; on a phone the verdict's word has to do
  if (phone && range) {
    draw_keypad(ui, area.keypad, at, state, out);
    const bool asks = !check->correct.empty();
    const StripKey middle = asks ? StripKey{"second",
                                            take.second ? tr("Reading") : tr("Correct"),
                                            {Do::reading_second, {}},
                                            ""}
                                 : StripKey{"clear", tr("Clear"), {Do::reading_clear, {}}, ""};
    draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}, middle},
               {"primary", tr("Keep"), {Do::keep_reading, {}}, ""},
               has && judged.kind != job::Judged::Kind::not_read, out);
    return;
  }
  // What does not fit above the keys is left out, last first: the verdict's word has been said.
  const auto fits = [&](Type type) { return y + ui.pitch(type) <= foot; };
  if (!judged.words.empty() && fits(Type::small_bold)) {
    const bool refused = judged.kind == job::Judged::Kind::not_read;
    std::string words = judged.words;
    if (!words.empty())
      words[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(words[0])));
    y += ui.paragraph(r.x, y, r.w, Type::small_bold, refused ? t.out_of_range : t.ink, words,
                      y + 2 * ui.pitch(Type::small_bold) <= foot ? 2 : 1);
  }
  if (!judged.means.empty() && fits(Type::text)) {
    std::string means = judged.means;
    means[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(means[0])));
    y += ui.paragraph(r.x, y, r.w, Type::text, t.ink, means + ".", 1);
  } else if (judged.means.empty() && judged.kind == job::Judged::Kind::judged &&
             judged.verdict->standing == trade::Standing::kOnTheEdge && fits(Type::small)) {
    y += ui.paragraph(r.x, y, r.w, Type::small, t.muted,
                      tr("The meter's own doubt is 1 %: it cannot tell here."), 1);
  }
  if (take.after && fits(Type::small)) {
    if (const job::Reading* before =
            state.current() != nullptr ? state.current()->reading(check->id) : nullptr) {
      const job::Judged was = job::judge(*check, before);
      y += ui.paragraph(
          r.x, y, r.w, Type::small, t.muted,
          say("Before the repair: {0}, {1}",
              before->value.empty() ? tr(before->result) : before->value, job::word(was)),
          1);
    }
  }

  // --- not showing, could not check, and the correction's own reading
  std::vector<std::pair<std::string, std::string>> keys{{"not showing now", tr("Not showing now")},
                                                        {"could not check", tr("Could not check")}};
  const bool corrects = range && !check->correct.empty();
  const float third = corrects ? r.w * 0.3F : 0;
  const float w = (r.w - third - (corrects ? 3.0F : 0.0F) - 3) / 2;
  for (std::size_t i = 0; i < keys.size(); ++i) {
    const Rect rect{r.x + static_cast<float>(i) * (w + 3), foot, w, foot_h};
    if (key(ui, "result:" + keys[i].first, rect,
            w < 18 ? (i == 0 ? tr("away") : tr("can't"))
            : w < 30 || w - 1 < ui.width(Type::small_bold, keys[1].second)
                ? (i == 0 ? tr("Not now") : tr("Could not"))
                : keys[i].second,
            Type::small_bold, take.result == keys[i].first)) {
      out.push_back({Do::reading_result, keys[i].first});
    }
  }
  if (corrects) {
    const auto correction = trade::parse_correction(check->correct);
    const trade::Correction* c = trade::value_in(correction);
    const bool copper = c != nullptr && c->kind == trade::Correction::Kind::kCopper;
    const std::string label = take.second ? tr("reading")
                              : copper    ? (third < 30 ? tr("at °C") : tr("at what °C"))
                                          : tr("barometer");
    if (key(ui, "second", {r.right() - third, foot, third, foot_h}, label, Type::small_bold,
            take.second))
      out.push_back({Do::reading_second, {}});
  }
  if (range) {
    draw_keypad(ui, area.keypad, at, state, out);
  } else {
    draw_answers(ui, area.keypad, state, *check, out);
  }
  const StripKey keep{
      "primary", phone || small ? tr("Keep") : tr("Keep reading"), {Do::keep_reading, {}}, ""};
  const bool can = has && judged.kind != job::Judged::Kind::not_read;
  draw_strip(ui, at,
             {{"back", tr("Back"), {Do::back, {}}, ""},
              {"clear", tr("Clear"), {Do::reading_clear, {}}, ""}},
             keep, can, out);
}

}  // namespace baylore::viewer
