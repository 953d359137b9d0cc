#include "viewer/services/sheet_desk.h"

#include <chrono>
#include <utility>

#include "files/names.h"
#include "files/save.h"
#include "sheet/essential.h"
#include "shop/part_book.h"
#include "shop/shop.h"
#include "viewer/photo/client.h"
#include "viewer/services/sticks.h"
#include "viewer/services/worker.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

// Nobody looks at a screen for it, so a slow card may take its time.
constexpr auto kSheetDecodeLimit = std::chrono::milliseconds(20000);

}  // namespace

struct SheetDesk::Inside {
  explicit Inside(SheetDeskOptions o) : options(std::move(o)), disk(*options.disk) {}

  [[nodiscard]] std::string own_place() const {
    return files::join(options.state_folder, "sheets");
  }
  [[nodiscard]] std::vector<PackPlace> places() const {
    std::vector<PackPlace> found;
    for (const std::string& folder : options.places)
      found.push_back({folder, files::name_of(folder), true});
    if (const auto mounts = disk.read(options.mounts, files::kTextLimit)) {
      for (const Mount& mount : mounted_folders(*mounts))
        found.push_back({mount.folder, files::name_of(mount.folder), mount.writable});
    }
    found.push_back({own_place(), tr("this terminal"), true});
    return found;
  }

  [[nodiscard]] sheet::Sheet sheet_for(const SheetAsked& asked) const {
    shop::Findings ignored;
    const shop::PartBook parts = shop::read_parts(disk, options.shop, ignored);
    const auto settings = shop::read_settings(disk, options.shop);
    return sheet::sheet_of(
        {asked.tip, settings ? &*settings : nullptr, &parts, &asked.findings, &asked.doubts});
  }

  void make(const SheetAsked& asked) {
    auto page = std::make_shared<SheetPage>();
    page->tip = asked.id;
    const sheet::Sheet sheet = sheet_for(asked);
    page->title = sheet.title;
    for (std::string& text : sheet::cut_for_codes(sheet::essential_text(sheet))) {
      sheet::Code code = sheet::code_of(text, sheet::Spare::fifteen_percent);
      page->codes.push_back({std::move(text), std::move(code)});
    }
    page->paper = sheet::paper_of(disk, options.shop);
    page->places = places();
    options.emit(SheetMade{std::move(page)});
  }

  [[nodiscard]] sheet::Pixels pixels_of(const shop::Tip& tip, const std::string& file) const {
    sheet::Pixels out;
    const std::string path = shop::picture_path(disk, options.shop, tip.path, file);
    if (path.empty()) {
      out.why = "no photo: " + file;
      return out;
    }
    auto decoded = photo::decode_picture(options.photo_program, files::join(options.shop, path),
                                         sheet::kPictureSide, kSheetDecodeLimit);
    if (!decoded) {
      out.why = file + ": " + decoded.failure().what;
      return out;
    }
    out.width = decoded->width;
    out.height = decoded->height;
    out.rgba = std::move(decoded->rgba);
    return out;
  }

  void save(const SheetAsked& asked, sheet::Paper paper, const std::string& folder) {
    SheetSaved event;
    event.path = files::join(folder, sheet::file_name(asked.tip));
    // A stick that was pulled out leaves its folder's name behind: nothing is written beside it.
    const auto there =
        folder == own_place() ? files::make_folders(disk, folder) : files::Result<void>();
    const auto status = disk.status(folder);
    if (!there || !status || !status->folder) {
      event.failure =
          there ? files::Failure{files::Failure::Kind::missing, folder, tr("is not there any more"),
                                 tr("put the stick in again or choose another place")}
                : there.failure();
      options.emit(std::move(event));
      return;
    }
    std::vector<sheet::Pixels> pictures;
    for (const shop::Picture& picture : asked.tip.pictures)
      pictures.push_back(pixels_of(asked.tip, picture.file));
    const auto saved = sheet::save_pdf(disk, event.path, sheet_for(asked), paper, pictures);
    if (saved) {
      event.pages = saved->pages;
    } else {
      event.failure = saved.failure();
    }
    options.emit(std::move(event));
  }

  SheetDeskOptions options;
  files::Disk& disk;
  Worker worker;
};

SheetDesk::SheetDesk(SheetDeskOptions options)
    : inside_(std::make_unique<Inside>(std::move(options))) {}

SheetDesk::~SheetDesk() = default;

void SheetDesk::make(SheetAsked asked) {
  Inside& in = *inside_;
  in.worker.post([&in, asked = std::move(asked)] { in.make(asked); }, "make");
}

void SheetDesk::save(SheetAsked asked, sheet::Paper paper, std::string folder) {
  Inside& in = *inside_;
  in.worker.post([&in, asked = std::move(asked), paper, folder = std::move(folder)] {
    in.save(asked, paper, folder);
  });
}

bool SheetDesk::quiet() const { return inside_->worker.quiet(); }

}  // namespace baylore::viewer
