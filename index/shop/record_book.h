// All records of a shop, kept up to date at the cost of what was appended since.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <unordered_map>
#include <vector>

#include "files/disk.h"
#include "shop/records.h"

namespace baylore::shop {

// The union by id of all terminals' files. A file that only grew is read from where it was left;
// one that was replaced, shortened or removed makes the book read everything again. One thread at a
// time.
class RecordBook {
 public:
  // Reads what is new. True when records joined or the book was begun again.
  bool update(files::Disk& disk, const std::string& shop_folder);

  // In the order they became known; ids are unique. References stay valid until the next update.
  [[nodiscard]] const std::vector<Record>& records() const { return records_; }
  [[nodiscard]] const Record* find(std::string_view id) const;
  // Grows when the book was begun again: what was taken from records() before no longer counts.
  [[nodiscard]] std::uint64_t edition() const { return edition_; }
  [[nodiscard]] Findings findings() const;

 private:
  struct File {
    bool known = false;
    files::Status status;
    std::uint64_t read = 0;  // bytes, up to the end of the last whole line
    std::string tail;        // the last of these, to know the file again
    RecordColumns columns;
    Findings findings;
    int torn = 0;  // the line that was being written, 0: none
  };
  enum class Step { nothing, joined, another_file };
  Step read(files::Disk& disk, const std::string& shop_folder, const std::string& path,
            const files::Status& status);
  static files::Result<std::string> read_on(files::Disk& disk, const std::string& full,
                                            const File& file, files::Status& status);
  bool join(std::vector<Record>& more);
  void begin_again();

  std::map<std::string, File> files_;  // by path below records/
  std::vector<Record> records_;
  std::unordered_map<std::string, std::size_t> by_id_;
  Findings folder_trouble_;
  std::uint64_t edition_ = 0;
};

}  // namespace baylore::shop
