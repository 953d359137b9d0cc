// Pictures in a tip's text: an edit changes its own lines, and what is written reads back the same.
#include <doctest/doctest.h>

#include "shop/picture_edit.h"

namespace {

using baylore::shop::add_picture;
using baylore::shop::change_picture;
using baylore::shop::Document;
using baylore::shop::Picture;
using baylore::shop::placed_pictures;
using baylore::shop::remove_picture;

Picture picture(const std::string& file, const std::string& caption) {
  Picture out;
  out.file = file;
  out.caption = caption;
  return out;
}

}  // namespace

TEST_CASE("a picture with marks is put in and reads back") {
  Document document = Document::parse(
      "---\ntitle: Pump weeps\n---\n\n## Location\nRight of the pulley.\n\n## Repair\n1. New "
      "pump.\n");
  Picture pump = picture("pump-weeps-1.jpg", "Pump, from below");
  pump.marks = {{"1", 0.42, 0.61, "weep hole", 0}, {"2", 1, 0, "", 0}};
  add_picture(document, "Location", pump);
  CHECK(document.bytes() ==
        "---\ntitle: Pump weeps\n---\n\n## Location\nRight of the pulley.\n\n![Pump, from "
        "below](pump-weeps-1.jpg)\n- mark 1: 0.420 0.610 weep hole\n- mark 2: 1.000 0.000\n\n## "
        "Repair\n1. New pump.\n");
  const auto all = placed_pictures(document);
  REQUIRE(all.size() == 1);
  CHECK(all[0].section == "location");
  CHECK(all[0].picture.caption == "Pump, from below");
  REQUIRE(all[0].picture.marks.size() == 2);
  CHECK(all[0].picture.marks[0].x == doctest::Approx(0.42));
  CHECK(all[0].picture.marks[0].text == "weep hole");
  CHECK(all[0].picture.marks[1].label == "2");
}

TEST_CASE("a section that is missing is made at its place") {
  Document document =
      Document::parse("---\ntitle: Pump\n---\n\n## Symptom\nWet.\n\n## Repair\n1. New.\n");
  add_picture(document, "Location", picture("a.jpg", ""));
  const std::string& bytes = document.bytes();
  CHECK(bytes.find("## Location\n![](a.jpg)") != std::string::npos);
  CHECK(bytes.find("## Location") < bytes.find("## Repair"));
}

TEST_CASE("a change touches its own lines only, in the file's own line endings") {
  const std::string before =
      "---\r\ntitle: Pump\r\n---\r\n\r\n## Location\r\n![One](a.jpg)\r\n- mark 1: 0.1 0.2 "
      "hose\r\nKept words.\r\n- mark 2: 0.3 0.4\r\n![Two](b.jpg)\r\n";
  Document document = Document::parse(before);
  Picture one = placed_pictures(document)[0].picture;
  one.caption = "The first";
  one.marks = {{"1", 0.5, 0.25, "clip", 0}};
  REQUIRE(change_picture(document, 0, one));
  CHECK(document.bytes() ==
        "---\r\ntitle: Pump\r\n---\r\n\r\n## Location\r\n![The first](a.jpg)\r\n- mark 1: 0.500 "
        "0.250 clip\r\nKept words.\r\n![Two](b.jpg)\r\n");
  REQUIRE(remove_picture(document, 0));
  CHECK(document.bytes() ==
        "---\r\ntitle: Pump\r\n---\r\n\r\n## Location\r\nKept words.\r\n![Two](b.jpg)\r\n");
  CHECK_FALSE(change_picture(document, 1, one));
  Document alone = Document::parse("## Location\n![One](a.jpg)\n\n## Repair\n1. New.\n");
  REQUIRE(remove_picture(alone, 0));
  CHECK(alone.bytes().find("Location") == std::string::npos);
  CHECK(alone.bytes().ends_with("## Repair\n1. New.\n"));
}

TEST_CASE("a picture on the file's last line without an ending takes marks") {
  Document document = Document::parse("## Location\n![One](a.jpg)");
  Picture one = placed_pictures(document)[0].picture;
  one.marks = {{"1", 0.5, 0.25, "clip", 0}};
  REQUIRE(change_picture(document, 0, one));
  CHECK(document.bytes() == "## Location\n![One](a.jpg)\n- mark 1: 0.500 0.250 clip\n");
}

TEST_CASE("a picture in running words keeps them") {
  Document document = Document::parse("## Location\nSee ![One](a.jpg) here.\n");
  Picture one = placed_pictures(document)[0].picture;
  one.caption = "Another";
  one.marks = {{"1", 0.5, 0.5, "", 0}};
  REQUIRE(change_picture(document, 0, one));
  CHECK(document.bytes() == "## Location\nSee ![One](a.jpg) here.\n- mark 1: 0.500 0.500\n");
  CHECK_FALSE(remove_picture(document, 0));
}

TEST_CASE("odd captions and names read back as they were") {
  for (const char* caption : {"a](b", "ends with ]", "[x]", "!", "50 % (left)"}) {
    for (const char* file : {"a b.jpg", "a(1).jpg", "100%.png", "<x>.jpg", "caf\xC3\xA9.png"}) {
      Document document = Document::parse("## Location\nHere.\n");
      add_picture(document, "Location", picture(file, caption));
      const auto all = placed_pictures(document);
      CAPTURE(document.bytes());
      REQUIRE(all.size() == 1);
      CHECK(all[0].picture.file == file);
      std::string words = all[0].picture.caption;
      std::erase(words, ' ');
      std::string wanted = caption;
      std::erase(wanted, ' ');
      CHECK(words == wanted);
    }
  }
}
