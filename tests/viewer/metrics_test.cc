#include "viewer/look/metrics.h"

#include <doctest/doctest.h>

#include <cstdlib>
#include <iterator>

namespace {

using baylore::viewer::assumed_ppi;
using baylore::viewer::Form;
using baylore::viewer::Hand;
using baylore::viewer::hand_named;
using baylore::viewer::hand_word;
using baylore::viewer::Metrics;
using baylore::viewer::metrics_for;
using baylore::viewer::Type;

Metrics panel(int w, int h, int percent = 100) {
  return metrics_for(w, h, 0, percent, Hand::glove);
}

}  // namespace

// The screen plan's own table of panels.
TEST_CASE("the planned panels have their size in millimetres and their form") {
  struct Row {
    int w, h;
    double ppi, mm_w, mm_h;
    Form form;
  };
  for (const Row& row :
       {Row{1280, 800, 149, 218, 136, Form::wide}, Row{800, 480, 133, 153, 92, Form::small},
        Row{800, 1280, 149, 136, 218, Form::tall}, Row{390, 844, 152, 65, 141, Form::phone},
        Row{1920, 1080, 102, 478, 269, Form::wide}, Row{3840, 2160, 184, 530, 298, Form::wide}}) {
    CAPTURE(row.w);
    CAPTURE(row.h);
    CHECK(assumed_ppi(row.w, row.h) == row.ppi);
    const Metrics m = panel(row.w, row.h);
    CHECK(m.width() == doctest::Approx(row.mm_w).epsilon(0.005));
    CHECK(m.height() == doctest::Approx(row.mm_h).epsilon(0.005));
    CHECK(m.form() == row.form);
  }
  CHECK(assumed_ppi(1440, 900) == 149);
  CHECK(assumed_ppi(412, 915) == 152);
}

TEST_CASE("a type's height in pixels follows the panel") {
  const auto px = [](int w, int h, Type type) { return panel(w, h).font_px(type); };
  // The look's table of sizes at 149, 102 and 184 pixels per inch.
  const Type kTypesOf[] = {Type::small,  Type::text, Type::title,  Type::line,   Type::name,
                           Type::number, Type::bay,  Type::torque, Type::reading};
  const int kAt149[] = {27, 31, 35, 46, 56, 75, 93, 112, 187};
  const int kAt102[] = {18, 21, 24, 32, 38, 51, 64, 77, 128};
  // The table's 230.6 for the largest is 231 either way.
  const int kAt184[] = {33, 39, 44, 57, 69, 92, 115, 138, 231};
  for (std::size_t i = 0; i < std::size(kTypesOf); ++i) {
    CAPTURE(i);
    CHECK(std::abs(px(1280, 800, kTypesOf[i]) - kAt149[i]) <= 1);
    CHECK(std::abs(px(1920, 1080, kTypesOf[i]) - kAt102[i]) <= 1);
    CHECK(std::abs(px(3840, 2160, kTypesOf[i]) - kAt184[i]) <= 1);
  }
  CHECK(px(800, 480, Type::small) == 24);
  CHECK(px(390, 844, Type::small) == 28);
}

TEST_CASE("bold and regular of one size are equally high, and no type is smaller than small") {
  for (const auto& [w, h] : {std::pair{1280, 800}, {800, 480}, {800, 1280}, {390, 844}}) {
    for (const int percent : {100, 130, 200}) {
      const Metrics m = panel(w, h, percent);
      CHECK(m.capitals(Type::small) == m.capitals(Type::small_bold));
      CHECK(m.capitals(Type::text) == m.capitals(Type::text_bold));
      CHECK(m.capitals(Type::line) == m.capitals(Type::line_bold));
      for (int type = 0; type < baylore::viewer::kTypes; ++type)
        CHECK(m.capitals(static_cast<Type>(type)) >= m.capitals(Type::small));
    }
  }
}

TEST_CASE("large text takes the one-column form, and has its limits") {
  CHECK(panel(1280, 800, 130).form() == Form::small);
  CHECK(panel(800, 480, 120).form() == Form::phone);
  CHECK(panel(1920, 1080, 130).form() == Form::wide);
  CHECK(panel(1280, 800, 140).form() == Form::phone);
  CHECK(panel(1280, 800, 400).text_scale == 2.0F);
  CHECK(panel(390, 844, 200).text_scale == 1.3F);
  CHECK(panel(1280, 800, 10).text_scale == 1.0F);
  CHECK(panel(1280, 800, 200).low());
  CHECK_FALSE(panel(800, 1280, 200).low());
  CHECK_FALSE(panel(800, 480).low());
}

TEST_CASE("large text grows the drawn millimetre, and a finger stays as it is") {
  const Metrics plain = panel(1280, 800);
  const Metrics large = panel(1280, 800, 200);
  CHECK(large.width() == doctest::Approx(plain.width() / 2));
  CHECK(large.target() * large.px() == doctest::Approx(plain.target() * plain.px()));
  CHECK(large.slop() * large.px() == doctest::Approx(plain.slop() * plain.px()));
  const auto mm = [](const Metrics& m, Type type) { return m.capitals(type) * m.text_scale; };
  for (const Type type : {Type::small, Type::text, Type::title})
    CHECK(mm(large, type) == doctest::Approx(2 * plain.capitals(type)));
  // What is read from afar grows too, but less.
  const Metrics one_column = panel(390, 844);
  for (const Type type : {Type::line, Type::name, Type::number, Type::torque, Type::reading}) {
    CHECK(mm(large, type) > 1.2F * one_column.capitals(type));
    CHECK(mm(large, type) < 2 * one_column.capitals(type));
  }
}

TEST_CASE("a hand's size asks for its targets and its slop") {
  const auto of = [](Hand hand) { return metrics_for(1280, 800, 0, 100, hand); };
  CHECK(of(Hand::bare).target() == 9);
  CHECK(of(Hand::glove).target() == 15);
  CHECK(of(Hand::thick_glove).target() == 20);
  CHECK(of(Hand::bare).slop() == 2.5F);
  CHECK(of(Hand::glove).slop() == 5);
  CHECK(of(Hand::thick_glove).slop() == 5);
  for (const Hand hand : {Hand::bare, Hand::glove, Hand::thick_glove})
    CHECK(hand_named(hand_word(hand)) == hand);
  CHECK(hand_named("no such") == Hand::glove);
}

TEST_CASE("odd sizes and densities do not get through") {
  const Metrics none = metrics_for(0, -5, 0, 100, Hand::glove);
  CHECK(none.width_px == 1);
  CHECK(none.height_px == 1);
  CHECK(metrics_for(1280, 800, 1e9, 100, Hand::glove).px_per_mm == doctest::Approx(600 / 25.4));
  CHECK(metrics_for(1280, 800, 1, 100, Hand::glove).px_per_mm == doctest::Approx(60 / 25.4));
}
