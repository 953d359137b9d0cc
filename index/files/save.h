// The ways a file is written. Each is durable when it returns ok: a power cut after that loses
// nothing, one before it leaves the old state or the new, never half.
#pragma once

#include <string>
#include <string_view>

#include "files/disk.h"

namespace baylore::files {

// Writes a new temporary file beside `path`, flushes it, renames it over `path`, flushes the
// folder. Missing folders above it are made (and flushed). On failure the temporary file is removed
// and `path` is as it was.
Result<void> replace(Disk& disk, const std::string& path, std::string_view bytes);

// Replaces `path` as replace() does while it holds `before`; ok with `false`, and nothing changed,
// when it holds something else. When it holds `bytes` already, after a try that could not tell how
// far it came, that is flushed. Where the disk can swap names, whatever somebody else puts there
// meanwhile is met and given back, so that of two who save at once the second is told; elsewhere
// the moment of two calls is left in which the second takes the first one's place. `missing` when
// there is no such file.
Result<bool> replace_same(Disk& disk, const std::string& path, std::string_view before,
                          std::string_view bytes);

// Removes `path` while it holds `bytes`; ok with `false` when it holds something else, which stays.
// What somebody else puts there meanwhile is met and given back.
Result<bool> remove_same(Disk& disk, const std::string& path, std::string_view bytes);

// Writes `path` only if there is none yet; ok with `false` when there is one, which is durable then
// as well. For history and received files.
Result<bool> write_once(Disk& disk, const std::string& path, std::string_view bytes);

// The same for a secret: only the owner may read it.
Result<bool> write_once_private(Disk& disk, const std::string& path, std::string_view bytes);

// Appends `line` (without its newline, which is added) and flushes. When the file's last line was
// torn, that is has no newline, the new line starts on a fresh one, so a torn line never swallows a
// whole one. Only one writer per file: a terminal's own.
Result<void> append_line(Disk& disk, const std::string& path, std::string_view line);

// Makes `folder` and all that are missing above it, each flushed into its parent; one that cannot
// be flushed is taken away again.
Result<void> make_folders(Disk& disk, const std::string& folder);

}  // namespace baylore::files
