// The files of a store, damaged: a list of changes to the bytes of one that was built.
#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>
#include <filesystem>
#include <vector>

#include "fuzz/targets.h"
#include "store/build.h"
#include "store/checked_vfs.h"
#include "store/checksum.h"
#include "store/part.h"
#include "store/store.h"
#include "store/support.h"

namespace baylore::fuzz {
namespace {

using store::Location;
using store::Store;
using store::test::read_file;
using store::test::TempFolder;
using store::test::write_file;

// One state of a store's files.
struct StoreFiles {
  std::string pointer;
  std::string database;
  std::string wal;
  std::string words;
};

// A shop and its store, built once: whole, and as it is between an update and the moment the update
// moves from the WAL into the database.
struct Built {
  TempFolder folder;
  Location location{folder / "shop", folder / "store"};
  std::string generation;
  std::string words_name;
  StoreFiles whole;
  StoreFiles with_wal;
  std::string right;    // what the store as it is now answers
  std::string earlier;  // what one without its WAL answers
  std::string dump;

  Built() {
    store::test::Dice dice(7);
    write_file(location.shop + "/shop.md", "---\nname: Bay\n---\n");
    write_file(location.shop + "/vocabulary/words.md", "## Synonyms\n- heater = cabin heat\n");
    for (int i = 0; i < 4; ++i) {
      const std::string number = std::to_string(i);
      // One long enough for pages that hang on others.
      write_file(location.shop + "/tips/t" + number + ".md",
                 store::test::tip_text(dice, "tip-" + number, i == 2 ? 300 : 12));
    }
    good_ = update();
    write_file(location.shop + "/tips/t3.md", store::test::tip_text(dice, "tip-3", 40));
    good_ = update() && good_;
    {
      // While somebody reads, nobody moves the WAL into the database.
      const auto reader = Store::open(location);
      if (!reader) return;
      earlier = store::test::answers(*reader);
      write_file(location.shop + "/tips/t3.md", store::test::tip_text(dice, "tip-3", 20));
      write_file(location.shop + "/tips/t4.md", store::test::tip_text(dice, "tip-4", 20));
      good_ = update() && good_;
      with_wal = files();
    }
    good_ = update() && good_;
    whole = files();
    const auto store = Store::open(location);
    if (!store) return;
    right = store::test::answers(*store);
    dump = store::test::canonical_dump(*store);
    good_ = good_ && !with_wal.wal.empty() && whole.wal.empty() && !whole.words.empty() &&
            right != earlier && dump.find("error") == std::string::npos;
  }
  [[nodiscard]] bool good() const { return good_ && !dump.empty(); }

  // Puts a state of the files where a store of the same shop finds them.
  void place(const StoreFiles& at, const std::string& folder_of_store) const {
    write_file(folder_of_store + "/current", at.pointer);
    write_file(folder_of_store + "/" + generation, at.database);
    if (!at.wal.empty()) write_file(folder_of_store + "/" + generation + "-wal", at.wal);
    write_file(folder_of_store + "/" + words_name, at.words);
  }

 private:
  bool update() { return store::bring_up_to_date(files::real_disk(), location).ok(); }
  StoreFiles files() {
    StoreFiles now;
    now.pointer = read_file(location.folder + "/current");
    generation = now.pointer.substr(0, now.pointer.find('\n'));
    words_name = store::test::words_file(location);
    now.database = read_file(location.folder + "/" + generation);
    now.wal = read_file(location.folder + "/" + generation + "-wal");
    now.words = read_file(location.folder + "/" + words_name);
    return now;
  }

  bool good_ = false;
};

// Changes one thing about a file's bytes. Five bytes a change: file and what is done, a place of
// three bytes, a value.
void change(std::string& bytes, unsigned what, std::size_t place, unsigned char value) {
  constexpr std::size_t kPage = store::kPageSize;
  if (bytes.empty()) return;
  const std::size_t at = place % bytes.size();
  const std::size_t pages = bytes.size() / kPage;
  const auto page_at = [&](std::size_t page) {
    return bytes.begin() + static_cast<std::ptrdiff_t>(page % pages * kPage);
  };
  switch (what % 8) {
    case 0:
      bytes[at] = static_cast<char>(value);
      break;
    case 1:
      bytes.resize(at);
      break;
    case 2:
      if (pages > 0) std::fill_n(page_at(place), kPage, '\0');
      break;
    case 3:
      if (pages > 0)
        bytes.replace(place % pages * kPage, kPage, bytes.substr(value % pages * kPage, kPage));
      break;
    case 4:
      bytes.append(value, '\0');
      break;
    case 5:
      for (std::size_t i = at; i < std::min(at + 8, bytes.size()); ++i)
        bytes[i] = static_cast<char>(value);
      break;
    default:
      bytes[at] = static_cast<char>(bytes[at] ^ (1 << value % 8));
      break;
  }
}

StoreFiles changed(const StoreFiles& from, std::string_view changes) {
  StoreFiles files = from;
  const std::array<std::string*, 4> which = {&files.database, &files.words, &files.wal,
                                             &files.pointer};
  while (changes.size() >= 5) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(changes[i]); };
    const std::size_t place = byte(1) | std::size_t{byte(2)} << 8U | std::size_t{byte(3)} << 16U;
    change(*which[byte(0) % 4], byte(0) / 4U, place, byte(4));
    changes.remove_prefix(5);
  }
  return files;
}

// Makes the check sums of a database's pages fit what is in them.
void seal_pages(std::string& database) {
  constexpr std::size_t kContent = store::kPageSize - store::kPageChecksumBytes;
  for (std::size_t at = 0; at + store::kPageSize <= database.size(); at += store::kPageSize) {
    const std::uint64_t sum =
        store::checksum(database.data() + at, kContent, at / store::kPageSize + 1);
    std::memcpy(database.data() + at + kContent, &sum, sizeof sum);
  }
}

// The same for the blocks of a part of the postings, and for its footer.
void seal_part(std::string& part, const store::Footer& footer) {
  const std::size_t sums = footer.blocks * sizeof(std::uint64_t);
  const std::size_t body = part.size() - sizeof footer - sums;
  for (std::uint64_t block = 0; block < footer.blocks; ++block) {
    const std::size_t from = block * store::kPartBlock;
    const std::uint64_t sum = store::checksum(
        part.data() + from, std::min<std::size_t>(store::kPartBlock, body - from), block);
    std::memcpy(part.data() + body + block * sizeof sum, &sum, sizeof sum);
  }
  store::Footer sealed = footer;
  sealed.sum = 0;
  const std::uint64_t before = store::checksum(part.data() + body, sums, body);
  sealed.sum = store::checksum(&sealed, sizeof sealed, before);
  std::memcpy(part.data() + part.size() - sizeof sealed, &sealed, sizeof sealed);
}

bool clear(const files::Failure& failure) { return !failure.what.empty(); }

// A disk that loses or turns bytes: every answer is right or known to be doubtful, and the next
// update makes it right.
std::string damaged(const Built& built, const StoreFiles& from, std::string_view changes,
                    bool look_at_all) {
  const TempFolder folder;
  const Location location{built.location.shop, folder / "store"};
  built.place(changed(from, changes), location.folder);
  bool met = false;
  if (const auto reader = Store::open(location)) {
    const std::string given = store::test::answers(*reader);
    met = reader->damaged();
    // Without its WAL a store is what it was before.
    const bool lost_wal = !from.wal.empty() && given == built.earlier;
    if (!met && given != built.right && !lost_wal) return "a wrong answer, and nobody knows";
  } else {
    if (!clear(reader.failure())) return "a store does not open, and nobody knows why";
    met = true;
  }
  store::Options options;
  options.check = !met || look_at_all;
  const auto report = store::bring_up_to_date(files::real_disk(), location, options);
  if (!report) return "a damaged store stops the update: " + report.failure().text();
  if (met && !report->rebuilt) return "damage that was met stays";
  const auto store = Store::open(location);
  if (!store) return "a store that was just updated does not open: " + store.failure().text();
  if (store::test::canonical_dump(*store) != built.dump) return "an updated store is another";
  if (store->damaged()) return "an updated store is damaged";
  return {};
}

// Whoever wrote these bytes knew of the check sums, so nothing tells that they are wrong: nothing
// crashes or hangs, and building anew helps.
std::string sealed(const Built& built, std::string_view changes) {
  StoreFiles files = changed(built.whole, changes);
  seal_pages(files.database);
  const TempFolder folder;
  const Location location{built.location.shop, folder / "store"};
  built.place(files, location.folder);
  if (const auto reader = Store::open(location)) {
    (void)store::test::answers(*reader);
  } else if (!clear(reader.failure())) {
    return "a store does not open, and nobody knows why";
  }
  const auto report = store::bring_up_to_date(files::real_disk(), location);
  if (!report && !clear(report.failure())) return "an update fails, and nobody knows why";
  store::Options anew;
  anew.from_scratch = true;
  if (const auto built_anew = store::bring_up_to_date(files::real_disk(), location, anew);
      !built_anew) {
    return "a store cannot be built anew: " + built_anew.failure().text();
  }
  const auto store = Store::open(location);
  if (!store || store::test::canonical_dump(*store) != built.dump)
    return "a store that was built anew is another";
  return {};
}

// The postings alone, with sums that fit.
std::string part_of(const Built& built, std::string_view changes) {
  const std::string& right = built.whole.words;
  store::Footer footer;
  if (right.size() < sizeof footer) return "no postings";
  std::memcpy(&footer, right.data() + right.size() - sizeof footer, sizeof footer);
  const std::size_t body = right.size() - sizeof footer - footer.blocks * sizeof(std::uint64_t);
  StoreFiles files;
  files.words = right.substr(0, body);
  for (std::string rest(changes); rest.size() >= 5; rest.erase(0, 5)) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(rest[i]); };
    const std::size_t place = byte(1) | std::size_t{byte(2)} << 8U | std::size_t{byte(3)} << 16U;
    // Not cut short: that is what the footer's own checks are for.
    const unsigned what = byte(0) / 4U % 8U;
    change(files.words, what == 1 || what == 4 ? 0 : what, place, byte(4));
  }
  files.words += right.substr(body);
  seal_part(files.words, footer);
  const auto part = store::Part::hold(files.words);
  if (!part) return "postings with sums that fit are refused";
  if (!part->whole()) return "sums that were made to fit do not";
  std::size_t seen = 0;
  for (const std::uint32_t word : part->by_text()) {
    const std::string text(part->text(word));
    seen += text.size() + part->count(word) + static_cast<std::size_t>(part->language(word));
    for (store::Postings at = part->postings(word); at.more(); at.next()) seen += at.weight();
    const auto found = part->find(text, part->language(word));
    seen += found ? *found : 0;
    seen += part->beginning(text.substr(0, 2)).size();
    seen += part->of_stem(text, part->language(word)).size();
  }
  for (std::uint32_t tip = 0; tip < part->tips(); ++tip) {
    const auto spread = part->spread(tip);
    if (!spread) continue;
    seen += spread->id.size() + spread->path.size() + spread->codes.size() + part->hash(tip);
    for (const auto& area : spread->words) {
      for (const std::string_view word : area) seen += std::string(word).size();
    }
    for (const store::SpreadFit& fit : spread->fits)
      seen += std::string(fit.make).size() + std::string(fit.engine).size();
    seen += part->tip_of(part->doc(tip)).value_or(0);
  }
  part->each_fit([&](std::uint32_t, std::span<const std::uint32_t> fits) { seen += fits.size(); });
  // Asked of, so that nothing of it may be left out.
  return seen == SIZE_MAX ? "more than there is" : std::string();
}

}  // namespace

// The first byte says what happens to the store, the others are changes.
std::string store(std::string_view bytes) {
  static const Built built;
  if (!built.good()) return "no store was built to begin with";
  if (bytes.empty()) return {};
  const auto how = static_cast<unsigned char>(bytes.front());
  bytes.remove_prefix(1);
  switch (how % 4) {
    case 0:
      return damaged(built, built.whole, bytes, (how & 4U) != 0);
    case 1:
      return damaged(built, built.with_wal, bytes, (how & 4U) != 0);
    case 2:
      return sealed(built, bytes);
    default:
      return part_of(built, bytes);
  }
}

}  // namespace baylore::fuzz
