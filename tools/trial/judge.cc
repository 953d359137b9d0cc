#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "files/disk.h"
#include "files/names.h"
#include "files/save.h"
#include "pack/copies.h"
#include "shop/records.h"
#include "trial.h"

namespace baylore::trial {
namespace {

constexpr std::uint64_t kLargest = std::uint64_t{1} << 30U;

// The hashes of all files by path; hidden ones belong to whoever syncs.
bool hashes(const std::string& folder, std::map<std::string, std::string>& into) {
  files::Disk& disk = files::real_disk();
  const auto listed = disk.list(folder);
  if (!listed) {
    fmt::print(stderr, "{}\n", listed.failure().text());
    return false;
  }
  for (const files::Listed& one : *listed) {
    if (one.status.folder) continue;
    const auto bytes = disk.read(folder + "/" + one.path, kLargest);
    into[one.path] = bytes ? files::hash_hex(*bytes) : "cannot be read";
  }
  return true;
}

}  // namespace

bool judge(const Bay& one, const Bay& two, const std::string& missing) {
  files::Disk& disk = files::real_disk();
  bool good = true;
  std::map<std::string, std::string> left;
  std::map<std::string, std::string> right;
  if (!hashes(one.shop, left) || !hashes(two.shop, right)) return false;
  std::size_t differ = 0;
  std::set<std::string> paths;
  for (const auto& [path, hash] : left) paths.insert(path);
  for (const auto& [path, hash] : right) paths.insert(path);
  for (const std::string& path : paths) {
    const auto l = left.find(path);
    const auto r = right.find(path);
    if (l != left.end() && r != right.end() && l->second == r->second) continue;
    fmt::print(stderr, "{}: differs, or is at one bay alone\n", path);
    ++differ;
  }
  good = good && differ == 0;
  fmt::print("files               {} at both bays, {} differ\n", paths.size(), differ);

  const auto copies = pack::find_copies(disk, one.shop);
  const std::size_t open = copies ? copies->size() : SIZE_MAX;
  good = good && open == 0;
  fmt::print("copies left         {}\n", open);

  std::set<std::string> there;
  std::size_t in_history = 0;
  std::set<std::string> current;
  for (const auto& [path, hash] : left) {
    there.insert(hash);
    if (!path.starts_with("history/")) current.insert(hash);
  }
  std::size_t texts = 0;
  std::string gone;
  for (const Bay* bay : {&one, &two}) {
    std::map<std::string, std::string> written;
    if (!hashes(bay->work + "/texts", written)) return false;
    for (const auto& [path, hash] : written) {
      ++texts;
      if (there.count(hash) == 0) {
        gone += bay->work + "/texts/" + path + "\n";
      } else if (current.count(hash) == 0) {
        ++in_history;
      }
    }
  }
  const auto count = std::count(gone.begin(), gone.end(), '\n');
  fmt::print("texts written       {}: {} stand now, {} in history/, {} in neither\n", texts,
             texts - in_history - static_cast<std::size_t>(count), in_history, count);
  if (!files::replace(disk, missing, gone)) return false;

  const shop::Records here = shop::read_records(disk, one.shop);
  const shop::Records over = shop::read_records(disk, two.shop);
  shop::Records written;
  for (const Bay* bay : {&one, &two}) {
    const auto bytes = disk.read(bay->work + "/records.csv", kLargest);
    if (bytes) shop::read_records(*bytes, "records.csv", written);
  }
  std::size_t lost = 0;
  for (const shop::Record& record : written.records) {
    for (const shop::Records* side : {&here, &over}) {
      if (std::find(side->records.begin(), side->records.end(), record) == side->records.end())
        ++lost;
    }
  }
  good = good && lost == 0 && here.records == over.records && here.findings.empty();
  fmt::print("records appended    {}: {} at both bays, {} lost, {} lines in doubt\n",
             written.records.size(), here.records.size(), lost, here.findings.size());

  const auto said = disk.read(one.work + "/answers", kLargest);
  const auto other = disk.read(two.work + "/answers", kLargest);
  const bool alike = said && other && *said == *other;
  good = good && alike;
  fmt::print("both stores         {}\n", alike ? "say the same" : "DO NOT SAY THE SAME");
  return good;
}

}  // namespace baylore::trial
