#include "files/save.h"

#include <functional>
#include <vector>

#include "files/names.h"

namespace baylore::files {
namespace {

enum class For { everyone, owner };

// Writes a file that must not be there yet, whole and flushed.
Result<void> write_new(Disk& disk, const std::string& path, std::string_view bytes, For whom) {
  auto file = whom == For::owner ? disk.create_private(path) : disk.create(path);
  if (!file) return file.failure();
  Output& output = **file;
  if (auto done = output.write(bytes); !done) {
    static_cast<void>(output.close());
    return done;
  }
  if (auto done = output.sync(); !done) {
    static_cast<void>(output.close());
    return done;
  }
  return output.close();
}

// Writes a temporary file beside `path` and lets `place` put it there. Whatever fails, the
// temporary file goes again. A failure names the file that was meant, not the temporary one.
Result<void> by_temporary(Disk& disk, const std::string& path, std::string_view bytes,
                          const std::function<Result<void>(const std::string&)>& place,
                          For whom = For::everyone) {
  const std::string folder = folder_of(path);
  if (auto made = make_folders(disk, folder); !made) return made;
  const std::string temporary = join(folder, ".new-" + new_id());
  auto done = write_new(disk, temporary, bytes, whom);
  if (done) done = place(temporary);
  if (!done) {
    static_cast<void>(disk.remove(temporary));
    Failure failure = done.failure();
    failure.path = path;
    return failure;
  }
  return disk.sync_folder(folder);
}

Result<bool> write_once_for(Disk& disk, const std::string& path, std::string_view bytes, For whom) {
  const auto there = disk.status(path);
  if (there) {
    // Whoever put it there may have been stopped before its name was flushed.
    if (auto synced = disk.sync_folder(folder_of(path)); !synced) return synced.failure();
    return false;
  }
  if (there.failure().kind != Failure::Kind::missing) return there.failure();
  const auto done = by_temporary(
      disk, path, bytes,
      [&](const std::string& temporary) -> Result<void> {
        if (auto linked = disk.link(temporary, path); !linked) return linked;
        // The second name is enough. Where the disk has no second names the first one is gone
        // already.
        auto removed = disk.remove(temporary);
        if (!removed && removed.failure().kind != Failure::Kind::missing) return removed;
        return {};
      },
      whom);
  if (done) return true;
  if (done.failure().kind == Failure::Kind::exists) {  // another terminal was faster
    if (auto synced = disk.sync_folder(folder_of(path)); !synced) return synced.failure();
    return false;
  }
  return done.failure();
}

}  // namespace

Result<void> replace(Disk& disk, const std::string& path, std::string_view bytes) {
  return by_temporary(disk, path, bytes,
                      [&](const std::string& temporary) { return disk.rename(temporary, path); });
}

Result<bool> replace_same(Disk& disk, const std::string& path, std::string_view before,
                          std::string_view bytes) {
  // `bytes` is there already after a try that could not tell how far it came: it is written again.
  const auto holds = [&]() -> Result<bool> {
    const auto now = disk.read(path, kTextLimit);
    if (!now) return now.failure();
    return *now == before || *now == bytes;
  };
  // Looked at before as well: no folder is made for a file that is gone, and nothing written in
  // vain.
  auto same = holds();
  if (!same || !*same) return same;
  if (before == bytes) {
    if (auto synced = disk.sync_folder(folder_of(path)); !synced) return synced.failure();
    return true;
  }
  const auto done =
      by_temporary(disk, path, bytes, [&](const std::string& temporary) -> Result<void> {
        same = holds();
        if (!same) return same.failure();
        return *same ? disk.rename(temporary, path) : disk.remove(temporary);
      });
  if (!done) return done.failure();
  return same;
}

Result<bool> write_once(Disk& disk, const std::string& path, std::string_view bytes) {
  return write_once_for(disk, path, bytes, For::everyone);
}

Result<bool> write_once_private(Disk& disk, const std::string& path, std::string_view bytes) {
  return write_once_for(disk, path, bytes, For::owner);
}

Result<void> append_line(Disk& disk, const std::string& path, std::string_view line) {
  if (line.find('\n') != std::string_view::npos) {
    return Failure{Failure::Kind::other, path, "a line with a line break in it cannot be appended",
                   "take it out"};
  }
  const std::string folder = folder_of(path);
  if (auto made = make_folders(disk, folder); !made) return made;
  const auto end = disk.read_end(path, 1);
  if (!end && end.failure().kind != Failure::Kind::missing) return end.failure();
  auto file = disk.append(path);
  if (!file) return file.failure();
  const bool torn = end && !end->empty() && end->back() != '\n';
  std::string whole = torn ? "\n" : "";
  whole += line;
  whole += '\n';
  Output& output = **file;
  auto done = output.write(whole);
  if (done) done = output.sync();
  auto closed = output.close();
  if (!done) return done;
  if (!closed) return closed;
  // Of an old file too: whoever made it may have been stopped before its name was flushed.
  return disk.sync_folder(folder);
}

Result<void> make_folders(Disk& disk, const std::string& folder) {
  std::vector<std::string> missing;
  std::string at = folder;
  while (!at.empty()) {
    const auto there = disk.status(at);
    if (there) {
      if (there->folder) break;
      return Failure{Failure::Kind::exists, at, "is there, but is no folder", "move it away"};
    }
    if (there.failure().kind != Failure::Kind::missing) return there.failure();
    missing.push_back(at);
    std::string above = folder_of(at);
    if (above == at) break;
    at = std::move(above);
  }
  for (auto one = missing.rbegin(); one != missing.rend(); ++one) {
    if (auto made = disk.make_folder(*one); !made) return made;
    if (auto synced = disk.sync_folder(folder_of(*one)); !synced) {
      // Left there, the next try would take its name for flushed.
      static_cast<void>(disk.remove(*one));
      return synced;
    }
  }
  return {};
}

}  // namespace baylore::files
