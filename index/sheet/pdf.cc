#include "sheet/pdf.h"

#include <cairo-pdf.h>
#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <utility>

#include "files/save.h"
#include "sheet/compose.h"
#include "sheet/compose_parts.h"
#include "sheet/pages.h"

namespace baylore::sheet {
namespace {

constexpr double kMargin = 13 * kMm;
constexpr double kBetween = 8 * kMm;  // the columns
constexpr int kScaleSteps = 5;
constexpr double kScaleStep = (1 - kLeastScale) / kScaleSteps;

struct Size {
  double width;
  double height;
};

Size size_of(Paper paper) {
  // ISO 216 and ANSI/ASME Y14.1 size A.
  return paper == Paper::a4 ? Size{210 * kMm, 297 * kMm} : Size{8.5 * 72, 11 * 72};
}

struct DestroyPage {
  void operator()(cairo_t* cr) const { cairo_destroy(cr); }
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};

Rows named(Rows rows, std::string_view section) {
  for (Row& row : rows) row.section = section;
  return rows;
}

// One sheet set at one scale.
class Setting {
 public:
  Setting(const Sheet& sheet, Paper paper, const std::vector<Pixels>& pictures, double scale)
      : sheet_(sheet), press_(scale), size_(size_of(paper)) {
    frame_.left = frame_.top = kMargin;
    frame_.column = (across() - kBetween) / 2;
    frame_.second = kMargin + frame_.column + kBetween;
    frame_.later_top = kMargin + press_.scaled(24);
    frame_.again = press_.scaled(14);
    const Composer composer(sheet, pictures, press_, frame_.column);
    foot_ = composer.foot(across());
    foot_top_ = size_.height - kMargin * 0.7 - height_of(foot_);
    frame_.bottom = foot_top_ - press_.scaled(8);
    top_ = composer.top(across());
    columns(composer);
    pages_ = placed(top_, first_, second_, frame_);
  }

  [[nodiscard]] std::size_t pages() const { return pages_.size(); }

  void draw(cairo_t* cr) const {
    for (std::size_t i = 0; i < pages_.size(); ++i) {
      draw_around(cr, i);
      draw_rows(cr, pages_[i]);
      cairo_show_page(cr);
    }
  }

 private:
  [[nodiscard]] double across() const { return size_.width - 2 * kMargin; }

  // What is to be looked for stands left, the work and what it needs right. The repair and what
  // follows it go where the columns come out more even, in this order within their column.
  void columns(const Composer& composer) {
    Rows looking = named(composer.symptom(), kWords.symptom);
    append(looking, named(composer.checks(), kWords.checks));
    Rows repair = named(composer.repair(), kWords.repair);
    Rows needs = named(composer.location(), kWords.location);
    append(needs, named(composer.fasteners(), kWords.fasteners));
    append(needs, named(composer.parts(), kWords.parts));
    Rows after = named(composer.finish(), kWords.finish);
    append(after, named(composer.verify(), kWords.verify));
    const double high[] = {height_of(looking), height_of(repair), height_of(needs),
                           height_of(after)};
    // Bit 0: the repair goes left; bit 1: what follows it goes left.
    unsigned best = 1;
    double least = 1e9;
    for (const unsigned way : {1U, 3U, 0U}) {
      const double left =
          high[0] + ((way & 1U) != 0 ? high[1] : 0) + ((way & 2U) != 0 ? high[3] : 0);
      const double right = high[0] + high[1] + high[2] + high[3] - left;
      if (std::max(left, right) < least - 1) {
        least = std::max(left, right);
        best = way;
      }
    }
    first_ = std::move(looking);
    append((best & 1U) != 0 ? first_ : second_, std::move(repair));
    append(second_, std::move(needs));
    append((best & 2U) != 0 ? first_ : second_, std::move(after));
  }

  // In the order in which they are read, the headings of what goes on among them.
  void draw_rows(cairo_t* cr, const Page& page) const {
    auto again = page.again.begin();
    for (std::size_t i = 0; i < page.rows.size(); ++i) {
      for (; again != page.again.end() && again->before == i; ++again) {
        const Press::Line word = press_.line(
            fmt::format(fmt::runtime(kWords.goes_on), again->section), {8.4, true, kAccent});
        word.draw(cr, again->x, again->y + press_.scaled(9));
      }
      const Placed& one = page.rows[i];
      if (one.row->draw) one.row->draw(cr, one.x, one.y);
    }
  }

  // The foot, the line between the columns, and on later pages whose they are.
  void draw_around(cairo_t* cr, std::size_t index) const {
    const Page& page = pages_[index];
    draw_rule(cr, kMargin, foot_top_ - press_.scaled(3), across(), 1.0, kInk);
    double y = foot_top_;
    for (const Row& row : foot_) {
      row.draw(cr, kMargin, y);
      y += row.height;
    }
    if (pages_.size() > 1) {
      const Press::Line number = press_.line(
          fmt::format(fmt::runtime(kWords.page), index + 1, pages_.size()), {7, true, kInk});
      number.draw(cr, kMargin + across() - number.width, y - press_.scaled(2.4));
    }
    if (page.columns_to > page.columns_from + 1) {
      draw_upright(cr, frame_.second - kBetween / 2, page.columns_from + press_.scaled(5),
                   page.columns_to - page.columns_from - press_.scaled(5), 0.4, kHair);
    }
    if (index == 0) return;
    const Rows title = press_.text(sheet_.title, {9, true, kInk}, across());
    title.front().draw(cr, kMargin, kMargin);
    draw_rule(cr, kMargin, kMargin + press_.scaled(16), across(), 1.0, kInk);
  }

  const Sheet& sheet_;
  Press press_;
  Size size_;
  Frame frame_;
  double foot_top_ = 0;
  Rows top_, first_, second_, foot_;
  std::vector<Page> pages_;
};

cairo_status_t take_bytes(void* into, const unsigned char* bytes, unsigned count) {
  static_cast<std::string*>(into)->append(reinterpret_cast<const char*>(bytes), count);
  return CAIRO_STATUS_SUCCESS;
}

// The largest scale with no more pages than the smallest one needs.
std::unique_ptr<Setting> best_setting(const Sheet& sheet, Paper paper,
                                      const std::vector<Pixels>& pictures, double& scale) {
  const auto at = [&](int step) {
    scale = 1 - step * kScaleStep;
    return std::make_unique<Setting>(sheet, paper, pictures, scale);
  };
  std::unique_ptr<Setting> best = at(0);
  if (best->pages() == 1) return best;
  best = at(kScaleSteps);
  const std::size_t least = best->pages();
  int large = -1;           // too large, or not tried
  int small = kScaleSteps;  // small enough
  while (large + 1 < small) {
    const int middle = (large + small) / 2;
    std::unique_ptr<Setting> tried = at(middle);
    if (tried->pages() <= least) {
      small = middle;
      best = std::move(tried);
    } else {
      large = middle;
    }
  }
  scale = 1 - small * kScaleStep;
  return best;
}

}  // namespace

std::string_view paper_word(Paper paper) { return paper == Paper::a4 ? "a4" : "letter"; }

std::optional<Paper> paper_named(std::string_view word) {
  if (word == "a4" || word == "A4") return Paper::a4;
  if (word == "letter" || word == "Letter") return Paper::letter;
  return std::nullopt;
}

Paper paper_of(files::Disk& disk, const std::string& shop_folder) {
  if (const auto text = shop::read_text(disk, shop_folder, "shop.md")) {
    if (const auto named = paper_named(shop::Document::parse(*text).value("paper"))) return *named;
  }
  const auto settings = shop::read_settings(disk, shop_folder);
  return settings && settings->torque_unit.starts_with("lbf") ? Paper::letter : Paper::a4;
}

files::Result<Printed> print_pdf(const Sheet& sheet, Paper paper,
                                 const std::vector<Pixels>& pictures) {
  Printed out;
  const std::unique_ptr<Setting> setting = best_setting(sheet, paper, pictures, out.scale);
  out.pages = static_cast<int>(setting->pages());
  const Size size = size_of(paper);
  const std::unique_ptr<cairo_surface_t, DestroyPage> surface(
      cairo_pdf_surface_create_for_stream(take_bytes, &out.bytes, size.width, size.height));
  cairo_pdf_surface_restrict_to_version(surface.get(), CAIRO_PDF_VERSION_1_5);
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, sheet.title.c_str());
  // Empty takes the date away: the same tip gives the same file.
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, "");
  const std::unique_ptr<cairo_t, DestroyPage> cr(cairo_create(surface.get()));
  setting->draw(cr.get());
  cairo_surface_finish(surface.get());
  for (const cairo_status_t status :
       {cairo_status(cr.get()), cairo_surface_status(surface.get())}) {
    if (status == CAIRO_STATUS_SUCCESS) continue;
    return files::Failure{files::Failure::Kind::other, sheet.title,
                          fmt::format("could not be printed: {}", cairo_status_to_string(status)),
                          "try again; baylore sheet --text still gives the essential text"};
  }
  return out;
}

files::Result<Printed> save_pdf(files::Disk& disk, const std::string& path, const Sheet& sheet,
                                Paper paper, const std::vector<Pixels>& pictures) {
  auto printed = print_pdf(sheet, paper, pictures);
  if (!printed) return printed;
  if (const auto written = files::replace(disk, path, printed->bytes); !written)
    return written.failure();
  return printed;
}

}  // namespace baylore::sheet
