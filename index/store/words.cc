#include "store/words.h"

#include <algorithm>
#include <atomic>
#include <charconv>
#include <utility>

#include "files/names.h"
#include "store/generations.h"
#include "store/part_builder.h"

namespace baylore::store {
namespace {

// Numbers that differ between any two states of any store of the process.
std::uint64_t next_version() {
  static std::atomic<std::uint64_t> last{0};
  return ++last;
}

// Calls `visit` once for each different word of a tip, codes too.
template <class Visit>
void each_word_once(const Part& part, std::uint32_t tip, const Visit& visit) {
  const Forward forward = part.forward(tip);
  std::vector<std::uint32_t> words;
  const auto halves = [](std::uint16_t low, std::uint16_t high) {
    return low | static_cast<std::uint32_t>(high) << 16U;
  };
  for (std::size_t i = 0; i + 1 < forward.codes.size(); i += 2) {
    words.push_back(halves(forward.codes[i], forward.codes[i + 1]));
  }
  for (std::size_t i = 0; i < forward.words.size(); ++i) {
    if (forward.words[i] != kEscape) {
      words.push_back(forward.words[i]);
    } else if (i + 2 < forward.words.size()) {
      words.push_back(halves(forward.words[i + 1], forward.words[i + 2]));
      i += 2;
    }
  }
  std::sort(words.begin(), words.end());
  words.erase(std::unique(words.begin(), words.end()), words.end());
  for (const std::uint32_t word : words) visit(word);
}

}  // namespace

MainPart read_main_part(std::string_view meta) {
  MainPart part;
  const std::size_t blank = meta.find(' ');
  part.file = meta.substr(0, blank);
  if (blank != std::string_view::npos) {
    std::from_chars(meta.data() + blank + 1, meta.data() + meta.size(), part.sum, 16);
  }
  return part;
}

std::string text_of(const MainPart& part) {
  std::array<char, 16> digits{};
  const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), part.sum, 16).ptr;
  return part.file + " " + std::string(digits.data(), end);
}

bool Words::Piece::is_dead(std::uint32_t tip) const {
  return std::binary_search(dead.begin(), dead.end(), tip);
}

files::Result<bool> Words::follow(const Database& database, const std::string& folder) {
  int code = SQLITE_OK;
  const std::string main = meta_text(database, "words", &code);
  if (code != SQLITE_ROW) {
    return failure_of(code == SQLITE_DONE ? SQLITE_CORRUPT : code, database.path());
  }
  bool changed = false;
  if (main != main_) {
    const MainPart named = read_main_part(main);
    auto part = Part::map(files::join(folder, named.file), named.sum);
    if (!part) return part.failure();
    pieces_.clear();
    pieces_.push_back({std::move(*part), {}, {}, 0});
    main_ = main;
    main_version_ = next_version();
    last_change_ = 0;
    changed = true;
  }
  auto taken = take_rows(database);
  if (!taken) {
    main_.clear();
    return taken;
  }
  if (!changed && !*taken) return false;
  count_all();
  version_ = next_version();
  return true;
}

// The rows that are new become a part. Parts of the tail that are not much larger are made anew
// together with it, so that there are never more than a few, and no row is read more often than the
// logarithm of their count.
files::Result<bool> Words::take_rows(const Database& database) {
  Statement count = database.prepare("SELECT count(*), max(change) FROM tail WHERE change > ?1");
  if (!count.ready()) return failure_of(sqlite3_extended_errcode(database.raw()), database.path());
  int code = count.bind(1, last_change_).step();
  if (code != SQLITE_ROW) return failure_of(code, database.path());
  auto rows = static_cast<std::uint64_t>(count.integer(0));
  if (rows == 0) return false;
  const std::int64_t last = count.integer(1);
  std::int64_t first = last_change_ + 1;
  while (pieces_.size() > 1 && pieces_.back().part.tips() <= 2 * rows) {
    rows += pieces_.back().part.tips();
    first = pieces_.back().first_change;
    pieces_.pop_back();
  }
  Statement select =
      database.prepare("SELECT doc, spread FROM tail WHERE change >= ?1 ORDER BY doc");
  if (!select.ready()) return failure_of(sqlite3_extended_errcode(database.raw()), database.path());
  select.bind(1, first);
  PartBuilder builder;
  Spread spread;
  for (code = select.step(); code == SQLITE_ROW; code = select.step()) {
    const std::int64_t doc = select.integer(0);
    for (Piece& piece : pieces_) bury(piece, doc);
    const std::string bytes = select.text(1);
    if (bytes.empty()) continue;  // gone
    if (!read_spread(bytes, spread)) return failure_of(SQLITE_CORRUPT, database.path());
    builder.add(doc, spread);
  }
  if (code != SQLITE_DONE) return failure_of(code, database.path());
  if (builder.tips() > 0) {
    std::string bytes;
    const auto written = builder.write([&bytes](std::string_view more) {
      bytes += more;
      return files::Result<void>();
    });
    if (!written) return written.failure();
    auto part = Part::hold(std::move(bytes));
    if (!part) return part.failure();
    pieces_.push_back({std::move(*part), {}, {}, first});
  }
  last_change_ = last;
  return true;
}

void Words::bury(Piece& piece, std::int64_t doc) {
  const std::optional<std::uint32_t> tip = piece.part.tip_of(doc);
  if (!tip) return;
  const auto at = std::lower_bound(piece.dead.begin(), piece.dead.end(), *tip);
  if (at != piece.dead.end() && *at == *tip) return;
  piece.dead.insert(at, *tip);
  each_word_once(piece.part, *tip, [&](std::uint32_t word) { ++piece.dead_counts[word]; });
}

void Words::count_all() {
  tips_ = 0;
  for (const Piece& piece : pieces_) {
    tips_ += piece.part.tips() - static_cast<std::uint32_t>(piece.dead.size());
  }
}

std::uint32_t Words::tips_with(std::string_view word) const {
  std::uint32_t tips = 0;
  for (const Piece& piece : pieces_) {
    for (std::uint8_t language = 0; language < kLanguages; ++language) {
      const auto found = piece.part.find(word, static_cast<Language>(language));
      if (found) tips += piece.count(*found);
    }
  }
  return tips;
}

std::uint32_t Words::tips_with_code(std::string_view code) const {
  std::uint32_t tips = 0;
  const std::string key = base_key(code);
  for (const Piece& piece : pieces_) {
    if (const auto found = piece.part.find(key, Language::code)) tips += piece.count(*found);
  }
  return tips;
}

bool Words::damaged() const {
  return std::any_of(pieces_.begin(), pieces_.end(),
                     [](const Piece& piece) { return piece.part.damaged(); });
}

files::Result<std::uint64_t> write_part(files::Disk& disk, PartBuilder& builder,
                                        const std::string& path) {
  auto output = disk.create(path);
  if (!output) return output.failure();
  auto written = builder.write([&](std::string_view bytes) { return (*output)->write(bytes); });
  if (!written) return written;
  if (auto synced = (*output)->sync(); !synced) return synced.failure();
  if (auto closed = (*output)->close(); !closed) return closed.failure();
  return written;
}

files::Result<std::uint64_t> write_whole(files::Disk& disk, const Words& words,
                                         const std::string& path) {
  // Each part is ascending in doc; together they are walked in that order.
  struct At {
    const Words::Piece* piece;
    std::uint32_t tip;
  };
  std::vector<At> at;
  for (const Words::Piece& piece : words.pieces()) at.push_back({&piece, 0});
  PartBuilder builder;
  while (true) {
    At* next = nullptr;
    for (At& each : at) {
      while (each.tip < each.piece->part.tips() && each.piece->is_dead(each.tip)) ++each.tip;
      if (each.tip == each.piece->part.tips()) continue;
      if (next == nullptr || each.piece->part.doc(each.tip) < next->piece->part.doc(next->tip)) {
        next = &each;
      }
    }
    if (next == nullptr) break;
    const std::optional<Spread> spread = next->piece->part.spread(next->tip);
    if (!spread)
      return files::Failure{files::Failure::Kind::damaged, path, "the store is damaged",
                            "build it again"};
    builder.add(next->piece->part.doc(next->tip), *spread);
    ++next->tip;
  }
  return write_part(disk, builder, path);
}

}  // namespace baylore::store
