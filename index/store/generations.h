// The folder of a store: the pointer, the generations, the mark of damage and the builder's lock.
// See FORMAT.md.
#pragma once

#include <atomic>
#include <string>
#include <string_view>

#include "files/disk.h"
#include "files/result.h"
#include "store/sql.h"
#include "store/store.h"

namespace baylore::store {

// What the pointer file says: the current generation and the one before it, which readers may still
// be opening.
struct Pointer {
  std::string current;
  std::string previous;  // empty: none
};

// `missing` when there is no pointer, `damaged` when it is not one.
files::Result<Pointer> read_pointer(files::Disk& disk, const Location& location);
files::Result<void> publish(files::Disk& disk, const Location& location, const Pointer& pointer);

// A generation's name, never used before.
std::string new_generation();
std::string generation_path(const Location& location, std::string_view name);
// The name of a main part of the postings for that generation, never used before.
std::string new_words_file(std::string_view generation);

// A reader that met damage says so here; the next update rebuilds and takes the mark away. Best
// effort: what cannot be marked is met again.
void mark_damaged(files::Disk& disk, const Location& location, std::string_view generation);
bool is_marked_damaged(files::Disk& disk, const Location& location, std::string_view generation);

// Removes what no reader needs: generations other than the pointer's two, their WAL files and
// postings, postings of the current generation other than `words`, marks of damage. Only for the
// holder of the lock: a generation that another process is building looks the same.
void sweep(files::Disk& disk, const Location& location, const Pointer& pointer,
           std::string_view words);

// Opens the pointer's generation and checks that it is this shop's, of this version and under its
// own name. `missing`, `damaged` (with the reason in `what`) and `denied` call for a rebuild;
// `other` is for trying again.
struct Opened {
  Database database;
  std::string generation;
  std::int64_t number = 0;
};
files::Result<Opened> open_current(files::Disk& disk, const Location& location, Mode mode);

// Reads one number or text of `meta`; absent reads as 0 and empty.
std::int64_t meta_number(const Database& database, std::string_view key, int* code);
std::string meta_text(const Database& database, std::string_view key, int* code);

// Keeps two builders from doing the same work twice. A lock of the operating system, so it ends
// with the process; the store is right without it too, which is why waiting has an end.
class BuildLock {
 public:
  // Waits until the lock is free, `stop` is set, or the holder took unreasonably long.
  BuildLock(const Location& location, const std::atomic<bool>* stop);
  ~BuildLock();
  BuildLock(const BuildLock&) = delete;
  BuildLock& operator=(const BuildLock&) = delete;
  [[nodiscard]] bool held() const { return held_; }

 private:
  int file_ = -1;
  bool held_ = false;
};

// Whether the folder lies on a network file system, where neither WAL nor locks can be relied on.
bool on_network(const std::string& folder);

}  // namespace baylore::store
