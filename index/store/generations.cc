#include "store/generations.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/vfs.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <filesystem>
#include <string_view>
#include <system_error>
#include <thread>

#include "files/names.h"
#include "files/save.h"
#include "store/schema.h"

namespace baylore::store {
namespace {

constexpr std::string_view kPointerName = "current";
constexpr std::string_view kDamagedName = "damaged";
constexpr std::string_view kLockName = "lock";
constexpr std::string_view kEnding = ".db";
constexpr std::string_view kWordsEnding = ".words";
constexpr std::uint64_t kPointerLimit = 1024;
// A build of a million tips takes minutes; a builder that was frozen takes for ever.
constexpr std::chrono::minutes kLockPatience{10};
constexpr std::chrono::milliseconds kLockPause{20};

bool is_generation(std::string_view name) {
  return files::is_id(name) && name.size() > kEnding.size() && name.ends_with(kEnding);
}

// The generation a file of postings belongs to: "A.B.words" belongs to "A.db". Empty: no such file.
std::string generation_of_words(std::string_view name) {
  const std::size_t dot = name.find('.');
  if (!files::is_id(name) || !name.ends_with(kWordsEnding)) return {};
  if (dot + kWordsEnding.size() >= name.size()) return {};
  return std::string(name.substr(0, dot)) + std::string(kEnding);
}

std::string_view take_line(std::string_view& text) {
  const std::size_t end = text.find('\n');
  const std::string_view line = text.substr(0, end);
  text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
  return line;
}

}  // namespace

Location locate(const std::string& shop, const std::string& override_file) {
  std::error_code error;
  std::string absolute = std::filesystem::weakly_canonical(shop, error).string();
  if (error || absolute.empty()) absolute = shop;
  while (absolute.size() > 1 && absolute.ends_with('/')) absolute.pop_back();
  if (!override_file.empty()) return {absolute, override_file};
  const std::string cache = files::cache_home();
  if (cache.empty()) return {absolute, {}};
  // Half the hash is still far beyond chance, and keeps the path short.
  return {absolute,
          files::join(files::join(cache, "baylore"), files::hash_hex(absolute).substr(0, 32))};
}

files::Result<Pointer> read_pointer(files::Disk& disk, const Location& location) {
  const std::string path = files::join(location.folder, kPointerName);
  auto text = disk.read(path, kPointerLimit);
  if (!text) return text.failure();
  std::string_view rest = *text;
  Pointer pointer;
  pointer.current = take_line(rest);
  pointer.previous = take_line(rest);
  const bool whole = text->ends_with('\n') && rest.empty();
  if (!whole || !is_generation(pointer.current) ||
      (!pointer.previous.empty() && !is_generation(pointer.previous))) {
    return files::Failure{files::Failure::Kind::damaged, path, "is no store pointer",
                          "build the store again"};
  }
  return pointer;
}

files::Result<void> publish(files::Disk& disk, const Location& location, const Pointer& pointer) {
  return files::replace(disk, files::join(location.folder, kPointerName),
                        pointer.current + "\n" + pointer.previous + "\n");
}

std::string new_generation() { return files::new_id() + std::string(kEnding); }

std::string new_words_file(std::string_view generation) {
  return std::string(generation.substr(0, generation.find('.'))) + "." + files::new_id() +
         std::string(kWordsEnding);
}

std::string generation_path(const Location& location, std::string_view name) {
  return files::join(location.folder, name);
}

void mark_damaged(files::Disk& disk, const Location& location, std::string_view generation) {
  (void)files::replace(disk, files::join(location.folder, kDamagedName), generation).ok();
}

bool is_marked_damaged(files::Disk& disk, const Location& location, std::string_view generation) {
  const auto text = disk.read(files::join(location.folder, kDamagedName), kPointerLimit);
  return text && *text == generation;
}

void sweep(files::Disk& disk, const Location& location, const Pointer& pointer,
           std::string_view words) {
  const auto listed = disk.list(location.folder);
  if (!listed) return;
  for (const files::Listed& file : *listed) {
    if (file.status.folder || file.path.find('/') != std::string::npos) continue;
    std::string_view name = file.path;
    for (const std::string_view side : {"-wal", "-shm", "-journal"}) {
      if (name.ends_with(side)) name.remove_suffix(side.size());
    }
    const bool mark = name == kDamagedName && !is_marked_damaged(disk, location, pointer.current);
    const bool old = is_generation(name) && name != pointer.current && name != pointer.previous;
    const std::string owner = generation_of_words(file.path);
    const bool unread = !owner.empty() && file.path != words && owner != pointer.previous;
    if (mark || old || unread) (void)disk.remove(files::join(location.folder, file.path)).ok();
  }
}

std::int64_t meta_number(const Database& database, std::string_view key, int* code) {
  Statement statement = database.prepare("SELECT value FROM meta WHERE key = ?1");
  if (!statement.ready()) {
    *code = sqlite3_extended_errcode(database.raw());
    return 0;
  }
  *code = statement.bind(1, key).step();
  return *code == SQLITE_ROW ? statement.integer(0) : 0;
}

std::string meta_text(const Database& database, std::string_view key, int* code) {
  Statement statement = database.prepare("SELECT value FROM meta WHERE key = ?1");
  if (!statement.ready()) {
    *code = sqlite3_extended_errcode(database.raw());
    return {};
  }
  *code = statement.bind(1, key).step();
  return *code == SQLITE_ROW ? statement.text(0) : std::string();
}

files::Result<Opened> open_current(files::Disk& disk, const Location& location, Mode mode) {
  using Kind = files::Failure::Kind;
  const auto pointer = read_pointer(disk, location);
  if (!pointer) return pointer.failure();
  const std::string path = generation_path(location, pointer->current);
  // SQLite would report a file that is not there as one it cannot open, which is also said of one
  // we may not read.
  if (const auto there = disk.status(path); !there) return there.failure();
  auto database = Database::open(path, mode);
  if (!database) return database.failure();

  for (const auto& [pragma, wanted] : {std::pair{"PRAGMA application_id", kApplicationId},
                                       std::pair{"PRAGMA user_version", kSchemaVersion}}) {
    Statement statement = database->prepare(pragma);
    if (!statement.ready()) return failure_of(sqlite3_extended_errcode(database->raw()), path);
    if (const int code = statement.step(); code != SQLITE_ROW) return failure_of(code, path);
    if (statement.integer(0) != wanted) {
      return files::Failure{Kind::damaged, path, "another version", "build the store again"};
    }
  }
  Opened opened;
  opened.generation = pointer->current;
  int code = SQLITE_OK;
  const std::int64_t epoch = meta_number(*database, "epoch", &code);
  if (code != SQLITE_ROW) return failure_of(code == SQLITE_DONE ? SQLITE_CORRUPT : code, path);
  if (epoch != kParserEpoch) {
    return files::Failure{Kind::damaged, path, "another version", "build the store again"};
  }
  if (meta_text(*database, "shop", &code) != location.shop) {
    return files::Failure{Kind::damaged, path, "another shop", "build the store again"};
  }
  if (meta_text(*database, "generation", &code) != pointer->current) {
    return files::Failure{Kind::damaged, path, "a copied store", "build the store again"};
  }
  opened.number = meta_number(*database, "number", &code);
  opened.database = std::move(*database);
  return opened;
}

BuildLock::BuildLock(const Location& location, const std::atomic<bool>* stop) {
  const std::string path = files::join(location.folder, kLockName);
  file_ = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  if (file_ < 0) return;
  const auto until = std::chrono::steady_clock::now() + kLockPatience;
  while (::flock(file_, LOCK_EX | LOCK_NB) != 0) {
    if (stop != nullptr && stop->load()) return;
    if (std::chrono::steady_clock::now() > until) return;
    std::this_thread::sleep_for(kLockPause);
  }
  held_ = true;
}

BuildLock::~BuildLock() {
  if (file_ >= 0) ::close(file_);
}

bool on_network(const std::string& folder) {
  struct statfs about = {};
  if (::statfs(folder.c_str(), &about) != 0) return false;
  // From linux/magic.h and the statfs(2) manual page: NFS, SMB, CIFS, SMB2, AFS, Coda, Ceph.
  constexpr std::array<std::uint32_t, 7> kNetwork = {
      0x6969U, 0x517BU, 0xFF534D42U, 0xFE534D42U, 0x5346414FU, 0x73757245U, 0x00C36400U};
  const auto type = static_cast<std::uint32_t>(about.f_type);
  for (const std::uint32_t network : kNetwork) {
    if (type == network) return true;
  }
  return false;
}

}  // namespace baylore::store
