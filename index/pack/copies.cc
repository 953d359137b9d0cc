#include "pack/copies.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <tuple>
#include <utility>

#include "files/names.h"
#include "files/save.h"
#include "pack/diff.h"
#include "shop/shop.h"

namespace baylore::pack {
namespace {

using files::Failure;
using files::Result;
using shop::Kind;

// Merges are tried with at most so many versions that are equally near.
constexpr std::size_t kMostBases = 8;

struct Found {
  std::string path;
  Kind kind = Kind::other;  // of a copy, that of its original
  std::string bytes;
  std::string id;  // written in it; of a tip or a part alone
};

// All texts, with the copies that are named as such, by path.
Result<std::map<std::string, Found>> read_all(files::Disk& disk, const std::string& shop_folder) {
  const auto listed = disk.list(shop_folder);
  if (!listed) return listed.failure();
  std::map<std::string, Found> all;
  for (const files::Listed& one : *listed) {
    if (one.status.folder) continue;
    const std::string original = shop::original_of(one.path);
    const Kind kind = shop::kind_of(original.empty() ? one.path : original);
    if (kind == Kind::other) continue;
    auto bytes = shop::read_text(disk, shop_folder, one.path);
    if (!bytes) {
      if (bytes.failure().kind == Failure::Kind::missing) continue;  // removed since
      return bytes.failure();
    }
    Found found{one.path, kind, std::move(*bytes), {}};
    if (kind == Kind::tip || kind == Kind::part) found.id = written_id(found.bytes, kind);
    all.emplace(one.path, std::move(found));
  }
  return all;
}

std::string free_path(const std::map<std::string, Found>& all, const std::string& wanted) {
  std::string path = wanted;
  const std::size_t dot = wanted.rfind('.');
  for (int number = 2; all.count(path) > 0; ++number)
    path = fmt::format("{}-{}{}", wanted.substr(0, dot), number, wanted.substr(dot));
  return path;
}

// What of the lines of both sides is neither in the merged text nor told as a conflict.
std::size_t lost(const Copy& copy, const Merged& merged) {
  std::set<std::string> kept;
  const auto keep = [&](std::string_view text) {
    for (const std::string& line : lines_with_ends(text)) kept.emplace(bare(line));
  };
  keep(merged.text);
  for (const Difference& one : merged.conflicts) {
    keep(one.ours);
    keep(one.theirs);
  }
  std::set<std::string> gone;
  for (const std::string* side : {&copy.ours, &copy.theirs}) {
    for (const std::string& line : lines_with_ends(*side)) {
      if (kept.count(std::string(bare(line))) == 0) gone.emplace(bare(line));
    }
  }
  return gone.size();
}

// The versions that are nearest to both sides, by hash.
std::vector<std::string> nearest(const Copy& copy, const std::map<std::string, std::string>& all) {
  std::vector<std::string> found;
  std::size_t least = SIZE_MAX;
  for (const auto& [hash, bytes] : all) {
    const std::size_t apart = distance(bytes, copy.ours) + distance(bytes, copy.theirs);
    if (apart > least) continue;
    if (apart < least) found.clear();
    least = apart;
    found.push_back(bytes);
  }
  if (found.size() > kMostBases) found.resize(kMostBases);
  return found;
}

// 1. The versions nearest to both; the true one is among them unless it was never saved here.
// 2. Of the merges with each, those that lose the fewest lines: one who reverted another's edit is
//    rare, and a merge that takes out what the other side never saw would look just like it.
// 3. Where these still differ, the places in question become conflicts.
void merge(const std::map<std::string, std::string>& versions, Copy& copy) {
  const std::vector<std::string> bases = nearest(copy, versions);
  if (bases.empty()) {
    copy.merged = {copy.ours, differences(copy.ours, copy.theirs)};
    return;
  }
  struct Tried {
    const std::string* base;
    Merged merged;
    std::size_t lost;
  };
  std::vector<Tried> tried;
  for (const std::string& base : bases) {
    Merged merged = merge_texts(base, copy.ours, copy.theirs);
    const std::size_t gone = lost(copy, merged);
    tried.push_back({&base, std::move(merged), gone});
  }
  std::stable_sort(tried.begin(), tried.end(), [](const Tried& a, const Tried& b) {
    return std::tuple(a.lost, a.merged.conflicts.size()) <
           std::tuple(b.lost, b.merged.conflicts.size());
  });
  const Tried& best = tried.front();
  copy.base = *best.base;
  copy.merged = best.merged;
  for (const Tried& other : tried) {
    if (other.lost > best.lost || &other == &best) continue;
    for (Difference& one : differences(best.merged.text, other.merged.text)) {
      const auto told =
          std::any_of(copy.merged.conflicts.begin(), copy.merged.conflicts.end(),
                      [&](const Difference& known) { return known.where == one.where; });
      if (!told) copy.merged.conflicts.push_back(std::move(one));
    }
  }
}

class Finder {
 public:
  Finder(files::Disk& disk, const std::string& shop_folder, std::map<std::string, Found> all)
      : disk_(disk), shop_(shop_folder), all_(std::move(all)) {}

  Result<std::vector<Copy>> find() {
    std::map<TextKey, std::vector<const Found*>> by_id;
    for (const auto& [path, found] : all_) {
      if (!found.id.empty()) by_id[{found.kind, found.id}].push_back(&found);
    }
    for (const auto& [path, found] : all_) {
      const Found* counts = counting(found, by_id);
      if (counts == &found) continue;
      Copy copy;
      copy.copy = path;
      copy.theirs = found.bytes;
      copy.alone = counts == nullptr;
      copy.path = copy.alone ? free_path(all_, shop::original_of(path)) : counts->path;
      if (!copy.alone) copy.ours = counts->bytes;
      const std::string& shown = copy.alone ? copy.theirs : copy.ours;
      copy.title = written_title(shown);
      copy.key = {found.kind, found.id};
      if (found.id.empty()) copy.key.second = shop::history_id(shown, copy.path);
      if (copy.alone) {
        copy.merged.text = copy.theirs;
      } else {
        auto versions = earlier(copy);
        if (!versions) return versions.failure();
        merge(*versions, copy);
      }
      copies_.push_back(std::move(copy));
    }
    return std::move(copies_);
  }

 private:
  // The text that a file is a copy of: itself when it is none, nullptr when it is named as a copy
  // and there is no such text.
  const Found* counting(const Found& found,
                        const std::map<TextKey, std::vector<const Found*>>& by_id) const {
    const std::string original = shop::original_of(found.path);
    if (!found.id.empty()) {
      const auto& same = by_id.at({found.kind, found.id});
      const Found* first = *std::min_element(
          same.begin(), same.end(),
          [](const Found* a, const Found* b) { return shop::comes_first(a->path, b->path); });
      // Two copies of nothing: each is one.
      if (shop::original_of(first->path).empty()) return first;
    }
    if (original.empty()) return &found;
    const auto there = all_.find(original);
    const bool same_text = there != all_.end() && (found.id.empty() || there->second.id.empty()) &&
                           shop::original_of(original).empty();
    return same_text ? &there->second : nullptr;
  }

  // The versions of history/ by hash, under the ids that the text has or had.
  Result<std::map<std::string, std::string>> earlier(const Copy& copy) const {
    std::map<std::string, std::string> versions;
    const std::set<std::string> ids = {copy.key.second, shop::history_id(copy.ours, copy.path),
                                       shop::history_id({}, copy.path)};
    for (const std::string& id : ids) {
      const auto hashes = earlier_versions(disk_, shop_, id);
      if (!hashes) return hashes.failure();
      for (const std::string& hash : *hashes) {
        auto bytes = shop::read_text(disk_, shop_, history_path(id, hash));
        // What is not what it says it is, is no version; what has gone since is none either.
        if (bytes && files::hash_hex(*bytes) == hash) versions.emplace(hash, std::move(*bytes));
      }
    }
    return versions;
  }

  files::Disk& disk_;
  const std::string& shop_;
  std::map<std::string, Found> all_;
  std::vector<Copy> copies_;
};

}  // namespace

Result<std::vector<Copy>> find_copies(files::Disk& disk, const std::string& shop_folder) {
  auto all = read_all(disk, shop_folder);
  if (!all) return all.failure();
  return Finder(disk, shop_folder, std::move(*all)).find();
}

// 1. Both have to be what the person looked at.
// 2. The copy's bytes go to history.
// 3. The text is saved; the usual way, which puts ours into history and looks once more.
// 4. The copy is looked at once more, and removed. Until then it is found again.
Result<void> settle_copy(files::Disk& disk, const std::string& shop_folder, const Copy& copy,
                         const std::string& text) {
  const auto changed = [](const std::string& path) {
    return Failure{Failure::Kind::exists, path, "was changed by someone else meanwhile",
                   "look at both once more"};
  };
  const auto still = [&](const std::string& path, const std::string& bytes) -> Result<void> {
    const auto now = shop::read_text(disk, shop_folder, path);
    if (!now) {
      return now.failure().kind == Failure::Kind::missing ? changed(path) : now.failure();
    }
    return *now == bytes ? Result<void>() : Result<void>(changed(path));
  };
  if (!copy.alone) {
    if (auto same = still(copy.path, copy.ours); !same) return same;
  }
  if (auto same = still(copy.copy, copy.theirs); !same) return same;
  const std::string kept =
      history_path(copy.alone ? copy.key.second : shop::history_id(copy.ours, copy.path),
                   files::hash_hex(copy.theirs));
  if (const auto written = files::write_once(disk, files::join(shop_folder, kept), copy.theirs);
      !written) {
    return written.failure();
  }
  if (auto saved = shop::save_tip(disk, shop_folder, copy.path, copy.ours, text); !saved)
    return saved;
  const auto removed = files::remove_same(disk, files::join(shop_folder, copy.copy), copy.theirs);
  if (!removed && removed.failure().kind != Failure::Kind::missing) return removed.failure();
  return removed && *removed ? Result<void>() : Result<void>(changed(copy.copy));
}

}  // namespace baylore::pack
