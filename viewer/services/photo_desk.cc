#include "viewer/services/photo_desk.h"

#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <ctime>
#include <mutex>
#include <optional>
#include <tuple>
#include <utility>

#include "files/names.h"
#include "files/save.h"
#include "viewer/services/sticks.h"
#include "viewer/services/worker.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

using files::Failure;

constexpr auto kThumbLimit = std::chrono::seconds(20);
constexpr auto kTakeLimit = std::chrono::seconds(60);
constexpr std::size_t kFoldersLooked = 300;  // of one place
constexpr int kMostOfOneName = 10000;

std::string lower(std::string_view text) {
  std::string out(text);
  std::transform(out.begin(), out.end(), out.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
  return out;
}

bool called_picture(std::string_view path) {
  const std::string name = lower(path);
  return name.ends_with(".jpg") || name.ends_with(".jpeg") || name.ends_with(".png");
}

std::string when_words(std::int64_t ns) {
  const std::time_t seconds = static_cast<std::time_t>(ns / 1'000'000'000);
  std::tm local{};
  localtime_r(&seconds, &local);
  static constexpr std::array<const char*, 12> kMonths{
      marked("Jan"), marked("Feb"), marked("Mar"), marked("Apr"), marked("May"), marked("Jun"),
      marked("Jul"), marked("Aug"), marked("Sep"), marked("Oct"), marked("Nov"), marked("Dec")};
  std::array<char, 16> clock{};
  std::strftime(clock.data(), clock.size(), "%H:%M", &local);
  return std::to_string(local.tm_mday) + " " + tr(kMonths[static_cast<std::size_t>(local.tm_mon)]) +
         " " + clock.data();
}

// A picture on the way to the shelf.
struct Seen {
  bool camera = false;  // below DCIM (JEITA CP-3461, from memory: where cameras put pictures)
  std::int64_t modified = 0;
  FoundPhoto photo;
};

}  // namespace

struct PhotoDesk::Inside {
  explicit Inside(PhotoDeskOptions o) : options(std::move(o)), disk(*options.disk) {}

  [[nodiscard]] std::vector<PhotoPlace> places() const {
    std::vector<PhotoPlace> found;
    for (const std::string& folder : options.places)
      found.push_back({folder, files::name_of(folder)});
    if (!options.mounts.empty()) {
      if (const auto mounts = disk.read(options.mounts, files::kTextLimit)) {
        for (const Mount& mount : mounted_folders(*mounts))
          found.push_back({mount.folder, files::name_of(mount.folder)});
      }
    }
    return found;
  }

  // The place itself, the folders in it, and those in its DCIM; deeper is not looked, a stick may
  // hold anything.
  void look(const std::string& wanted) {
    auto shelf = std::make_shared<PhotoShelf>();
    shelf->places = places();
    const auto known = std::find_if(shelf->places.begin(), shelf->places.end(),
                                    [&](const PhotoPlace& one) { return one.folder == wanted; });
    if (known != shelf->places.end()) {
      shelf->place = wanted;
    } else if (!shelf->places.empty()) {
      shelf->place = shelf->places.front().folder;
    }
    std::vector<Seen> all;
    std::vector<std::pair<std::string, int>> folders;  // and how deep they may be looked into
    if (!shelf->place.empty()) folders.emplace_back(shelf->place, 1);
    for (std::size_t i = 0; i < folders.size() && i < kFoldersLooked; ++i) {
      const auto [folder, deeper] = folders[i];
      const auto listed = disk.list_here(folder);
      if (!listed) {
        if (i == 0) shelf->trouble = listed.failure().text();
        continue;
      }
      const bool camera =
          lower(folder.substr(shelf->place.size()) + "/").find("/dcim/") != std::string::npos;
      for (const files::Listed& one : *listed) {
        const std::string path = files::join(folder, one.path);
        if (one.status.folder) {
          if (deeper > 0) folders.emplace_back(path, lower(one.path) == "dcim" ? 1 : deeper - 1);
        } else if (called_picture(one.path) && !one.status.link) {
          all.push_back({camera,
                         one.status.modified_ns,
                         {path, when_words(one.status.modified_ns), one.status.size}});
        }
      }
    }
    std::sort(all.begin(), all.end(), [](const Seen& a, const Seen& b) {
      return std::tie(b.camera, b.modified, b.photo.path) <
             std::tie(a.camera, a.modified, a.photo.path);
    });
    shelf->more = all.size() > kPhotosListed;
    if (shelf->more) all.resize(kPhotosListed);
    for (Seen& one : all) shelf->found.push_back(std::move(one.photo));
    options.emit(PhotosSeen{std::move(shelf)});
  }

  void thumb(const std::string& key, const std::string& path, int side) {
    {
      const std::lock_guard lock(mutex);
      if (!keys.contains(key)) {
        options.emit(ThumbMade{key, std::nullopt, {}, true});
        return;
      }
    }
    auto made =
        photo::decode_picture(options.photo_program, path, side, kThumbLimit, photo::From::camera);
    if (made) {
      options.emit(ThumbMade{key, std::move(*made), {}, false});
    } else {
      options.emit(ThumbMade{key, std::nullopt, made.failure().what, false});
    }
  }

  // --- taking in

  [[nodiscard]] bool there(const std::string& folder) const {
    const auto status = disk.status(folder);
    return status && status->folder;
  }

  // The file's name in photos/; the first number that is free.
  files::Result<std::string> write(const std::string& stem, std::string_view bytes) {
    if (!there(options.shop)) {
      return Failure{Failure::Kind::gone, options.shop, tr("the shop folder is not there"),
                     tr("look at the network or the stick")};
    }
    const std::string folder = files::join(options.shop, "photos");
    for (int number = 1; number <= kMostOfOneName; ++number) {
      const std::string name = stem + "-" + std::to_string(number) + ".jpg";
      const auto written = files::write_once(disk, files::join(folder, name), bytes);
      if (!written) return written.failure();
      if (*written) return name;
    }
    return Failure{Failure::Kind::exists, folder, tr("has too many pictures of this name"),
                   tr("change the tip's title first")};
  }

  void take_in(const std::string& draft, const std::vector<std::string>& paths,
               const std::string& stem) {
    PhotosTaken taken;
    taken.draft = draft;
    taken.asked = paths.size();
    std::vector<std::uint64_t> sizes;
    std::uint64_t all = 0;
    for (const std::string& path : paths) {
      const auto status = disk.status(path);
      sizes.push_back(status ? std::max<std::uint64_t>(1, status->size) : 1);
      all += sizes.back();
    }
    std::uint64_t done = 0;
    for (std::size_t i = 0; i < paths.size() && !given_up; ++i) {
      options.emit(PhotosWorking{i, paths.size(), done, all});
      if (!take_one(paths[i], stem, taken)) break;
      done += sizes[i];
    }
    if (given_up) {
      remove(taken.files);
      taken.files.clear();
      taken.failures.clear();
      taken.stopped = true;
    }
    options.emit(std::move(taken));
  }

  // False when the rest need not be tried.
  bool take_one(const std::string& path, const std::string& stem, PhotosTaken& taken) {
    auto made = photo::make_smaller(options.photo_program, path, kTakenSide, kTakeLimit, &given_up);
    if (!made) {
      if (there(files::folder_of(path))) {
        taken.failures.push_back(made.failure());
        return true;
      }
      taken.failures.push_back({Failure::Kind::gone, path,
                                tr("the stick or folder is not there any more"),
                                tr("put it in again and take in the rest")});
      return false;
    }
    auto name = write(stem, made->jpeg);
    if (!name) {
      taken.failures.push_back(name.failure());
      return false;
    }
    taken.files.push_back(std::move(*name));
    return true;
  }

  void remove(const std::vector<std::string>& names) {
    if (names.empty()) return;
    const std::string folder = files::join(options.shop, "photos");
    for (const std::string& name : names) static_cast<void>(disk.remove(files::join(folder, name)));
    static_cast<void>(disk.sync_folder(folder));
  }

  PhotoDeskOptions options;
  files::Disk& disk;
  std::atomic<bool> given_up{false};
  std::mutex mutex;
  std::set<std::string> keys;  // in view
  Worker worker;
  Worker painter;
};

PhotoDesk::PhotoDesk(PhotoDeskOptions options)
    : inside_(std::make_unique<Inside>(std::move(options))) {}

PhotoDesk::~PhotoDesk() {
  inside_->given_up = true;
  inside_->painter.clear();
  inside_->worker.end();
  inside_->painter.end();
}

void PhotoDesk::look(std::string place) {
  inside_->worker.post([in = inside_.get(), place = std::move(place)] { in->look(place); }, "look");
}

void PhotoDesk::add_place(std::string folder) {
  inside_->worker.post([in = inside_.get(), folder = std::move(folder)] {
    in->options.places.insert(in->options.places.begin(), folder);
  });
}

void PhotoDesk::thumb(std::string key, std::string path, int side) {
  inside_->painter.post([in = inside_.get(), key = std::move(key), path = std::move(path), side] {
    in->thumb(key, path, side);
  });
}

void PhotoDesk::in_view(std::set<std::string> keys) {
  const std::lock_guard lock(inside_->mutex);
  inside_->keys = std::move(keys);
}

void PhotoDesk::take_in(std::string draft, std::vector<std::string> paths, std::string stem) {
  inside_->given_up = false;
  inside_->worker.post([in = inside_.get(), draft = std::move(draft), paths = std::move(paths),
                        stem = std::move(stem)] { in->take_in(draft, paths, stem); });
}

void PhotoDesk::forget(std::vector<std::string> files) {
  inside_->worker.post([in = inside_.get(), files = std::move(files)] { in->remove(files); });
}

void PhotoDesk::stop() { inside_->given_up = true; }

bool PhotoDesk::quiet() const { return inside_->worker.quiet() && inside_->painter.quiet(); }

}  // namespace baylore::viewer
