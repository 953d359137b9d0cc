// The working sheet as other programs read it: the PDF through poppler's pdftotext, pdfinfo and
// pdffonts, the codes through zbarimg.
#include <doctest/doctest.h>

#include "sheet/codes.h"
#include "sheet/essential.h"
#include "sheet/pdf.h"
#include "sheet/shop_tips.h"
#include "support/scratch.h"

using namespace baylore;
using namespace baylore::sheet;
using namespace baylore::sheet::test;
using baylore::test::Scratch;

namespace {

const shop::PartBook& demo_parts() {
  static const shop::PartBook book = [] {
    shop::Findings ignored;
    return shop::read_parts(files::real_disk(), BAYLORE_SOURCE_DIR "/content", ignored);
  }();
  return book;
}

struct Read {
  std::string text;
  int pages = 0;
};
Read read_back(const Scratch& scratch, const Sheet& sheet, Paper paper,
               const std::vector<Pixels>& pictures = {}) {
  const auto printed = print_pdf(sheet, paper, pictures);
  REQUIRE(printed);
  scratch.put("sheet.pdf", printed->bytes);
  return {flowing(printed_by("pdftotext -raw -enc UTF-8 '" + scratch.path("sheet.pdf") + "' -")),
          printed->pages};
}

void holds(const std::string& text, const std::string& words) {
  CAPTURE(words);
  CHECK(text.find(flowing(words)) != std::string::npos);
}

// All that a technician must not miss: every caution, check, fastener, part and step.
void holds_all(const std::string& text, const Sheet& sheet) {
  CAPTURE(sheet.title);
  holds(text, sheet.title);
  for (const std::string& warning : sheet.warnings) holds(text, warning);
  for (const Sheet::Caution& caution : sheet.cautions)
    holds(text, caution.lead + (caution.more.empty() ? "" : " " + caution.more));
  for (const auto* checks : {&sheet.checks, &sheet.verify}) {
    for (const SheetCheck& check : *checks) {
      holds(text, check.name);
      if (check.expected.unit.empty()) {
        holds(text, check.expected.before);
      } else {
        holds(text, check.expected.before + " " + check.expected.unit);
        holds(text, check.expected.second);
      }
    }
  }
  for (const Paragraph& step : sheet.repair) holds(text, step.text);
  for (const Paragraph& item : sheet.finish) holds(text, item.text);
  for (const SheetFastener& fastener : sheet.fasteners) {
    holds(text, fastener.name);
    holds(text, fastener.bolt);
    if (!fastener.spec) {
      holds(text, fastener.torque);
      continue;
    }
    const trade::Unit& other = trade::other_torque_unit(*fastener.spec);
    for (const trade::TorqueFigure& figure :
         {trade::final_figure(*fastener.spec), trade::final_figure_in(*fastener.spec, other)}) {
      if (!figure.number.empty()) holds(text, figure.number + " " + figure.unit);
    }
    holds(text, trade::stages_in_words(*fastener.spec));
    if (!fastener.sequence.empty()) holds(text, "order " + fastener.sequence);
    if (fastener.reuse == "no") holds(text, "new every time");
  }
  for (const SheetPart& part : sheet.parts) {
    holds(text, part.name);
    for (const SheetCheck& check : part.acceptance) holds(text, check.name);
  }
  holds(text, who_decides());
}

}  // namespace

TEST_CASE("the PDF of every demo tip read back holds every caution, check, fastener and part") {
  const Scratch scratch;
  const std::vector<shop::Tip> tips = demo_tips();
  REQUIRE(tips.size() >= 50);
  const auto settings = shop::read_settings(files::real_disk(), BAYLORE_SOURCE_DIR "/content");
  REQUIRE(settings);
  int cautions = 0;
  int fasteners = 0;
  int alone = 0;
  for (const shop::Tip& tip : tips) {
    const Sheet sheet = sheet_of({tip, &*settings, &demo_parts()});
    // The sheet itself has what the tip has.
    CHECK(sheet.cautions.size() >= tip.cautions.size());
    CHECK(sheet.fasteners.size() == tip.fasteners.size());
    const Read read = read_back(scratch, sheet, Paper::a4);
    holds_all(read.text, sheet);
    for (const char* word : {"Checks", "Repair", "Fasteners", "Parts", "Finish"})
      CHECK(read.text.find(flowing(std::string(word) + ", continued" + word)) == std::string::npos);
    CHECK(read.pages <= 2);
    cautions += static_cast<int>(sheet.cautions.size());
    fasteners += static_cast<int>(sheet.fasteners.size());
    alone += read.pages == 1 ? 1 : 0;
  }
  CHECK(cautions > 100);
  CHECK(fasteners > 100);
  MESSAGE(tips.size() << " tips, " << alone << " on one page");
}

// ISO 216: A4 is 210 x 297 mm; ANSI/ASME Y14.1: size A is 8.5 x 11 in.
TEST_CASE("A4 and Letter, all type embedded, and no date of making") {
  const Scratch scratch;
  const std::vector<shop::Tip> tips = demo_tips();
  const Sheet sheet = sheet_of({tips.front(), nullptr, &demo_parts()});
  const std::string file = "'" + scratch.path("sheet.pdf") + "'";
  holds_all(read_back(scratch, sheet, Paper::letter).text, sheet);
  CHECK(printed_by("pdfinfo " + file).find("612 x 792 pts (letter)") != std::string::npos);
  holds_all(read_back(scratch, sheet, Paper::a4).text, sheet);
  const std::string info = printed_by("pdfinfo " + file);
  CHECK(info.find("595.276 x 841.89 pts (A4)") != std::string::npos);
  CHECK(info.find("CreationDate") == std::string::npos);
  // Name, type, encoding, then whether it is embedded and a subset.
  std::istringstream fonts(printed_by("pdffonts " + file));
  std::string line;
  int count = 0;
  for (int at = 0; std::getline(fonts, line); ++at) {
    if (at < 2) continue;
    ++count;
    CHECK(line.find(" yes yes ") != std::string::npos);
    CHECK((line.find("B612") != std::string::npos || line.find("DejaVu") != std::string::npos));
  }
  CHECK(count >= 2);
  const auto once = print_pdf(sheet, Paper::a4, {});
  const auto twice = print_pdf(sheet, Paper::a4, {});
  REQUIRE(once);
  REQUIRE(twice);
  CHECK(once->bytes == twice->bytes);
}

TEST_CASE("a picture is in the PDF with its marks; one that is not there says why") {
  const Scratch scratch;
  const shop::Tip tip = tip_of(
      "---\ntitle: Pump\n---\n\n## Location\n![Pump from the front](pump.png)\n"
      "- mark 1: 0.2 0.3 weep hole\n- mark w: 0.9 0.9 wire\n");
  const Sheet sheet = sheet_of({tip});
  Pixels red;
  red.width = 60;
  red.height = 40;
  for (int i = 0; i < red.width * red.height; ++i)
    red.rgba.insert(red.rgba.end(), {200, 30, 20, 255});
  const Read with = read_back(scratch, sheet, Paper::a4, {red});
  holds(with.text, "Pump from the front");
  holds(with.text, "1 weep hole w wire");
  const std::string images = printed_by("pdfimages -list '" + scratch.path("sheet.pdf") + "'");
  CHECK(images.find("60    40") != std::string::npos);
  // What it looks like: the column's middle is as red as the picture.
  printed_by("pdftoppm -r 50 -singlefile '" + scratch.path("sheet.pdf") + "' '" +
             scratch.path("page") + "'");
  CHECK(scratch.get("page.ppm").find("\xC8\x1E\x14\xC8\x1E\x14\xC8\x1E\x14") != std::string::npos);
  Pixels none;
  none.why = "pump.png: the picture is damaged";
  holds(read_back(scratch, sheet, Paper::a4, {none}).text, none.why);
}

TEST_CASE("hostile texts give a readable sheet of whole pages") {
  const Scratch scratch;
  std::string caution;
  for (int i = 0; i < 2500; ++i) caution += "word" + std::to_string(i) + " ";
  std::string text = "---\ntitle: " + std::string(3000, 'W') +
                     "\nsystem: brakes\n---\n\n## Cautions\n- " + caution +
                     "\n- \u202EturneD \x01 \u0627\u0644\u0639\u0631\u0628\u064A\u0629\n\n" +
                     "## Fasteners\n";
  for (int i = 0; i < 200; ++i) {
    text += "### Bolt " + std::to_string(i) +
            " of the cover\n- count: 2\n- thread: M6x1.0\n- torque: " + std::to_string(5 + i) +
            " N\u00B7m\n- sequence: 1 2\n";
  }
  const Sheet sheet = sheet_of({tip_of(text)});
  const Read read = read_back(scratch, sheet, Paper::letter);
  CHECK(read.pages > 3);
  CHECK(read.pages < 30);
  holds(read.text, "word0 word1 word2");
  holds(read.text, "word2498 word2499");
  holds(read.text, "turneD");
  for (const SheetFastener& fastener : sheet.fasteners) {
    holds(read.text, fastener.name);
    holds(read.text, trade::final_figure(*fastener.spec).number + " N\u00B7m");
  }
  CHECK(read.text.find(flowing("Fasteners, continued")) != std::string::npos);
  holds(read.text, "page " + std::to_string(read.pages) + " of " + std::to_string(read.pages));
  // No line stands outside the paper's margins.
  const std::string boxes = printed_by("pdftotext -bbox '" + scratch.path("sheet.pdf") + "' -");
  int words = 0;
  for (std::size_t at = 0; (at = boxes.find("<word ", at)) != std::string::npos; ++at) {
    double x1 = 0;
    double y1 = 0;
    double x2 = 0;
    double y2 = 0;
    REQUIRE(std::sscanf(boxes.c_str() + at,
                        "<word xMin=\"%lf\" yMin=\"%lf\" xMax=\"%lf\" yMax=\"%lf\"", &x1, &y1, &x2,
                        &y2) == 4);
    ++words;
    if (x1 < 30 || x2 > 612 - 30 || y1 < 20 || y2 > 792 - 15)
      FAIL_CHECK("outside the margins: " << boxes.substr(at, 90));
  }
  CHECK(words > 2500);
  // Nothing at all.
  const Sheet empty = sheet_of({tip_of("")});
  CHECK(read_back(scratch, empty, Paper::a4).pages == 1);
  holds(read_back(scratch, empty, Paper::a4).text, who_decides());
}

TEST_CASE("a sheet that cannot be written says why, and leaves what was there") {
  const Scratch scratch;
  const Sheet sheet = sheet_of({tip_of("---\ntitle: Rattle\n---\n")});
  scratch.put("file", "no folder");
  const auto saved =
      save_pdf(files::real_disk(), scratch.path("file/rattle.pdf"), sheet, Paper::a4, {});
  REQUIRE(!saved);
  CHECK(!saved.failure().what.empty());
  CHECK(scratch.get("file") == "no folder");
  scratch.put("there.pdf", "older");
  REQUIRE(save_pdf(files::real_disk(), scratch.path("there.pdf"), sheet, Paper::a4, {}));
  CHECK(scratch.get("there.pdf").starts_with("%PDF-1."));
  CHECK(scratch.left_behind().empty());
}

TEST_CASE("the codes of every demo tip, read by another program, are its essential text") {
  const Scratch scratch;
  constexpr int kPixels = 4;  // a module
  constexpr int kQuiet = 4;   // modules
  std::string expected;
  std::string files;
  std::size_t most = 0;
  int count = 0;
  for (const shop::Tip& tip : demo_tips()) {
    const auto parts = cut_for_codes(essential_text(sheet_of({tip})));
    most = std::max(most, parts.size());
    for (const std::string& part : parts) {
      const Code code = code_of(part, Spare::fifteen_percent);
      REQUIRE(code.side > 0);
      CHECK(code.side <= kDensestSide);
      const int side = (code.side + 2 * kQuiet) * kPixels;
      std::string image = "P5\n" + std::to_string(side) + " " + std::to_string(side) + "\n255\n";
      for (int y = 0; y < side; ++y) {
        for (int x = 0; x < side; ++x) {
          const int row = y / kPixels - kQuiet;
          const int column = x / kPixels - kQuiet;
          const bool inside = row >= 0 && column >= 0 && row < code.side && column < code.side;
          const bool dark =
              inside && code.dark[static_cast<std::size_t>(row * code.side + column)] != 0;
          image += static_cast<char>(dark ? 20 : 240);
        }
      }
      const std::string name = "code" + std::to_string(1000 + count++) + ".pgm";
      scratch.put(name, image);
      files += " '" + scratch.path(name) + "'";
      expected += part + "\n";
    }
  }
  CHECK(count > 50);
  CHECK(most <= 5);
  MESSAGE(count << " codes, at most " << most << " a tip");
  const std::string read = printed_by("zbarimg --raw -q -Sdisable -Sqrcode.enable" + files);
  CHECK(read == expected);
}
