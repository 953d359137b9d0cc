// A tip's working sheet as a PDF, or its essential text.
#include <fmt/format.h>

#include <chrono>
#include <memory>
#include <nlohmann/json.hpp>

#include "files/disk.h"
#include "files/names.h"
#include "opened.h"
#include "sheet/codes.h"
#include "sheet/essential.h"
#include "sheet/pdf.h"
#include "shop/check/check.h"
#include "shop/document.h"
#include "shop/records.h"
#include "shop/shop.h"
#ifdef BAYLORE_PHOTO
#include "photo/client.h"
#endif

namespace baylore::cli {
namespace {

struct Wish {
  std::string id;
  std::string to;
  std::string paper;
  bool text = false;
};

sheet::Pixels pixels_of(const std::string& shop, const shop::Tip& tip, const std::string& file) {
  sheet::Pixels out;
  const std::string path = shop::picture_path(files::real_disk(), shop, tip.path, file);
  if (path.empty()) {
    out.why = "no photo: " + file;
    return out;
  }
#ifdef BAYLORE_PHOTO
  constexpr auto kLimit = std::chrono::milliseconds(20000);
  auto decoded = photo::decode_picture(files::with_program(BAYLORE_PHOTO_INSTALLED, BAYLORE_PHOTO),
                                       files::join(shop, path), sheet::kPictureSide, kLimit);
  if (!decoded) {
    out.why = file + ": " + decoded.failure().what;
    complain(decoded.failure());
    return out;
  }
  out.width = decoded->width;
  out.height = decoded->height;
  out.rgba = std::move(decoded->rgba);
#else
  out.why = file;
#endif
  return out;
}

// The tip with what stands about it elsewhere in the shop.
struct Found {
  shop::Tip tip;
  shop::Settings settings;
  sheet::Sheet sheet;
};
std::optional<Found> find(const Common& common, const std::string& id) {
  const std::optional<Opened> opened = open(common);
  if (!opened) return std::nullopt;
  const std::optional<store::TipRow> row = opened->store.find(id);
  std::optional<std::string> bytes;
  if (row) bytes = opened->store.bytes(row->doc);
  if (!bytes) {
    complain(id + ": no tip has this id, slug or path: baylore search finds it by its words");
    return std::nullopt;
  }
  files::Disk& disk = files::real_disk();
  Found found;
  const shop::Document document = shop::Document::parse(*bytes);
  found.tip = shop::read_tip(document, row->path);
  if (auto settings = shop::read_settings(disk, common.shop)) found.settings = std::move(*settings);
  shop::Findings ignored;
  const shop::PartBook parts = shop::read_parts(disk, common.shop, ignored);
  const shop::Findings findings = shop::check_tip(document, found.tip);
  const std::vector<shop::Question> doubts =
      shop::open_questions(shop::read_records(disk, common.shop));
  found.sheet = sheet::sheet_of({found.tip, &found.settings, &parts, &findings, &doubts});
  return found;
}

int tell_text(const Common& common, const Found& found) {
  const std::string text = sheet::essential_text(found.sheet);
  if (common.json) {
    print({{"id", found.tip.id}, {"text", text}, {"codes", sheet::cut_for_codes(text)}});
  } else {
    fmt::print("{}\n", text);
  }
  return found.tip.broken ? kFindings : kDone;
}

int run(const Common& common, const Wish& wish) {
  const std::optional<Found> found = find(common, wish.id);
  if (!found) return kCouldNotRun;
  if (wish.text) return tell_text(common, *found);
  const sheet::Paper paper = wish.paper.empty()
                                 ? sheet::paper_of(files::real_disk(), common.shop)
                                 : sheet::paper_named(wish.paper).value_or(sheet::Paper::a4);
  std::vector<sheet::Pixels> pictures;
  for (const shop::Picture& picture : found->tip.pictures)
    pictures.push_back(pixels_of(common.shop, found->tip, picture.file));
  const auto saved = sheet::save_pdf(files::real_disk(), wish.to, found->sheet, paper, pictures);
  if (!saved) {
    complain(saved.failure());
    return kCouldNotRun;
  }
  if (common.json) {
    print({{"id", found->tip.id},
           {"file", wish.to},
           {"paper", std::string(sheet::paper_word(paper))},
           {"pages", saved->pages}});
  } else {
    fmt::print("{}: {}.\n", wish.to, counted(saved->pages, "page"));
  }
  return found->tip.broken ? kFindings : kDone;
}

}  // namespace

void add_sheet(Arguments& arguments) {
  Verb verb =
      arguments.verb("sheet",
                     "One tip as a working sheet to print, with blanks for readings; or its "
                     "essential text");
  verb.option("--shop").required();
  const auto wish = std::make_shared<Wish>();
  verb.text("id", wish->id, "Its id, slug or path").required();
  Verb group = verb.exactly_one("What to make");
  const Option to = group.text("--to", wish->to, "The PDF's file; what was there is replaced");
  group.flag("--text", wish->text, "Print the essential text instead, as the codes hold it");
  verb.text("--paper", wish->paper, "a4 or letter; when not given, as the shop says")
      .one_of({"a4", "letter"})
      .needs(to);
  verb.runs([wish](const Common& common) { return run(common, *wish); });
}

}  // namespace baylore::cli
