#include "viewer/look/metrics.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace baylore::viewer {
namespace {

constexpr std::array<float, kTypes> kCapitals{2.9F, 2.9F, 3.4F, 3.4F,  3.8F,  3.8F, 5.0F,
                                              5.0F, 6.0F, 8.0F, 10.0F, 12.0F, 20.0F};

// How much of the text scale a size takes part in: what can be read from across the bay at 100 %
// need not double to be read at 200 %.
constexpr std::array<float, kTypes> kGrows{1.0F, 1.0F, 1.0F, 1.0F, 1.0F,  1.0F, 0.7F,
                                           0.7F, 0.6F, 0.5F, 0.4F, 0.35F, 0.25F};

// The least drawn size of the two forms that stand columns side by side; they are drawn for 153 x
// 92 and 136 x 218 mm. Only large text is kept from them: a small panel has no better form.
constexpr float kSmallWidth = 145;
constexpr float kSmallHeight = 86;
constexpr float kTallWidth = 120;

// B612: capitals are this part of ascent plus descent.
constexpr float kCapitalsOfFont = 0.6255F;

struct Panel {
  int w;
  int h;
  double ppi;
};
constexpr std::array<Panel, 6> kPanels{{{800, 480, 133},
                                        {1280, 800, 149},
                                        {800, 1280, 149},
                                        {390, 844, 152},
                                        {1920, 1080, 102},
                                        {3840, 2160, 184}}};

}  // namespace

Hand hand_named(std::string_view word) {
  if (word == "bare") return Hand::bare;
  if (word == "thick glove") return Hand::thick_glove;
  return Hand::glove;
}

std::string_view hand_word(Hand hand) {
  switch (hand) {
    case Hand::bare:
      return "bare";
    case Hand::thick_glove:
      return "thick glove";
    case Hand::glove:
      break;
  }
  return "glove";
}

Form Metrics::form() const {
  const float w = width();
  const float h = height();
  if (w < 100 || text_scale > 1.3F) return Form::phone;
  const bool large = text_scale > 1;
  if (h > w) return large && w < kTallWidth ? Form::phone : Form::tall;
  if (large && (w < kSmallWidth || h < kSmallHeight)) return Form::phone;
  return w < 190 || h < 115 ? Form::small : Form::wide;
}

float Metrics::capitals(Type type) const {
  const float plain = kCapitals.at(static_cast<std::size_t>(type));
  const Form shape = form();
  float size = plain;
  // The phone and the small landscape panel have no room for the largest figures.
  if (shape == Form::phone) {
    if (type == Type::bay) size = 8;
    if (type == Type::torque) size = 10;
    if (type == Type::reading) size = 14;
    if (type == Type::number) size = 6;
    if (type == Type::name) size = 5;
    if (type == Type::line || type == Type::line_bold) size = 4.2F;
  } else if (shape == Form::small) {
    if (type == Type::bay) size = 9;
    if (type == Type::torque) size = 10;
    if (type == Type::reading) size = 14;
    if (type == Type::number) size = 7;
  }
  const float grown = 1 + (text_scale - 1) * kGrows.at(static_cast<std::size_t>(type));
  return std::max(size * grown / text_scale,
                  std::min(size, kCapitals.at(static_cast<std::size_t>(Type::title))));
}

int Metrics::font_px(Type type) const {
  return std::max(6, static_cast<int>(std::lround(capitals(type) * px() / kCapitalsOfFont)));
}

float Metrics::target() const {
  switch (hand) {
    case Hand::bare:
      return finger(9);
    case Hand::thick_glove:
      return finger(20);
    case Hand::glove:
      break;
  }
  return finger(15);
}

float Metrics::slop() const { return finger(hand == Hand::bare ? 2.5F : 5.0F); }

double assumed_ppi(int width_px, int height_px) {
  // The nearest listed panel by its number of pixels; an unlisted one of 1440x900 is taken as
  // 1280x800.
  const Panel* best = kPanels.data();
  double least = 1e300;
  for (const Panel& panel : kPanels) {
    const double apart = std::abs(std::log(static_cast<double>(width_px) / panel.w)) +
                         std::abs(std::log(static_cast<double>(height_px) / panel.h));
    if (apart < least) {
      least = apart;
      best = &panel;
    }
  }
  return best->ppi;
}

Metrics metrics_for(int width_px, int height_px, double ppi, int text_percent, Hand hand) {
  Metrics m;
  m.width_px = std::max(1, width_px);
  m.height_px = std::max(1, height_px);
  const double density = ppi > 0 ? std::clamp(ppi, 60.0, 600.0) : assumed_ppi(width_px, height_px);
  m.px_per_mm = static_cast<float>(density / 25.4);
  const bool phone = m.width() < 100;
  // A low panel holds less: under this height one column has no room for a row between tag and
  // strip.
  constexpr float kLeastHeight = 68;
  const float most = phone ? 1.3F : std::clamp(m.height() / kLeastHeight, 1.0F, 2.0F);
  m.text_scale = std::min(static_cast<float>(std::max(text_percent, 100)) / 100.0F, most);
  m.hand = hand;
  return m;
}

}  // namespace baylore::viewer
