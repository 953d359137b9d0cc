#include "viewer/look/metrics.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace baylore::viewer {
namespace {

constexpr std::array<float, kTypes> kCapitals{2.9F, 2.9F, 3.4F, 3.4F,  3.8F,  3.8F, 5.0F,
                                              5.0F, 6.0F, 8.0F, 10.0F, 12.0F, 20.0F};

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
  if (h > w) return Form::tall;
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
  return size * text_scale;
}

int Metrics::font_px(Type type) const {
  return std::max(6, static_cast<int>(std::lround(capitals(type) * px_per_mm / kCapitalsOfFont)));
}

float Metrics::target() const {
  switch (hand) {
    case Hand::bare:
      return 9;
    case Hand::thick_glove:
      return 20;
    case Hand::glove:
      break;
  }
  return 15;
}

float Metrics::slop() const { return hand == Hand::bare ? 2.5F : 5.0F; }

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
  m.text_scale = static_cast<float>(std::clamp(text_percent, 100, phone ? 130 : 200)) / 100.0F;
  m.hand = hand;
  return m;
}

}  // namespace baylore::viewer
