#include "store/checked_vfs.h"

#include <sqlite3.h>

#include <algorithm>
#include <cstdint>
#include <cstring>
#include <new>

#include "store/checksum.h"

namespace baylore::store {
namespace {

constexpr char kName[] = "baylore-checked";
constexpr std::size_t kContent = kPageSize - kPageChecksumBytes;

// What SQLite allocates for an open file: ours first, the file of the layer below right behind it.
// SQLite aligns it to 8 bytes, no more.
struct CheckedFile {
  sqlite3_file base;
  bool writable;
};

sqlite3_file* below(sqlite3_file* file) {
  return reinterpret_cast<sqlite3_file*>(reinterpret_cast<CheckedFile*>(file) + 1);
}

sqlite3_vfs* below(sqlite3_vfs* vfs) { return static_cast<sqlite3_vfs*>(vfs->pAppData); }

std::uint64_t page_sum(const unsigned char* page, sqlite3_int64 offset) {
  return checksum(page, kContent, static_cast<std::uint64_t>(offset / kPageSize + 1));
}

bool is_page(int amount, sqlite3_int64 offset) {
  return amount == kPageSize && offset % kPageSize == 0;
}

int close_file(sqlite3_file* file) { return below(file)->pMethods->xClose(below(file)); }

int read_file(sqlite3_file* file, void* into, int amount, sqlite3_int64 offset) {
  const int code = below(file)->pMethods->xRead(below(file), into, amount, offset);
  // A page that the file's end cuts is filled up with zeros, and SQLite goes on with that.
  if ((code != SQLITE_OK && code != SQLITE_IOERR_SHORT_READ) || !is_page(amount, offset)) {
    return code;
  }
  const auto* page = static_cast<const unsigned char*>(into);
  std::uint64_t stored = 0;
  std::memcpy(&stored, page + kContent, sizeof stored);
  if (code == SQLITE_OK && stored == page_sum(page, offset)) return SQLITE_OK;
  const bool hole =
      std::all_of(page, page + kPageSize, [](unsigned char byte) { return byte == 0; });
  if (hole && reinterpret_cast<CheckedFile*>(file)->writable) return code;
  return SQLITE_IOERR_DATA;
}

int write_file(sqlite3_file* file, const void* from, int amount, sqlite3_int64 offset) {
  if (!is_page(amount, offset)) {
    return below(file)->pMethods->xWrite(below(file), from, amount, offset);
  }
  alignas(8) unsigned char page[kPageSize];
  std::memcpy(page, from, kContent);
  const std::uint64_t sum = page_sum(page, offset);
  std::memcpy(page + kContent, &sum, sizeof sum);
  return below(file)->pMethods->xWrite(below(file), page, amount, offset);
}

int truncate(sqlite3_file* file, sqlite3_int64 size) {
  return below(file)->pMethods->xTruncate(below(file), size);
}
int sync(sqlite3_file* file, int flags) { return below(file)->pMethods->xSync(below(file), flags); }
int file_size(sqlite3_file* file, sqlite3_int64* size) {
  return below(file)->pMethods->xFileSize(below(file), size);
}
int lock(sqlite3_file* file, int level) { return below(file)->pMethods->xLock(below(file), level); }
int unlock(sqlite3_file* file, int level) {
  return below(file)->pMethods->xUnlock(below(file), level);
}
int check_reserved(sqlite3_file* file, int* result) {
  return below(file)->pMethods->xCheckReservedLock(below(file), result);
}
int file_control(sqlite3_file* file, int operation, void* argument) {
  return below(file)->pMethods->xFileControl(below(file), operation, argument);
}
int sector_size(sqlite3_file* file) { return below(file)->pMethods->xSectorSize(below(file)); }
int characteristics(sqlite3_file* file) {
  return below(file)->pMethods->xDeviceCharacteristics(below(file));
}
int shm_map(sqlite3_file* file, int page, int size, int extend, void volatile** memory) {
  return below(file)->pMethods->xShmMap(below(file), page, size, extend, memory);
}
int shm_lock(sqlite3_file* file, int offset, int count, int flags) {
  return below(file)->pMethods->xShmLock(below(file), offset, count, flags);
}
void shm_barrier(sqlite3_file* file) { below(file)->pMethods->xShmBarrier(below(file)); }
int shm_unmap(sqlite3_file* file, int remove) {
  return below(file)->pMethods->xShmUnmap(below(file), remove);
}

// Version 2: with shared memory for WAL, without memory mapping, which would go round the check.
constexpr sqlite3_io_methods kMethods = {2,
                                         close_file,
                                         read_file,
                                         write_file,
                                         truncate,
                                         sync,
                                         file_size,
                                         lock,
                                         unlock,
                                         check_reserved,
                                         file_control,
                                         sector_size,
                                         characteristics,
                                         shm_map,
                                         shm_lock,
                                         shm_barrier,
                                         shm_unmap,
                                         nullptr,
                                         nullptr};

int open_file(sqlite3_vfs* vfs, const char* name, sqlite3_file* file, int flags, int* out_flags) {
  // Journals, WAL and temporary files go straight through.
  if ((flags & SQLITE_OPEN_MAIN_DB) == 0) {
    return below(vfs)->xOpen(below(vfs), name, file, flags, out_flags);
  }
  auto* ours = new (file) CheckedFile{};
  int granted = 0;
  const int code = below(vfs)->xOpen(below(vfs), name, below(file), flags, &granted);
  if (out_flags != nullptr) *out_flags = granted;
  if (code != SQLITE_OK) return code;  // pMethods stays null: SQLite does not close it
  if (below(file)->pMethods->iVersion < 2) {
    below(file)->pMethods->xClose(below(file));
    return SQLITE_CANTOPEN;
  }
  ours->writable = (granted & SQLITE_OPEN_READWRITE) != 0;
  ours->base.pMethods = &kMethods;
  return SQLITE_OK;
}

int remove_file(sqlite3_vfs* vfs, const char* name, int sync_folder) {
  return below(vfs)->xDelete(below(vfs), name, sync_folder);
}
int access_file(sqlite3_vfs* vfs, const char* name, int flags, int* result) {
  return below(vfs)->xAccess(below(vfs), name, flags, result);
}
int full_path(sqlite3_vfs* vfs, const char* name, int size, char* out) {
  return below(vfs)->xFullPathname(below(vfs), name, size, out);
}
void* library_open(sqlite3_vfs* vfs, const char* name) {
  return below(vfs)->xDlOpen(below(vfs), name);
}
void library_error(sqlite3_vfs* vfs, int size, char* message) {
  below(vfs)->xDlError(below(vfs), size, message);
}
using Symbol = void (*)();
Symbol library_symbol(sqlite3_vfs* vfs, void* library, const char* name) {
  return below(vfs)->xDlSym(below(vfs), library, name);
}
void library_close(sqlite3_vfs* vfs, void* library) { below(vfs)->xDlClose(below(vfs), library); }
int randomness(sqlite3_vfs* vfs, int size, char* out) {
  return below(vfs)->xRandomness(below(vfs), size, out);
}
int pause(sqlite3_vfs* vfs, int microseconds) {
  return below(vfs)->xSleep(below(vfs), microseconds);
}
int current_time(sqlite3_vfs* vfs, double* out) {
  return below(vfs)->xCurrentTime(below(vfs), out);
}
int last_error(sqlite3_vfs* vfs, int size, char* message) {
  return below(vfs)->xGetLastError(below(vfs), size, message);
}
int current_time_64(sqlite3_vfs* vfs, sqlite3_int64* out) {
  return below(vfs)->xCurrentTimeInt64(below(vfs), out);
}

bool register_vfs() {
  static sqlite3_vfs checked;  // SQLite keeps a pointer to it for as long as the program runs
  sqlite3_vfs* base = sqlite3_vfs_find(nullptr);
  checked = *base;
  checked.iVersion = std::min(base->iVersion, 2);
  checked.szOsFile = static_cast<int>(sizeof(CheckedFile)) + base->szOsFile;
  checked.pNext = nullptr;
  checked.zName = kName;
  checked.pAppData = base;
  checked.xOpen = open_file;
  checked.xDelete = remove_file;
  checked.xAccess = access_file;
  checked.xFullPathname = full_path;
  checked.xDlOpen = library_open;
  checked.xDlError = library_error;
  checked.xDlSym = library_symbol;
  checked.xDlClose = library_close;
  checked.xRandomness = randomness;
  checked.xSleep = pause;
  checked.xCurrentTime = current_time;
  checked.xGetLastError = last_error;
  checked.xCurrentTimeInt64 = current_time_64;
  return sqlite3_vfs_register(&checked, 0) == SQLITE_OK;
}

}  // namespace

const char* checked_vfs() {
  static const bool registered = register_vfs();
  return registered ? kName : nullptr;
}

}  // namespace baylore::store
