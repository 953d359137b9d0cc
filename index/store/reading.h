// What one file becomes in the store: its bytes, the tip in them, the words for searching, the
// findings.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "files/disk.h"
#include "shop/finding.h"
#include "shop/shop.h"
#include "shop/tip.h"
#include "store/schema.h"
#include "store/spread.h"

namespace baylore::store {

using FtsTexts = std::array<std::string, kFtsColumns.size()>;

struct Reading {
  std::string path;
  shop::Kind kind = shop::Kind::other;
  files::Status status;
  bool racy = false;
  std::string hash;   // empty: could not be read
  std::string bytes;  // of a file that was read
  std::optional<shop::Tip> tip;
  int id_line = 1;  // of a tip: where its id stands
  int id_column = 1;
  FtsTexts words;      // of a tip
  std::string spread;  // of a tip: spread_bytes()
  shop::Findings findings;
};

// Parses `reading.bytes` after `path` and `kind`: fills the tip, words and findings. Pure, any
// thread.
void understand_bytes(Reading& reading);

// The text of each column of tips_fts.
FtsTexts columns_of(const AreaTexts& areas);

// Settings from the bytes of shop.md.
shop::Settings settings_of(std::string_view bytes);

}  // namespace baylore::store
