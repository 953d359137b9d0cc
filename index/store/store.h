// The store: a SQLite cache of one shop folder. It can be deleted at any time and is rebuilt from
// the files; nothing a person wrote exists only here. Each generation is a database file with a
// name never used before (WAL inside it); a small pointer file names the current one and is
// replaced by rename, so readers never block and no stale journal meets a file that changed under
// its name.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "files/disk.h"
#include "files/result.h"
#include "shop/finding.h"
#include "shop/records.h"
#include "shop/shop.h"
#include "shop/vocabulary.h"

struct sqlite3;

namespace baylore::store {

// Where a shop's store lies: the shop's folder, and the local folder that holds the pointer and the
// generations.
struct Location {
  std::string shop;
  std::string folder;
};

// The user's cache folder, keyed by the shop's absolute path: CACHE/baylore/HASH. `override_file`
// (`--store FILE`) names a folder of its own: FILE's generations lie in the folder FILE.
Location locate(const std::string& shop, const std::string& override_file = {});

// One tip as the lists need it.
struct TipRow {
  std::int64_t doc = 0;
  std::string id;
  std::string slug;
  std::string path;
  std::string title;
  std::string status;
  std::string lang;
  std::string system;
  std::string component;
  std::string author;
  std::string written;
  bool broken = false;
  std::vector<shop::Fit> fits;
  std::vector<std::string> codes;
};

struct Counts {
  std::int64_t tips = 0;
  std::int64_t broken = 0;
  std::int64_t findings = 0;
};

class Words;

// One state of the store, held while it lives: whatever is asked of the store meanwhile is answered
// from it, and the words are those of the same tips. Short-lived; not across refresh().
class Snapshot {
 public:
  Snapshot(Snapshot&& other) noexcept;
  Snapshot& operator=(Snapshot&&) = delete;
  ~Snapshot();

  // False when damage was met or the store could not be read: then it holds nothing to ask.
  [[nodiscard]] bool good() const { return words_ != nullptr; }
  [[nodiscard]] const Words& words() const { return *words_; }
  [[nodiscard]] std::uint64_t stamp() const { return stamp_; }

 private:
  friend class Store;
  Snapshot() = default;
  const Words* words_ = nullptr;
  std::uint64_t stamp_ = 0;
  std::function<void()> end_;
};

// A reader of the current generation. One thread at a time; open one per thread. `refresh()`
// follows a new generation. Every answer is what was committed last. A method that meets damage
// answers with nothing and marks the generation, and the next bring_up_to_date builds another;
// damage of any page is noticed when that page is read (store/checked_vfs.h).
class Store {
 public:
  static files::Result<Store> open(const Location& location);
  Store(Store&&) noexcept;
  Store& operator=(Store&&) noexcept;
  ~Store();

  // Moves to the newest generation when the pointer names another one, and reads settings and
  // vocabulary anew when they may have changed. True when answers may differ from before. On
  // failure (the cache was deleted, say) the generation at hand goes on answering.
  files::Result<bool> refresh();
  // Grows with every change inside a generation and with every generation: two equal stamps mean
  // equal answers.
  [[nodiscard]] std::uint64_t stamp() const;

  [[nodiscard]] Counts counts() const;
  [[nodiscard]] std::optional<TipRow> tip(std::int64_t doc) const;
  // By id, or by slug, or by path. Of several files with one id the one that counts.
  [[nodiscard]] std::optional<TipRow> find(std::string_view id_or_slug) const;
  // The file's bytes as they were when it was indexed: still readable when the shop folder is gone.
  [[nodiscard]] std::optional<std::string> bytes(std::int64_t doc) const;
  // Tips that name this one in mistaken-for, with their note.
  [[nodiscard]] std::vector<std::pair<TipRow, std::string>> mistaken_by(const TipRow& tip) const;
  [[nodiscard]] std::vector<TipRow> newest(int limit) const;  // by the date written, of any status
  // The titles alone: of thousands, a tenth of the time.
  [[nodiscard]] std::vector<std::string> newest_titles(int limit) const;
  [[nodiscard]] shop::Findings findings() const;  // of the whole shop, sorted by file and line
  [[nodiscard]] shop::Findings findings(std::string_view path) const;  // of one file
  [[nodiscard]] const shop::Vocabulary& vocabulary() const;            // as of the last refresh
  [[nodiscard]] const shop::Settings& settings() const;
  // The tips as (path, bytes) in path order, for canonical dumps and tests.
  void each(const std::function<void(const TipRow&, const std::string& bytes)>& visit) const;

  // What the layer above ranks from.
  [[nodiscard]] Snapshot snapshot() const;
  // A place for what the layer above keeps with a reader, such as scratch memory: made by it, gone
  // with the reader.
  [[nodiscard]] std::shared_ptr<void>& companion() const;
  // Another number whenever settings() and vocabulary() were read anew.
  [[nodiscard]] std::uint64_t documents_version() const;

  // For the layer above: the open connection (read-only, defensive). Schema in
  // store/schema.h. It changes with refresh(): finalize statements before.
  [[nodiscard]] sqlite3* connection() const;
  // The layer above says how a statement of its own on connection() failed, so that damage it met
  // is marked too.
  void failed(int sqlite_code) const;
  // Whether this reader has met damage.
  [[nodiscard]] bool damaged() const;

 private:
  struct Inside;
  explicit Store(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

}  // namespace baylore::store
