#include "files/save.h"

#include <algorithm>
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

// A name beside `path` that a person will find: shop.h takes it for that of a copy to be merged.
std::string beside(const std::string& path) {
  const std::string name = name_of(path);
  const std::size_t dot = std::min(name.rfind('.'), name.size());
  return join(folder_of(path), name.substr(0, dot) + ".conflict-" + new_id() + name.substr(dot));
}

// Puts `temporary` where nothing is: at `path`, or beside it when somebody was faster.
Result<void> give_back(Disk& disk, const std::string& temporary, const std::string& path) {
  auto given = disk.link(temporary, path);
  if (!given && given.failure().kind == Failure::Kind::exists)
    given = disk.link(temporary, beside(path));
  if (!given) return given;
  auto removed = disk.remove(temporary);
  if (!removed && removed.failure().kind != Failure::Kind::missing) return removed;
  return disk.sync_folder(folder_of(path));
}

// `temporary` holds the new bytes and is put in the place of `path`. Ok with `false` when something
// else than `before` was met there, which is there again then. The new bytes themselves may be
// there after a try that could not tell how far it came, and perhaps not flushed.
Result<bool> swap_same(Disk& disk, const std::string& temporary, const std::string& path,
                       std::string_view before, std::string_view bytes) {
  const auto now = disk.read(path, kTextLimit);
  if (!now || (*now != before && *now != bytes)) {
    static_cast<void>(disk.remove(temporary));
    if (now || now.failure().kind == Failure::Kind::too_large) return false;
    return now.failure();
  }
  auto placed = disk.exchange(temporary, path);
  if (!placed && placed.failure().kind == Failure::Kind::other) {
    // A disk that cannot swap names.
    placed = disk.rename(temporary, path);
    if (placed) return true;
  }
  if (!placed) {
    static_cast<void>(disk.remove(temporary));
    return placed.failure();
  }
  // What came out is what the new bytes take the place of.
  const auto out = disk.read(temporary, kTextLimit);
  if (out && (*out == before || *out == bytes)) {
    if (auto removed = disk.remove(temporary); !removed) return removed.failure();
    return true;
  }
  // Somebody saved between the look and the swap. When it cannot be given back it stays where it
  // is: better a file too many than one too few.
  if (auto back = disk.exchange(temporary, path); !back) return back.failure();
  const auto ours = disk.read(temporary, kTextLimit);
  if (!ours) return ours.failure();
  if (*ours == bytes) {
    if (auto removed = disk.remove(temporary); !removed) return removed.failure();
  } else if (auto kept = give_back(disk, temporary, beside(path)); !kept) {
    return kept.failure();  // a third one had saved upon ours
  }
  if (!out) return out.failure();
  return false;
}

}  // namespace

Result<void> replace(Disk& disk, const std::string& path, std::string_view bytes) {
  return by_temporary(disk, path, bytes,
                      [&](const std::string& temporary) { return disk.rename(temporary, path); });
}

Result<bool> replace_same(Disk& disk, const std::string& path, std::string_view before,
                          std::string_view bytes) {
  const auto named = [&](Failure failure) {
    failure.path = path;
    return failure;
  };
  const std::string folder = folder_of(path);
  const std::string temporary = join(folder, ".new-" + new_id());
  if (auto written = write_new(disk, temporary, bytes, For::everyone); !written) {
    static_cast<void>(disk.remove(temporary));
    return named(written.failure());
  }
  auto done = swap_same(disk, temporary, path, before, bytes);
  if (!done) return named(done.failure());
  if (!*done) return done;
  if (auto synced = disk.sync_folder(folder); !synced) return synced.failure();
  return done;
}

Result<bool> remove_same(Disk& disk, const std::string& path, std::string_view bytes) {
  const std::string folder = folder_of(path);
  const auto now = disk.read(path, kTextLimit);
  if (!now) return now.failure();
  if (*now != bytes) return false;
  // Whoever saves from here on writes a new file; what was saved before is met.
  const std::string temporary = join(folder, ".new-" + new_id());
  if (auto moved = disk.rename(path, temporary); !moved) return moved.failure();
  const auto out = disk.read(temporary, kTextLimit);
  if (out && *out == bytes) {
    if (auto removed = disk.remove(temporary); !removed) return removed.failure();
    if (auto synced = disk.sync_folder(folder); !synced) return synced.failure();
    return true;
  }
  if (auto given = give_back(disk, temporary, path); !given) return given.failure();
  if (!out) return out.failure();
  return false;
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
