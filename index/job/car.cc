#include "job/car.h"

#include <algorithm>

#include "files/names.h"
#include "files/save.h"

namespace baylore::job {
namespace {

constexpr std::string_view kFolder = "keys/cars";
constexpr std::string_view kKeyEnding = ".key";
constexpr std::size_t kVin = 17;
constexpr std::uint64_t kKeyLimit = 1024;

std::string key_in(std::string text) {
  while (!text.empty() && (text.back() == '\n' || text.back() == '\r')) text.pop_back();
  return text;
}

}  // namespace

files::Result<std::vector<std::string>> car_marks(files::Disk& disk, const std::string& shop_folder,
                                                  const std::string& terminal,
                                                  std::string_view vin) {
  std::vector<std::string> marks;
  if (vin.size() != kVin || !files::is_id(terminal)) return marks;
  std::string upper(vin);
  for (char& c : upper) {
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
  }
  const std::string folder = files::join(shop_folder, kFolder);
  const std::string own = terminal + std::string(kKeyEnding);
  // Written once: a second start of the same terminal finds it.
  if (auto made = files::write_once(disk, files::join(folder, own), files::new_key() + "\n"); !made)
    return made.failure();
  const auto listed = disk.list(folder);
  if (!listed) return listed.failure();
  for (const files::Listed& file : *listed) {
    if (file.status.folder || !file.path.ends_with(kKeyEnding)) continue;
    const std::string name = file.path.substr(0, file.path.size() - kKeyEnding.size());
    // The copy a file sync makes has a name that is no terminal's; its key is nobody's.
    if (!files::is_id(name)) continue;
    const auto text = disk.read(files::join(folder, file.path), kKeyLimit);
    if (!text) continue;
    const std::string hash = files::keyed_hash_hex(key_in(*text), upper);
    if (!hash.empty()) marks.push_back(name + ":" + hash);
  }
  return marks;
}

bool same_car(const std::vector<std::string>& one, const std::vector<std::string>& other) {
  return std::any_of(one.begin(), one.end(), [&](const std::string& mark) {
    return std::find(other.begin(), other.end(), mark) != other.end();
  });
}

}  // namespace baylore::job
