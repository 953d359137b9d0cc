#include "shop/sync_files.h"

#include <set>
#include <utility>

#include "files/names.h"
#include "files/save.h"
#include "shop/scan.h"

namespace baylore::shop {
namespace {

// Jobs are written at every tap, and the marks in them and their keys know cars again: they are one
// shop's business. Repair-order numbers are in records/.
constexpr std::string_view kGitIgnore =
    "# Half-written files, and copies that a file sync is working on.\n"
    ".new-*\n"
    ".syncthing.*\n"
    ".stfolder\n"
    ".stversions\n"
    "# The bays' open jobs and the keys that know a car again: they stay in this shop.\n"
    "/jobs/\n"
    "/keys/cars/\n"
    "# Records hold repair-order numbers. Put /records/ here too where other firms see the "
    "repository.\n";

// `-text`: no line ending is changed on the way, because names in history/ are hashes of bytes.
// What is written once has no versions to merge.
constexpr std::string_view kGitAttributes =
    "# Bytes stay as they are; texts and records are merged by the driver `baylore merge`.\n"
    "* -text\n"
    "*.md merge=baylore\n"
    "/records/**/*.csv merge=baylore\n"
    "/history/** -merge -diff\n"
    "/received/** -merge -diff\n";

constexpr std::string_view kSyncthingIgnore =
    "// Half-written files, and what git keeps.\n"
    "(?d).new-*\n"
    ".git\n";

}  // namespace

const std::vector<SyncFile>& sync_files() {
  static const std::vector<SyncFile> kFiles = {{".gitattributes", kGitAttributes},
                                               {".gitignore", kGitIgnore},
                                               {".stignore", kSyncthingIgnore}};
  return kFiles;
}

files::Result<std::vector<std::string>> write_sync_files(files::Disk& disk,
                                                         const std::string& shop_folder) {
  std::vector<std::string> written;
  for (const SyncFile& file : sync_files()) {
    const std::string path = files::join(shop_folder, file.name);
    const auto held = disk.read(path, files::kTextLimit);
    if (!held && held.failure().kind != files::Failure::Kind::missing) return held.failure();
    std::string text = held ? *held : std::string();
    const std::size_t before = text.size();
    std::set<std::string> known;
    const scan::Lines there(text);
    for (int line = 1; line <= there.count(); ++line) known.emplace(there.text(line));
    if (!text.empty() && text.back() != '\n') text += '\n';
    const scan::Lines wanted(file.lines);
    std::string more;
    for (int line = 1; line <= wanted.count(); ++line) {
      const std::string_view one = wanted.text(line);
      if (!one.empty() && known.count(std::string(one)) == 0) more += std::string(one) + "\n";
    }
    if (more.empty()) continue;
    text += more;
    // A file that nobody had is written only if it still is not there.
    if (before == 0 && !held) {
      const auto done = files::write_once(disk, path, text);
      if (!done) return done.failure();
      if (!*done) continue;
    } else if (auto done = files::replace(disk, path, text); !done) {
      return done.failure();
    }
    written.emplace_back(file.name);
  }
  return written;
}

}  // namespace baylore::shop
