// Puts readings into the tables and takes them out again. One transaction of the caller's around
// everything.
#pragma once

#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <string_view>

#include "store/reading.h"
#include "store/sql.h"

namespace baylore::store {

class Writer {
 public:
  // `change`: the number of this update, for the rows of the tail; 0 while a generation is filled,
  // whose tips go into the main part of the postings instead.
  Writer(const Database& database, std::int64_t change);

  // The first SQLite code that was no success; SQLITE_OK while all went well. After an error every
  // call does nothing.
  [[nodiscard]] int code() const { return code_; }
  void fail(int code) { take(code); }
  [[nodiscard]] std::int64_t change() const { return change_; }

  // A file that was not in the tables, or other bytes of one that was. A tip keeps its doc, which
  // is returned; 0 for any other file.
  std::int64_t put(const Reading& reading);
  // Only what the folder says changed.
  void note_status(const Reading& reading);
  void remove(std::string_view path);
  // Which of the tips with one id counts, and the findings of the others, for the ids that were
  // touched (all of them after a full build). Last. True when a full build put rows into the tail:
  // they are those of an update 1.
  bool compare_ids(bool all);
  // Whether shop.md or a vocabulary file was put or removed.
  [[nodiscard]] bool documents_changed() const { return documents_changed_; }
  void set_meta(std::string_view key, std::int64_t value);
  void set_meta(std::string_view key, std::string_view value);
  void run(const char* sql);

 private:
  void take(int code);
  Statement prepare(std::string_view sql);
  void run(Statement& statement);
  // Takes the rows of a path out, all but its line in `files`; the tip's doc when there was one.
  std::optional<std::int64_t> clear(std::string_view path);
  void put_status(const Reading& reading);
  std::int64_t put_tip(const Reading& reading, std::optional<std::int64_t> doc);
  // A tip as it was read, from its text in the tables.
  Reading read_again(std::int64_t doc, std::string_view path);
  void drop_words(std::int64_t doc, std::string_view path);
  void put_findings(const Reading& reading);
  bool compare_id(const std::string& id);
  // Puts the words of a tip that is known back into the postings, or takes them out.
  void put_words_back(std::int64_t doc, const std::string& path);
  void hide_words(std::int64_t doc);

  const Database& database_;
  std::int64_t change_;
  int code_ = SQLITE_OK;
  bool documents_changed_ = false;
  std::set<std::string> touched_;

  Statement put_file_;
  Statement put_tip_;
  Statement put_text_;
  Statement put_words_;
  Statement put_tail_;
  Statement find_text_;
  Statement put_document_;
  Statement put_fit_;
  Statement put_code_;
  Statement put_link_;
  Statement put_finding_;
  Statement find_tip_;
  Statement drop_file_;
  Statement drop_document_;
  Statement drop_findings_;
  Statement drop_tip_;
  Statement drop_text_;
  Statement drop_words_;
  Statement drop_fits_;
  Statement drop_codes_;
  Statement drop_links_;
  Statement drop_twin_;
  Statement put_twin_;
  Statement find_id_;
  Statement forget_finding_;
  Statement add_finding_;
  Statement put_meta_;
};

}  // namespace baylore::store
