// The words of all tips with where they stand: the main part, which is a file, and what changed
// since it was written, in parts held in memory. A tip that changed is dead in every part but the
// newest that has it.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "files/disk.h"
#include "files/result.h"
#include "store/part.h"
#include "store/sql.h"

namespace baylore::store {

// The file of a main part as `words` of meta names it: the file's name, a blank and the checksum of
// its footer in hexadecimal digits.
struct MainPart {
  std::string file;
  std::uint64_t sum = 0;
};
MainPart read_main_part(std::string_view meta);
std::string text_of(const MainPart& part);

class Words {
 public:
  struct Piece {
    Part part;
    std::vector<std::uint32_t> dead;  // tips that changed or went since; ascending
    std::unordered_map<std::uint32_t, std::uint32_t> dead_counts;  // of words: tips of those
    std::int64_t first_change = 0;  // of the tail rows it was made from

    // Tips alive that hold the word.
    [[nodiscard]] std::uint32_t count(std::uint32_t word) const {
      const std::uint32_t all = part.count(word);
      if (dead_counts.empty()) return all;
      const auto found = dead_counts.find(word);
      return found == dead_counts.end() || found->second > all ? all : all - found->second;
    }
    [[nodiscard]] bool is_dead(std::uint32_t tip) const;
  };

  // Brings the parts to what the database says, inside a transaction of the caller's. True when
  // anything changed. `missing`: the main part was replaced meanwhile, or is gone; `damaged`.
  files::Result<bool> follow(const Database& database, const std::string& folder);

  // The main part first.
  [[nodiscard]] const std::vector<Piece>& pieces() const { return pieces_; }
  [[nodiscard]] std::uint32_t tips() const { return tips_; }
  // Tips alive that hold this very word, in any language.
  [[nodiscard]] std::uint32_t tips_with(std::string_view word) const;
  // Tips alive that list the code, with whatever failure type.
  [[nodiscard]] std::uint32_t tips_with_code(std::string_view code) const;
  [[nodiscard]] bool damaged() const;
  // Another number whenever the parts are not what they were, or the main part is another.
  [[nodiscard]] std::uint64_t version() const { return version_; }
  [[nodiscard]] std::uint64_t main_version() const { return main_version_; }

 private:
  files::Result<bool> take_rows(const Database& database);
  void bury(Piece& piece, std::int64_t doc);
  void count_all();

  std::vector<Piece> pieces_;
  std::string main_;              // as meta names it
  std::int64_t last_change_ = 0;  // of the tail rows that are in
  std::uint32_t tips_ = 0;
  std::uint64_t version_ = 0;
  std::uint64_t main_version_ = 0;
};

// A new main part of everything `words` holds, written to `path` and flushed. MainPart::file is
// left to the caller.
files::Result<std::uint64_t> write_whole(files::Disk& disk, const Words& words,
                                         const std::string& path);

class PartBuilder;
// What the builder holds, written to `path` and flushed.
files::Result<std::uint64_t> write_part(files::Disk& disk, PartBuilder& builder,
                                        const std::string& path);

}  // namespace baylore::store
