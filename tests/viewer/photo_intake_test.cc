// Pictures taken in from a stick: chosen, turned, made smaller, freed of what they tell, marked and
// captioned by taps; what is made to hurt, cancelled, pulled out or has no room costs a note. The
// pictures are made by libjpeg and read back by it.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <mutex>
#include <thread>

#include "files/names.h"
#include "support/failing_disk.h"
#include "support/jpeg_file.h"
#include "support/terminals.h"
#include "viewer/screens/photo_parts.h"
#include "viewer/services/photo_desk.h"

namespace {

using baylore::test::exif_of;
using baylore::test::FailingDisk;
using baylore::test::Headless;
using baylore::test::HeadlessOptions;
using baylore::test::make_jpeg;
using baylore::test::read_jpeg;
using baylore::test::ReadJpeg;
using baylore::test::Rgb;
using baylore::test::Scratch;
using baylore::test::Terminals;
using baylore::viewer::Do;
using baylore::viewer::PictureView;
using baylore::viewer::Rect;
using baylore::viewer::Screen;
namespace files = baylore::files;
namespace fs = std::filesystem;
namespace viewer = baylore::viewer;

constexpr Rgb kRed{220, 20, 20};
constexpr Rgb kGreen{20, 180, 20};
constexpr Rgb kBlue{20, 20, 220};
constexpr Rgb kWhite{250, 250, 250};

bool near(const Rgb& a, const Rgb& b) {
  return std::equal(a.begin(), a.end(), b.begin(),
                    [](int x, int y) { return std::abs(x - y) <= 12; });
}

class Bay {
 public:
  explicit Bay(int width = 1280, int height = 800) {
    at_.put("shop.md", "---\nname: Test shop\n---\n");
    fs::create_directories(stick() + "/DCIM/100BAY");
    width_ = width;
    height_ = height;
  }
  [[nodiscard]] std::string stick() const { return at_.scratch().path("BLUE STICK"); }
  std::string put(const std::string& name, std::string_view bytes) {
    at_.scratch().put("BLUE STICK/" + name, bytes);
    return stick() + "/" + name;
  }
  Headless& start(const std::string& photo_program = BAYLORE_PHOTO) {
    HeadlessOptions options = at_.options();
    options.photo_program = photo_program;
    options.width = width_;
    options.height = height_;
    options.photo_places = {stick()};
    panel_ = std::make_unique<Headless>(options);
    panel_->until([] { return true; }, 1);
    panel_->settle();
    return *panel_;
  }
  // A new tip with a title, then what can be taken in.
  void to_pictures() {
    REQUIRE(panel_->tap("line"));
    REQUIRE(panel_->tap_keys("pump weeps"));
    REQUIRE(panel_->tap("key:Search"));
    REQUIRE(panel_->tap("write it"));
    REQUIRE(panel_->state().screen == Screen::write);
    CAPTURE(viewer::get_field(panel_->state().write.document, "title"));
    REQUIRE(panel_->tap("field:title"));
    while (!panel_->state().write.buffer.empty()) panel_->app().apply({Do::erase, {}});
    panel_->app().apply({Do::type, "Pump weeps when cold"});
    REQUIRE(panel_->tap("key:Done"));
    REQUIRE(panel_->tap("pictures"));
    REQUIRE(panel_->until([&] { return panel_->state().photos.shelf != nullptr; }, 10));
    panel_->settle();
    REQUIRE(panel_->state().screen == Screen::photo_take);
  }
  // A tap that waits for nothing.
  void touch(std::string_view name) {
    const viewer::Item* item = panel_->ui().item(name);
    REQUIRE(item != nullptr);
    panel_->down(item->visible.x + item->visible.w / 2, item->visible.y + item->visible.h / 2);
    panel_->up();
  }
  void take_all() {
    const auto found = panel_->state().photos.shelf->found;
    for (const viewer::FoundPhoto& one : found) REQUIRE(panel_->tap("shot:" + one.path));
  }
  void taken_in() {
    REQUIRE(panel_->until([&] { return !panel_->state().photos.working; }, 60));
    panel_->settle();
  }
  [[nodiscard]] std::vector<std::string> photos() const {
    std::vector<std::string> names;
    std::error_code none;
    for (const auto& one : fs::directory_iterator(at_.shop() + "/photos", none))
      names.push_back(one.path().filename().string());
    std::sort(names.begin(), names.end());
    return names;
  }
  [[nodiscard]] const Terminals& at() const { return at_; }
  [[nodiscard]] std::string text() const { return panel_->state().write.document.bytes(); }
  // Where the picture that is being marked lies on the panel.
  [[nodiscard]] Rect whole() const {
    const auto& metrics = panel_->ui().metrics();
    const auto areas = viewer::photo_areas(viewer::layout_for(metrics, false), metrics);
    for (const auto& [key, view] : panel_->state().pictures) {
      if (key.find(panel_->state().photos.marking) == std::string::npos) continue;
      if (view.state != PictureView::State::ready) continue;
      return viewer::picture_rect(areas.view,
                                  static_cast<float>(view.width) / static_cast<float>(view.height),
                                  panel_->state().photos.pan);
    }
    return {};
  }

 private:
  Terminals at_;
  int width_ = 0;
  int height_ = 0;
  std::unique_ptr<Headless> panel_;
};

// What a PhotoDesk said, gathered from its threads.
struct Said {
  std::mutex mutex;
  std::optional<viewer::PhotosTaken> taken;
};

viewer::PhotosTaken take_in(files::Disk& disk, const std::string& shop,
                            const std::vector<std::string>& paths) {
  Said said;
  viewer::PhotoDeskOptions options;
  options.shop = shop;
  options.photo_program = BAYLORE_PHOTO;
  options.disk = &disk;
  options.emit = [&](viewer::PhotoEvent event) {
    const std::lock_guard lock(said.mutex);
    if (auto* one = std::get_if<viewer::PhotosTaken>(&event)) said.taken = std::move(*one);
  };
  {
    viewer::PhotoDesk desk(std::move(options));
    desk.take_in("draft", paths, "pump");
    for (int i = 0; i < 6000; ++i) {
      {
        const std::lock_guard lock(said.mutex);
        if (said.taken) break;
      }
      std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
  }
  REQUIRE(said.taken);
  return *said.taken;
}

}  // namespace

TEST_CASE("a telephone's picture comes in upright, small, silent, marked where it was tapped") {
  bool narrow = false;
  SUBCASE("on a wide panel") {}
  SUBCASE("on a phone's") { narrow = true; }
  Bay bay(narrow ? 390 : 1280, narrow ? 844 : 800);
  const std::string loud =
      make_jpeg(3000, 2000, {{0xE1, exif_of(6)}, {0xFE, "bay 3, 51 30 12 N"}}) + "a film behind";
  const std::string path = bay.put("DCIM/100BAY/IMG_0007.JPG", loud);
  Headless& panel = bay.start();
  bay.to_pictures();
  CHECK(panel.shows("BLUE STICK"));
  REQUIRE(panel.until(
      [&] {
        return std::any_of(panel.state().pictures.begin(), panel.state().pictures.end(),
                           [](const auto& one) {
                             return one.first.starts_with("stick\n") &&
                                    one.second.state == PictureView::State::ready;
                           });
      },
      20));
  REQUIRE(panel.tap("shot:" + path));
  REQUIRE(panel.tap("primary"));
  bay.taken_in();
  REQUIRE(panel.state().screen == Screen::photo_mark);
  REQUIRE(bay.photos() == std::vector<std::string>{"pump-weeps-when-cold-1.jpg"});

  // The file: read by libjpeg, upright, within the size, and nothing but the picture in it.
  const auto file = read_jpeg(bay.at().get("photos/pump-weeps-when-cold-1.jpg"));
  REQUIRE(file);
  CHECK(file->height == viewer::kTakenSide);
  CHECK(file->width == 1365);
  CHECK(file->markers == std::vector<int>{0xE0});
  // Orientation 6: the stored row 0 is at the right, the stored column 0 at the top.
  CHECK(near(file->at(100, 100), kBlue));
  CHECK(near(file->at(1265, 100), kRed));
  CHECK(near(file->at(100, 1948), kWhite));
  CHECK(near(file->at(1265, 1948), kGreen));
  const std::string bytes = bay.at().get("photos/pump-weeps-when-cold-1.jpg");
  for (const char* told : {"Exif", "LensBox", "51 30", "film"})
    CHECK(bytes.find(told) == std::string::npos);
  // What is on the stick stays as it was.
  CHECK(bay.at().scratch().get("BLUE STICK/DCIM/100BAY/IMG_0007.JPG") == loud);

  // A mark by a tap, moved, taken back; a second one with words.
  REQUIRE(panel.until([&] { return bay.whole().w > 0; }, 20));
  panel.settle();
  Rect whole = bay.whole();
  panel.tap_at(whole.x + whole.w * 0.25F, whole.y + whole.h * 0.75F);
  const auto marks = [&] { return viewer::marked_picture(panel.state().photos)->picture.marks; };
  REQUIRE(marks().size() == 1);
  CHECK(marks()[0].x == doctest::Approx(0.25).epsilon(0.02));
  CHECK(marks()[0].y == doctest::Approx(0.75).epsilon(0.02));
  const double before = marks()[0].x;
  REQUIRE(panel.tap("photo:right"));
  CHECK(marks()[0].x > before);
  REQUIRE(panel.tap("photo:lower left"));  // Undo
  CHECK(marks()[0].x == doctest::Approx(before));
  // Closer: the same place of the picture lies elsewhere on the panel, and a tap there means it.
  REQUIRE(panel.tap("photo:in"));
  REQUIRE(panel.tap("photo:in"));
  whole = bay.whole();
  CHECK(panel.state().photos.pan.zoom > 2);
  panel.tap_at(whole.x + whole.w * 0.5F, whole.y + whole.h * 0.52F);
  REQUIRE(marks().size() == 2);
  CHECK(marks()[1].label == "2");
  CHECK(marks()[1].x == doctest::Approx(0.5).epsilon(0.02));
  CHECK(marks()[1].y == doctest::Approx(0.52).epsilon(0.02));
  const bool phone = panel.has("strip:more");
  if (phone) {
    REQUIRE(panel.tap("strip:more"));
    REQUIRE(panel.tap("row:words"));
  } else {
    REQUIRE(panel.tap("strip:words"));
  }
  REQUIRE(panel.tap_keys("weep hole"));
  REQUIRE(panel.tap("key:Keep"));
  CHECK(marks()[1].text == "weep hole");
  if (phone) {
    REQUIRE(panel.tap("strip:more"));
    REQUIRE(panel.tap("row:caption"));
  } else {
    REQUIRE(panel.tap("strip:caption"));
  }
  REQUIRE(panel.tap_keys("from below"));
  REQUIRE(panel.tap("key:Keep"));
  if (phone) REQUIRE(panel.tap("strip:more"));
  REQUIRE(panel.tap(phone ? "row:section" : "strip:section"));
  REQUIRE(panel.tap("row:section:Repair"));
  REQUIRE(panel.tap("primary"));
  REQUIRE(panel.state().screen == Screen::write);

  // Saved: the tip's text names it in the section that was chosen.
  REQUIRE(panel.tap("primary"));
  REQUIRE(panel.until([&] { return panel.state().tip && !panel.state().tip->preview; }, 20));
  panel.settle();
  const std::string& tip = panel.state().tip->bytes;
  const std::size_t repair = tip.find("## Repair");
  REQUIRE(repair != std::string::npos);
  const std::size_t at = tip.find("![from below](pump-weeps-when-cold-1.jpg)\n- mark 1: 0.2");
  CHECK(at != std::string::npos);
  CHECK(at > repair);
  CHECK(tip.find(" weep hole\n", at) != std::string::npos);
  CHECK(tip.find("## Location") == std::string::npos);
  REQUIRE(panel.state().tip->tip.pictures.size() == 1);
}

TEST_CASE("several come in one after the other, never over another file, the newest first") {
  Bay bay;
  bay.at().put("photos/pump-weeps-when-cold-1.jpg", "somebody's");
  bay.put("DCIM/100BAY/a.jpg", make_jpeg(300, 200));
  bay.put("DCIM/100BAY/b.jpg", make_jpeg(301, 200));
  bay.put("notes.txt", "no picture");
  bay.put("c.jpg", make_jpeg(302, 200));
  fs::create_symlink(bay.stick() + "/c.jpg", bay.stick() + "/link.jpg");
  const auto now = fs::file_time_type::clock::now();
  fs::last_write_time(bay.stick() + "/DCIM/100BAY/a.jpg", now);
  fs::last_write_time(bay.stick() + "/DCIM/100BAY/b.jpg", now - std::chrono::hours(1));
  Headless& panel = bay.start();
  bay.to_pictures();
  const auto& found = panel.state().photos.shelf->found;
  REQUIRE(found.size() == 3);
  CHECK(files::name_of(found[0].path) == "a.jpg");
  CHECK(files::name_of(found[1].path) == "b.jpg");
  CHECK(files::name_of(found[2].path) == "c.jpg");  // the camera's own folder first
  bay.take_all();
  REQUIRE(panel.tap("primary"));
  bay.taken_in();
  CHECK(bay.photos().size() == 4);
  CHECK(bay.at().get("photos/pump-weeps-when-cold-1.jpg") == "somebody's");
  REQUIRE(panel.state().photos.to_mark.size() == 2);
  CHECK(panel.shows("Next one"));
  for (int i = 0; i < 3; ++i) REQUIRE(panel.tap("primary"));
  CHECK(panel.state().screen == Screen::write);
  CHECK(panel.shows("3 in the text"));
  // A small one keeps its size.
  CHECK(read_jpeg(bay.at().get("photos/pump-weeps-when-cold-2.jpg"))->width == 300);

  // Dropped, and something else begun: what was taken in for it goes too, and nothing else does.
  panel.app().apply({Do::drop_draft, {}});
  panel.settle();
  CHECK(bay.photos().size() == 4);  // it could be brought back
  panel.app().apply({Do::write_new, {}});
  REQUIRE(panel.until([&] { return bay.photos().size() == 1; }, 10));
  CHECK(bay.at().get("photos/pump-weeps-when-cold-1.jpg") == "somebody's");
}

TEST_CASE("stopped half way nothing of it stays") {
  Bay bay;
  const std::string large = make_jpeg(4000, 3000);
  for (int i = 0; i < 8; ++i) bay.put("DCIM/100BAY/" + std::to_string(i) + ".jpg", large);
  Headless& panel = bay.start();
  bay.to_pictures();
  bay.take_all();
  const std::string before = bay.text();
  bay.touch("primary");
  REQUIRE(panel.until([&] { return panel.state().photos.done >= 2; }, 60));
  CHECK(panel.shows("Taking in "));
  CHECK(panel.shows(" of 8"));
  CHECK(panel.state().photos.progress.part() > 0.2F);
  bay.touch("primary");  // Stop
  bay.taken_in();
  CHECK(panel.shows("Stopped: nothing was taken in"));
  CHECK(bay.photos().empty());
  CHECK(bay.text() == before);
  CHECK(panel.state().screen == Screen::photo_take);
  CHECK(panel.state().photos.ticked.size() == 8);  // to be tried again
}

TEST_CASE("a stick that is pulled costs what was not taken in yet") {
  Bay bay;
  const std::string large = make_jpeg(4000, 3000);
  for (int i = 0; i < 8; ++i) bay.put("DCIM/100BAY/" + std::to_string(i) + ".jpg", large);
  Headless& panel = bay.start();
  bay.to_pictures();
  bay.take_all();
  bay.touch("primary");
  REQUIRE(panel.until([&] { return panel.state().photos.done >= 2; }, 60));
  fs::remove_all(bay.stick());
  bay.taken_in();
  REQUIRE(panel.state().notice);
  CHECK(panel.state().notice->bad);
  CHECK(panel.state().notice->lead.ends_with("of 8 taken in"));
  CHECK(panel.state().notice->more.find("the stick or folder is not there any more") !=
        std::string::npos);
  const std::size_t kept = bay.photos().size();
  CHECK(kept >= 2);
  CHECK(kept < 8);
  CHECK(baylore::shop::placed_pictures(panel.state().write.document).size() == kept);
  for (const std::string& name : bay.photos()) CHECK(read_jpeg(bay.at().get("photos/" + name)));
}

TEST_CASE("a disk that is full at any moment leaves whole pictures or none, and says so") {
  Scratch scratch;
  scratch.put("stick/a.jpg", make_jpeg(320, 200));
  scratch.put("stick/b.jpg", make_jpeg(321, 200));
  const std::vector<std::string> paths{scratch.path("stick/a.jpg"), scratch.path("stick/b.jpg")};
  int calls = 0;
  {
    fs::create_directories(scratch.path("shop"));
    FailingDisk disk(files::real_disk());
    CHECK(take_in(disk, scratch.path("shop"), paths).files.size() == 2);
    calls = disk.calls();
  }
  REQUIRE(calls > 10);
  for (int call = 1; call <= calls; ++call) {
    CAPTURE(call);
    const std::string shop = scratch.path("shop" + std::to_string(call));
    fs::create_directories(shop);
    FailingDisk disk(files::real_disk());
    disk.fail_at(call, FailingDisk::How::forever, files::Failure::Kind::full);
    const viewer::PhotosTaken taken = take_in(disk, shop, paths);
    std::size_t there = 0;
    std::error_code none;
    for (const auto& one : fs::directory_iterator(shop + "/photos", none)) {
      CHECK(one.path().filename().string().front() != '.');
      CHECK(read_jpeg(baylore::test::bytes_of(one.path())));
      ++there;
    }
    // Flushing the folder may be what failed: then the file is there and is not counted on.
    CHECK(there >= taken.files.size());
    if (taken.files.size() < 2) CHECK_FALSE(taken.failures.empty());
  }
}

TEST_CASE("thirty pictures made to hurt cost a note each") {
  Scratch scratch;
  fs::create_directories(scratch.path("shop"));
  const std::string good = make_jpeg(640, 480, {{0xE1, exif_of(3)}});
  std::vector<std::string> paths;
  const auto add = [&](const std::string& bytes) {
    const std::string name = "stick/" + std::to_string(paths.size()) + ".jpg";
    scratch.put(name, bytes);
    paths.push_back(scratch.path(name));
  };
  // Cut short.
  for (std::size_t part = 1; part <= 12; ++part) add(good.substr(0, good.size() * part / 13));
  // Sizes that no memory holds, in a JPEG's frame header and in a PNG's.
  const std::size_t frame = good.find("\xFF\xC0");
  REQUIRE(frame != std::string::npos);
  for (const char* claim : {"\xFF\xFF\xFF\xFF", "\x20\x01\x01\x01", "\x1F\xFF\x1F\xFF"}) {
    std::string bad = good;
    bad.replace(frame + 5, 4, claim, 4);
    add(bad);
  }
  for (const unsigned side : {30000U, 100000U, 0x7FFFFFFFU}) {
    std::string png("\x89PNG\r\n\x1A\n\0\0\0\rIHDR", 16);
    for (int i = 0; i < 2; ++i) {
      for (const unsigned shift : {24U, 16U, 8U, 0U})
        png += static_cast<char>((side >> shift) & 0xFFU);
    }
    add(png + std::string("\x08\x06\0\0\0\0\0\0\0\0\0\0\0IEND\0\0\0\0", 21));
  }
  // Something else under a picture's name.
  for (const char* text :
       {"", "words", "GIF89a", "BM", "\x89PNG", "\xFF\xD8\xFF", "#!/bin/sh\nexit"})
    add(text);
  add(std::string(200'000, '\xFF'));
  add("\xFF\xD8" + std::string(100'000, '\0') + "\xFF\xD9");
  // Tables and scans that are not there.
  add(good.substr(0, frame + 6) + "\xFF\xD9");
  add(std::string("\xFF\xD8\xFF\xDA\0\x02\xFF\xD9", 8));
  add(good.substr(0, frame) + "\xFF\xD9");
  REQUIRE(paths.size() == 30);
  const viewer::PhotosTaken taken = take_in(files::real_disk(), scratch.path("shop"), paths);
  CHECK(taken.files.empty());
  CHECK(taken.failures.size() == 30);
  for (const files::Failure& failure : taken.failures) {
    CHECK(failure.what.starts_with("not shown: "));
    CHECK_FALSE(failure.remedy.empty());
  }
  CHECK_FALSE(fs::exists(scratch.path("shop/photos")));
  // And a good one among them is taken in all the same.
  scratch.put("stick/good.jpg", good);
  const viewer::PhotosTaken one = take_in(files::real_disk(), scratch.path("shop"),
                                          {paths[0], scratch.path("stick/good.jpg"), paths[1]});
  CHECK(one.files == std::vector<std::string>{"pump-1.jpg"});
  CHECK(one.failures.size() == 2);
}

TEST_CASE("a picture larger than the shop's may be is made smaller") {
  Scratch scratch;
  fs::create_directories(scratch.path("shop"));
  scratch.put("stick/large.jpg", make_jpeg(6400, 4000));
  const viewer::PhotosTaken taken =
      take_in(files::real_disk(), scratch.path("shop"), {scratch.path("stick/large.jpg")});
  REQUIRE(taken.files.size() == 1);
  const auto file = read_jpeg(scratch.get("shop/photos/" + taken.files[0]));
  REQUIRE(file);
  CHECK(file->width == 2048);
  CHECK(file->height == 1280);
  CHECK(near(file->at(1900, 100), kGreen));
}

TEST_CASE("a shop that is gone takes nothing in, and no second one is begun in its place") {
  Scratch scratch;
  scratch.put("stick/a.jpg", make_jpeg(320, 200));
  const viewer::PhotosTaken taken =
      take_in(files::real_disk(), scratch.path("shop"), {scratch.path("stick/a.jpg")});
  CHECK(taken.files.empty());
  REQUIRE(taken.failures.size() == 1);
  CHECK(taken.failures[0].kind == files::Failure::Kind::gone);
  CHECK_FALSE(fs::exists(scratch.path("shop")));
}

TEST_CASE("without a stick the screen says what to do") {
  Bay bay;
  fs::remove_all(bay.stick());
  Headless& panel = bay.start();
  bay.to_pictures();
  CHECK(panel.state().photos.shelf->found.empty());
  CHECK_FALSE(panel.state().photos.shelf->trouble.empty());
  // It is put in, and Look again finds it.
  bay.put("DCIM/100BAY/a.jpg", make_jpeg(320, 200));
  REQUIRE(panel.tap("strip:again"));
  REQUIRE(panel.until([&] { return panel.state().photos.shelf->found.size() == 1; }, 10));
}

TEST_CASE("a hundred small pictures stay within what they may take") {
  Bay bay;
  const std::string one = make_jpeg(1200, 900);
  for (int i = 0; i < 100; ++i) bay.put("DCIM/100BAY/" + std::to_string(1000 + i) + ".jpg", one);
  Headless& panel = bay.start();
  bay.to_pictures();
  auto& scroll = panel.ui().scroll_state("photos");
  std::size_t most = 0;
  while (true) {
    panel.settle();
    std::size_t bytes = 0;
    for (const auto& [key, view] : panel.state().pictures) {
      if (view.texture != nullptr)
        bytes += std::size_t{4} * static_cast<std::size_t>(view.width) *
                 static_cast<std::size_t>(view.height);
    }
    most = std::max(most, bytes);
    // Only what was in view was decoded.
    CHECK(panel.state().pictures.size() <= 200);
    if (scroll.offset >= scroll.most() - 0.1F) break;
    scroll.offset = std::min(scroll.most(), scroll.offset + scroll.view * 0.9F);
  }
  CHECK(most <= std::size_t{96} << 20U);
  CHECK(panel.textures() >= 100);
}

TEST_CASE("a tip's picture is seen as large as the panel, closer, moved, and the next one") {
  Bay bay;
  bay.at().put("photos/a.jpg", make_jpeg(1600, 1000));
  bay.at().put("photos/b.jpg", make_jpeg(1000, 1600));
  bay.at().put("tips/cooling/pump.md",
               "---\nid: pump\ntitle: Pump weeps\nsystem: cooling\n---\n\n## Symptom\nWet.\n\n## "
               "Location\n![From below](a.jpg)\n- mark 1: 0.25 0.25 weep hole\n![From the "
               "side](b.jpg)\n");
  Headless& panel = bay.start();
  REQUIRE(panel.ready());
  panel.app().apply({Do::open_tip, "pump"});
  REQUIRE(panel.until([&] { return panel.state().tip.has_value(); }, 10));
  panel.settle();
  REQUIRE(panel.tap("picture"));
  REQUIRE(panel.state().screen == Screen::photo);
  CHECK(panel.shows("From below"));
  CHECK(panel.shows("weep hole"));
  CHECK(panel.shows("Location"));
  CHECK(panel.shows("1 of 2"));
  const auto& pan = panel.state().photos.pan;
  for (int i = 0; i < 3; ++i) REQUIRE(panel.tap("photo:in"));
  CHECK(pan.zoom == doctest::Approx(1.6 * 1.6 * 1.6));
  const float middle = pan.x;
  panel.drag(60, 60, 40, 60);  // to the left: what is further right comes in
  CHECK(pan.x > middle);
  REQUIRE(panel.tap("photo:left"));
  REQUIRE(panel.tap("photo:left"));
  CHECK(pan.x < middle + 0.2F);
  REQUIRE(panel.tap("photo:fit"));
  CHECK(pan.zoom == 1);
  // The same from a keyboard beside the panel.
  panel.type("+");
  CHECK(pan.zoom > 1);
  panel.type("0");
  CHECK(pan.zoom == 1);
  REQUIRE(panel.tap("primary"));
  CHECK(panel.shows("2 of 2"));
  CHECK(panel.shows("From the side"));
  REQUIRE(panel.tap("strip:previous"));
  CHECK(panel.shows("1 of 2"));
  REQUIRE(panel.tap("strip:back"));
  CHECK(panel.state().screen == Screen::tip);
}

TEST_CASE("a decoder that crashes costs a note where the picture would be, and nothing else") {
  Bay bay;
  bay.at().put("photos/a.jpg", make_jpeg(160, 100));
  bay.at().put("tips/cooling/pump.md",
               "---\nid: pump\ntitle: Pump weeps\nsystem: cooling\n---\n\n## Symptom\nWet.\n\n## "
               "Location\n![From below](a.jpg)\n");
  bay.at().scratch().put("decoder", "#!/bin/sh\nkill -SEGV $$\n");
  const std::string program = bay.at().scratch().path("decoder");
  fs::permissions(program, fs::perms::owner_all);
  Headless& panel = bay.start(program);
  REQUIRE(panel.ready());
  panel.app().apply({Do::open_tip, "pump"});
  REQUIRE(panel.until([&] { return panel.state().tip.has_value(); }, 10));
  panel.settle();
  CHECK(panel.shows("Pump weeps"));
  REQUIRE(panel.tap("picture"));
  REQUIRE(panel.state().screen == Screen::photo);
  CHECK(panel.until([&] { return panel.shows("a.jpg: not shown: the picture is damaged"); }, 10));
  CHECK(panel.shows("From below"));
  REQUIRE(panel.tap("strip:back"));
  CHECK(panel.state().screen == Screen::tip);
}

TEST_CASE("marks pulse once and are still then, and not at all where motion is off") {
  Bay bay;
  bay.at().put("photos/a.jpg", make_jpeg(1600, 1000));
  bay.at().put("tips/cooling/pump.md",
               "---\nid: pump\ntitle: Pump weeps\nsystem: cooling\n---\n\n## Symptom\nWet.\n\n## "
               "Location\n![From below](a.jpg)\n- mark 1: 0.25 0.25 weep hole\n");
  for (const bool motion : {true, false}) {
    CAPTURE(motion);
    Headless& panel = bay.start();
    REQUIRE(panel.ready());
    panel.state().terminal.motion = motion;
    panel.app().apply({Do::open_tip, "pump"});
    REQUIRE(panel.until([&] { return panel.state().tip.has_value(); }, 10));
    panel.settle();
    CHECK_FALSE(panel.app().restless());
    panel.app().apply({Do::open_photo, {}, 0});
    panel.frames(2);
    CHECK(panel.app().restless() == motion);
    panel.settle();  // comes to rest
    panel.pass(3);
    CHECK_FALSE(panel.app().restless());
  }
}
