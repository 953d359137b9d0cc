// Job: the line takes everything; tokens of what was understood hang from it; parked jobs left,
// results right.
#include <algorithm>

#include "viewer/screens/job_parts.h"
#include "viewer/screens/screens.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

struct TokenView {
  std::string key;
  std::string small;   // "vehicle, from “hauler”"
  std::string big;     // "Corvane Hauler 2016"
  bool real = true;    // an empty place otherwise: "scan or type"
  std::string choice;  // a tap puts this in place of the token instead of taking it out
};

// The correction that put this word where it is, or that joins it.
const search::Slip* slip_of(const search::Understood& understood, const search::Token& token) {
  for (const search::Slip& slip : understood.slips) {
    if (token.key == "word:" + (slip.keeps ? slip.typed : slip.shown)) return &slip;
    if (!slip.keeps &&
        std::find(slip.words.begin(), slip.words.end(), token.shown) != slip.words.end())
      return &slip;
  }
  return nullptr;
}

std::vector<TokenView> tokens_of(const State& state) {
  std::vector<TokenView> out;
  const search::Understood& u = state.answer.understood;
  std::string words;
  std::string words_from;
  bool code = false;
  for (const search::Token& token : u.tokens) {
    const auto named = [&](const char* what) {
      return token.from.empty() ? std::string(what) : say("{0}, from “{1}”", what, token.from);
    };
    switch (token.kind) {
      case search::Token::Kind::vehicle:
        out.push_back({token.key, named(tr("vehicle")), token.shown, true, {}});
        break;
      case search::Token::Kind::code: {
        std::string note = tr("code");
        if (!token.notes.empty()) note += ", " + token.notes.front();
        out.push_back({token.key, note, token.shown, true, {}});
        code = true;
        break;
      }
      case search::Token::Kind::vin:
        out.push_back({token.key, tr("VIN, not kept"), token.shown, true, {}});
        break;
      case search::Token::Kind::part:
        out.push_back({token.key, named(tr("part")), token.shown, true, {}});
        break;
      case search::Token::Kind::reading:
        out.push_back({token.key, tr("reading"), token.shown, true, {}});
        break;
      case search::Token::Kind::half_code:
        out.push_back({token.key, tr("which letter?"), token.shown, true, {}});
        for (const std::string& choice : token.choices) {
          out.push_back({token.key, tr("meant?"), choice, true, choice});
        }
        code = true;
        break;
      case search::Token::Kind::word: {
        const search::Slip* slip = slip_of(u, token);
        if (slip == nullptr) {
          out.push_back({token.key, tr("word"), token.shown, true, {}});
        } else if (slip->keeps) {
          out.push_back({slip->key, say("also “{0}”", slip->shown), token.shown, true, {}});
        } else {
          out.push_back({slip->key, say("for “{0}”", slip->typed), token.shown, true, {}});
        }
        break;
      }
    }
  }
  const job::Job* job = state.current();
  if (u.vehicle.empty() && job != nullptr && !job->vehicle.empty()) {
    out.insert(out.begin(),
               {"job vehicle", tr("vehicle of the job"), job->vehicle.text(), true, {}});
  }
  if (!code) out.push_back({"", tr("code"), tr("scan or type"), false, {}});
  return out;
}

// The typed line with its caret; the part before the caret stays in view.
void draw_line(Ui& ui, Rect r, const State& state, bool separator_clear, Actions& out) {
  const Theme& t = ui.theme();
  const float clear_w = 19;
  const std::string& text = state.line.text();
  const Rect field{r.x, r.y, r.w - (separator_clear ? clear_w : 0), r.h};
  const float base = r.y + r.h / 2 + ui.capitals(Type::line) / 2 + 0.3F;
  std::string_view shown = text;
  const float room = field.w - 2;
  while (!shown.empty() && ui.width(Type::line, shown) > room) {
    std::size_t at = 0;
    next_code_point(shown, at);
    shown.remove_prefix(at);
  }
  if (text.empty() && !state.typing) {
    ui.text_in(
        r.x, base, room, Type::line, t.muted,
        ui.metrics().form() == Form::wide ? tr("Car, complaint or code") : tr("Car, words, code"));
  } else {
    ui.push_clip(field);
    ui.text(r.x, base, Type::line, t.ink, shown);
    ui.pop_clip();
    if (state.typing || state.hard_keyboard) {
      const std::size_t hidden = text.size() - shown.size();
      const std::size_t caret = state.line.caret() > hidden ? state.line.caret() - hidden : 0;
      const float cx = r.x + ui.width(Type::line, shown.substr(0, caret)) + 0.7F;
      ui.vline(cx, base - ui.capitals(Type::line) - 1.5F, ui.capitals(Type::line) + 3, 0.6F,
               t.accent);
    }
  }
  if (ui.target("line", field)) out.push_back({Do::focus_line, {}});
  if (separator_clear) {
    ui.vline(field.right() + 0.3F, r.y + r.h * 0.25F, r.h * 0.62F, 0.2F, t.ink);
    ui.text(field.right() + 3.4F, base - 0.5F, Type::small_bold, t.ink, tr("clear"));
    if (ui.target("clear", {field.right(), r.y, clear_w, r.h})) out.push_back({Do::clear_line, {}});
  }
}

void draw_tokens(Ui& ui, Rect r, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const std::vector<TokenView> tokens = tokens_of(state);
  const float least = ui.metrics().target();
  const bool phone = ui.metrics().form() == Form::phone;
  const bool one_line = r.h < 12;  // a low panel: the word alone, without what it was taken for
  float x = r.x;
  // What does not fit in the row is said by number; the line itself still shows every word.
  for (std::size_t i = 0; i < tokens.size(); ++i) {
    const TokenView& token = tokens[i];
    const Type big = token.real ? Type::small_bold : Type::small;
    const std::string small = phone ? token.small.substr(0, token.small.find(',')) : token.small;
    const float words_w =
        std::max(one_line ? 0.0F : ui.width(Type::small, small), ui.width(big, token.big));
    const float w = std::min(std::max(least, words_w + 6), r.w * 0.6F);
    if (x + w > r.right() + 0.5F) {
      if (token.real)
        ui.text_in(x + 1, r.y + 5.0F, r.right() - x - 1, Type::small, t.muted,
                   "+" + std::to_string(tokens.size() - i));
      break;
    }
    ui.vline(x, r.y, r.h, 0.5F, token.real ? t.accent : t.ink);
    if (!one_line) ui.text_in(x + 2.4F, r.y + 5.5F, w - 4, Type::small, t.muted, small);
    ui.text_in(x + 2.4F, one_line ? r.y + r.h / 2 + ui.capitals(big) / 2 : r.y + 11.7F, w - 3, big,
               t.ink, token.big);
    const Rect field{x, r.y, w, r.h};
    if (!token.choice.empty()) {
      if (ui.target("choice:" + token.choice, field))
        out.push_back({Do::complete_code, token.choice});
    } else if (token.real && ui.target("token:" + token.key, field)) {
      out.push_back({Do::drop_token, token.key});
    }
    if (!token.real && ui.target("token:add", field)) out.push_back({Do::focus_line, {}});
    x += w;
  }
}

void demo_band(Ui& ui, float x, float& y, float w) {
  const Theme& t = ui.theme();
  const float text_x = x + 10.5F;
  const float text_h = ui.paragraph_height(w - 12, Type::small_bold,
                                           tr("Demo shop: never use these values on a vehicle"));
  const float h = std::max(13.0F, text_h + 3.5F);
  ui.fill({x, y, w, h}, t.caution);
  if (t.caution_lines) {
    ui.hline(x, y, w, 0.5F, t.on_caution);
    ui.hline(x, y + h, w, 0.5F, t.on_caution);
  }
  caution_sign(ui, x + 1.8F, y + h / 2 - 3, 7, t.on_caution, t.caution);
  ui.paragraph(text_x, y + (h - text_h) / 2 + 1.0F, w - 12, Type::small_bold, t.on_caution,
               tr("Demo shop: never use these values on a vehicle"));
  y += h + 2;
}

}  // namespace

std::vector<RuleSection> job_rule(const State& state) {
  const job::Job* job = state.current();
  const search::Understood& u = state.answer.understood;
  const search::Vehicle v = job != nullptr && u.vehicle.empty() ? job->vehicle : u.vehicle;
  const auto answered = [](const std::string& text) { return text.empty() ? std::string() : text; };
  std::vector<RuleSection> out;
  std::string vehicle = v.year > 0 ? std::to_string(v.year) : v.model;
  out.push_back({"vehicle", tr("Vehicle"), vehicle, !v.empty(), 3});
  out.push_back(
      {"words", tr("Words"), u.words.empty() ? "" : u.words.front(), !u.words.empty(), 3});
  out.push_back({"code", tr("Code"), u.codes.empty() ? tr("none yet") : u.codes.front(),
                 !u.codes.empty(), 1});
  out.push_back({"when", tr("When"), job != nullptr ? answered(job->when) : "",
                 job != nullptr && !job->when.empty(), 2});
  out.push_back({"often", tr("Often"), job != nullptr ? answered(job->often) : "",
                 job != nullptr && !job->often.empty(), 3});
  out.push_back({"after", tr("After"), job != nullptr ? answered(job->after) : "",
                 job != nullptr && !job->after.empty(), 2});
  return out;
}

void job_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const bool typing = at.keyboard.h > 0;
  const std::vector<RuleSection> rule = job_rule(state);
  std::string here;
  for (const RuleSection& s : rule) {
    if (!s.done) {
      here = s.key;
      break;
    }
  }
  const float width = ui.metrics().width();

  if (at.form == Form::phone) {
    draw_rule(ui, at, rule, here, "intake", Do::menu, out);
    // On a low panel line and tokens are as high as a finger, and the tips have what is left.
    const bool low = ui.metrics().low();
    const float line_h = low ? std::max(ui.finger(15), 8.0F) : std::max(ui.finger(13), 9.0F);
    const float line_y = low ? at.main.y - 1 : at.main.y;
    draw_line(ui, {at.main.x, line_y, width - at.main.x, line_h}, state, !state.line.empty(), out);
    float y = line_y + line_h;
    ui.hline(at.main.x, y, width - at.main.x, 0.5F, t.ink);
    if (!typing && !state.show_parked && (!low || !state.answer.understood.tokens.empty())) {
      const float token_h = low ? ui.finger(15) : 13.6F;
      draw_tokens(ui, {at.main.x, y, at.main.w, token_h}, state, out);
      y += token_h + (low ? 0.6F : 2.4F);
    }
    if (!typing && !state.show_parked && (state.demo || state.shop.demo) && state.line.empty()) {
      if (low) y += 1;
      demo_band(ui, at.main.x, y, at.main.w);
    }
    const Rect rest{at.main.x, y, at.main.w, at.main.bottom() - y};
    if (state.show_parked) {
      draw_parked(ui, rest, state, out);
    } else {
      draw_results(ui, rest, state, typing, out);
    }
  } else {
    const Rect line{at.heading.x, 0, width - at.heading.x, at.tag.h - 1.7F};
    draw_line(ui, line, state, !state.line.empty(), out);
    const float under = at.tag.h - 1.7F;
    ui.hline(at.heading.x - 0.2F, under, width - at.heading.x + 0.2F, 0.5F, t.ink);
    float y = under + 2;
    const bool small = at.form == Form::small;
    if (!typing || !small) {
      const float token_h = small ? 13.0F : 15.0F;
      draw_tokens(ui, {at.heading.x, under, width - at.heading.x, token_h}, state, out);
      if (!small && at.form == Form::wide) {
        // The shop and whether all is kept, under the tag.
        ui.text_in(at.left.x, 20.4F, at.tag.w - at.left.x - 1, Type::small, t.muted,
                   state.shop.name.empty() ? "Baylore" : state.shop.name);
        const std::string standing = state.shop_gone  ? say("copy of {0}", state.copy_time)
                                     : state.building ? tr("indexing")
                                                      : tr("all saved");
        ui.text_in(at.left.x, 26.6F, at.tag.w - at.left.x - 1, Type::small, t.muted, standing);
      }
      y = under + token_h + (small ? 1.5F : typing ? 0.4F : 2.7F);
    }
    if (!typing) draw_rule(ui, at, rule, here, "intake", Do::menu, out);
    if (at.form == Form::tall || typing) {
      // One column: results over parked jobs; while typing the results take the whole width.
      const float x = typing ? 3.5F : at.left.x;
      const Rect all{x, y, width - x - 3.2F - (typing ? 0.3F : 0), at.right.bottom() - y};
      if (typing) {
        draw_results(ui, all, state, true, out);
      } else {
        Rect top = all;
        if (state.demo || state.shop.demo) demo_band(ui, top.x, top.y, top.w);
        const float parked_h = std::min(66.0F, parked_height(state));
        top.h = all.bottom() - top.y - parked_h - 3;
        draw_results(ui, top, state, false, out);
        draw_parked(ui, {all.x, all.bottom() - parked_h, all.w, parked_h}, state, out);
      }
    } else {
      Rect left = at.left;
      left.y = y;
      left.h = at.left.bottom() - y;
      Rect right{at.right.x, y, at.right.w, at.right.bottom() - y};
      if (state.demo || state.shop.demo) {
        // Over the narrow column where it is wide enough; on the small panel over the tips, until
        // something is typed.
        Rect& under_band = small ? right : left;
        if (!small || state.line.empty()) {
          float band_y = under_band.y;
          demo_band(ui, under_band.x, band_y, under_band.w);
          under_band.h -= band_y - under_band.y;
          under_band.y = band_y;
        }
      }
      draw_parked(ui, left, state, out);
      draw_results(ui, right, state, false, out);
    }
  }
  if (typing) return;
  const std::size_t parked = other_bays(state).size() +
                             static_cast<std::size_t>(std::count_if(
                                 state.jobs.begin(), state.jobs.end(),
                                 [](const job::Job& j) { return j.state == job::State::parked; }));
  const StripKey primary{
      "primary",
      state.line.empty() && state.answer.hits.empty() ? tr("Search") : tr("Next check"),
      state.line.empty() && state.answer.hits.empty() ? Action{Do::focus_line, {}}
                                                      : Action{Do::open_next, {}},
      {}};
  const bool on = state.line.empty() || !state.answer.hits.empty();
  if (at.form == Form::phone) {
    draw_strip(
        ui, at,
        {{"more", tr("More"), {Do::menu, "job"}, ""},
         {"parked",
          state.show_parked ? tr("tips") : tr("parked"),
          {Do::show_parked, {}},
          state.show_parked ? std::to_string(state.answer.hits.size()) : std::to_string(parked)}},
        primary, on, out);
  } else {
    draw_strip(ui, at,
               {{"back", tr("Back"), {Do::back, {}}, ""},
                {"park", tr("Park"), {Do::park, {}}, ""},
                {"write", state.write.active ? tr("Go on") : tr("Write"), {Do::write_new, {}}, ""},
                {"more", tr("More"), {Do::menu, "job"}, ""}},
               primary, on, out);
  }
}

}  // namespace baylore::viewer
