// A layer between SQLite and its file that gives every page a checksum. SQLite itself notices
// damage of its structure only: a flipped bit inside a text would be served as an answer. With
// this, any page that is not as it was written fails the read that meets it, so a store is either
// right or rebuilt. (SQLite's source tree has an extension of the same idea, cksumvfs; Debian's
// library leaves it out.)
#pragma once

namespace baylore::store {

// Bytes kept free at the end of each page, for SQLITE_FCNTL_RESERVE_BYTES.
inline constexpr int kPageChecksumBytes = 8;
inline constexpr int kPageSize = 4096;

// The name of the VFS, registered on the first call. Thread-safe. Covers the main database file:
// pages get their checksum when they are written there, and a page that does not match fails with
// SQLITE_IOERR_DATA. The WAL has SQLite's own checksums. A connection that may write accepts pages
// of zeros: SQLite leaves such holes for free pages, and readers never read those.
const char* checked_vfs();

}  // namespace baylore::store
