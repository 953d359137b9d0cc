#include "support/layout.h"

#include <algorithm>
#include <cstdio>

namespace baylore::test {
namespace {

using viewer::DrawnText;
using viewer::Item;
using viewer::Rect;

constexpr float kSlack = 0.3F;      // mm; drawing rounds to whole pixels
constexpr float kLeastSide = 9.0F;  // mm; no side of a target is shorter, whatever the other one

Rect common(const Rect& a, const Rect& b) {
  const float x = std::max(a.x, b.x);
  const float y = std::max(a.y, b.y);
  return {x, y, std::min(a.right(), b.right()) - x, std::min(a.bottom(), b.bottom()) - y};
}

bool is_some(const Rect& r, float slack) { return r.w > slack && r.h > slack; }

bool is_ascii(const std::string& text) {
  return std::all_of(text.begin(), text.end(),
                     [](char c) { return static_cast<unsigned char>(c) < 0x80; });
}

// The drawn rectangle leaves room for descenders below the baseline; figures and capitals have
// none.
Rect ink_of(const DrawnText& text) {
  constexpr float kCapitalsOfRect = 0.8F;  // Ui::text says 1.25 capitals
  const bool descends =
      text.text.find_first_of("gjpqyQ,;()[]{}/|_") != std::string::npos || !is_ascii(text.text);
  Rect ink = text.rect;
  if (!descends) ink.h *= kCapitalsOfRect;
  return ink;
}

std::string words(const Rect& r) {
  char text[80];
  std::snprintf(text, sizeof text, "%.1f x %.1f at %.1f, %.1f", static_cast<double>(r.w),
                static_cast<double>(r.h), static_cast<double>(r.x), static_cast<double>(r.y));
  return text;
}

std::string quoted(const std::string& text) {
  return "'" + (text.size() > 60 ? text.substr(0, 57) + "..." : text) + "'";
}

bool is_key(const Item& item) { return item.id.starts_with("key:"); }
bool is_strip(const Item& item) { return item.id.starts_with("strip:") || item.id == "primary"; }
// Labels that say what a tap does: one cut short can be taken for another.
bool must_be_whole(const Item& item) {
  return is_key(item) || is_strip(item) || item.id.starts_with("pad:") ||
         item.id.starts_with("unit:") || item.id.starts_with("result:");
}

class Finder {
 public:
  explicit Finder(const Drawn& frame)
      : metrics_(frame.metrics), panel_{0, 0, metrics_.width(), metrics_.height()} {
    for (const Item& item : frame.items) {
      if (is_some(item.visible, kSlack)) items_.push_back(&item);
    }
    texts_ = frame.texts;
    for (DrawnText& text : texts_) {
      text.rect = ink_of(text);
      seen_.push_back(common(text.rect, common(text.clip, panel_)));
    }
  }

  std::vector<std::string> all() {
    sizes();
    targets_over_each_other();
    cut_texts();
    texts_over_each_other();
    under_a_band("strip", [](const Item& i) { return is_strip(i); });
    under_a_band("keyboard",
                 [](const Item& i) { return is_key(i) || i.id.starts_with("suggest:"); });
    labels_cut_short();
    return std::move(out_);
  }

 private:
  // Smaller than the hand's size both ways, or too thin one way. The keyboards of the two portrait
  // forms have sizes of their own, and on the small landscape panel keys may be 14 mm.
  void sizes() {
    const float hand = metrics_.target();
    const viewer::Form form = metrics_.form();
    const bool portrait = form == viewer::Form::phone || form == viewer::Form::tall;
    for (const Item* i : items_) {
      if (portrait && is_key(*i)) continue;
      const bool low_panel = form == viewer::Form::small && must_be_whole(*i);
      const float least = low_panel ? std::min(hand, metrics_.finger(14)) : hand;
      const bool small = i->rect.w < least - kSlack && i->rect.h < least - kSlack;
      const bool thin = std::min(i->rect.w, i->rect.h) < metrics_.finger(kLeastSide) - kSlack;
      if (small || thin) out_.push_back("target " + quoted(i->id) + ": " + words(i->rect));
    }
  }

  void targets_over_each_other() {
    for (std::size_t a = 0; a < items_.size(); ++a) {
      for (std::size_t b = a + 1; b < items_.size(); ++b) {
        if (!is_some(common(items_[a]->visible, items_[b]->visible), kSlack)) continue;
        out_.push_back("targets " + quoted(items_[a]->id) + " (" + words(items_[a]->visible) +
                       ") and " + quoted(items_[b]->id) + " (" + words(items_[b]->visible) +
                       ") overlap");
      }
    }
  }

  void cut_texts() {
    for (std::size_t i = 0; i < texts_.size(); ++i) {
      const DrawnText& t = texts_[i];
      const Rect room = common(t.clip, panel_);
      const bool away = t.rect.bottom() <= room.y || t.rect.y >= room.bottom();
      if (t.scrolls && away) continue;  // scrolled out of view
      if (t.rect.x < room.x - kSlack || t.rect.right() > room.right() + kSlack)
        out_.push_back("text " + quoted(t.text) + " (" + words(t.rect) + ") is cut at the side");
      if (!t.scrolls && (t.rect.y < room.y - kSlack || t.rect.bottom() > room.bottom() + kSlack))
        out_.push_back("text " + quoted(t.text) + " (" + words(t.rect) + ") is cut above or below");
    }
  }

  void texts_over_each_other() {
    for (std::size_t a = 0; a < texts_.size(); ++a) {
      if (!is_some(seen_[a], 0)) continue;
      for (std::size_t b = a + 1; b < texts_.size(); ++b) {
        if (is_some(common(seen_[a], seen_[b]), kSlack))
          out_.push_back("texts " + quoted(texts_[a].text) + " (" + words(texts_[a].rect) +
                         ") and " + quoted(texts_[b].text) + " (" + words(texts_[b].rect) +
                         ") overlap");
      }
    }
  }

  // The strip and the keyboard are painted over what reaches into them.
  template <typename Is>
  void under_a_band(const char* name, Is belongs) {
    float top = 1e9F;
    for (const Item* i : items_) {
      if (belongs(*i)) top = std::min(top, i->rect.y);
    }
    for (std::size_t i = 0; i < texts_.size(); ++i) {
      if (!is_some(seen_[i], 0)) continue;
      if (seen_[i].y < top - kSlack && seen_[i].bottom() > top + 2 * kSlack)
        out_.push_back("text " + quoted(texts_[i].text) + " (" + words(texts_[i].rect) +
                       ") reaches under the " + name);
    }
  }

  void labels_cut_short() {
    for (std::size_t i = 0; i < texts_.size(); ++i) {
      if (!texts_[i].text.ends_with("…") || !is_some(seen_[i], 0)) continue;
      const float x = seen_[i].x + seen_[i].w / 2;
      const float y = seen_[i].y + seen_[i].h / 2;
      for (const Item* item : items_) {
        if (must_be_whole(*item) && item->visible.holds(x, y))
          out_.push_back("label " + quoted(texts_[i].text) + " of " + quoted(item->id) +
                         " is cut short");
      }
    }
  }

  viewer::Metrics metrics_;
  Rect panel_;
  std::vector<const Item*> items_;
  std::vector<DrawnText> texts_;  // each with the place its ink takes
  std::vector<Rect> seen_;
  std::vector<std::string> out_;
};

}  // namespace

Drawn drawn(const viewer::Ui& ui) { return {ui.metrics(), ui.items(), ui.texts()}; }

std::vector<std::string> layout_defects(const Drawn& frame) { return Finder(frame).all(); }

}  // namespace baylore::test
