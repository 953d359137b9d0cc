#include "pack/received.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <limits>
#include <nlohmann/json.hpp>

#include "files/names.h"
#include "pack/name.h"

namespace baylore::pack {
namespace {

using files::Failure;
using files::Result;
using nlohmann::json;
using shop::Kind;

constexpr std::string_view kReceivedFolder = "received";
constexpr std::string_view kSettled = "settled";
constexpr int kForm = 1;

json key_json(const TextKey& key) { return {{"kind", kind_word(key.first)}, {"id", key.second}}; }

// Reading is forgiving of absence and strict about kinds: what is not as it should be makes the
// whole decision unreadable.
class DecisionReader {
 public:
  explicit DecisionReader(const json& from) : from_(from) {}
  [[nodiscard]] bool good() const { return good_; }

  void take(const char* name, std::string& into) {
    const auto found = from_.find(name);
    if (found == from_.end()) return;
    if (found->is_string()) {
      into = found->get<std::string>();
    } else {
      good_ = false;
    }
  }
  void take(const char* name, bool& into) {
    const auto found = from_.find(name);
    if (found == from_.end()) return;
    if (found->is_boolean()) {
      into = found->get<bool>();
    } else {
      good_ = false;
    }
  }
  void take(const char* name, std::uint32_t& into) {
    const auto found = from_.find(name);
    if (found == from_.end()) return;
    constexpr std::uint64_t kMost = std::numeric_limits<std::uint32_t>::max();
    if (found->is_number_unsigned() && found->get<std::uint64_t>() <= kMost) {
      into = found->get<std::uint32_t>();
    } else {
      good_ = false;
    }
  }
  void take(const char* name, std::vector<std::string>& into) {
    each(name, [&](const json& one) {
      if (one.is_string()) {
        into.push_back(one.get<std::string>());
      } else {
        good_ = false;
      }
    });
  }
  void take(const char* name, std::set<std::string>& into) {
    std::vector<std::string> list;
    take(name, list);
    into.insert(list.begin(), list.end());
  }
  void take_key(TextKey& into) {
    std::string kind;
    take("kind", kind);
    take("id", into.second);
    good_ = good_ && read_kind(kind, into.first) && files::is_id(into.second);
  }
  template <typename Take>
  void each(const char* name, Take visit) {
    const auto found = from_.find(name);
    if (found == from_.end()) return;
    if (!found->is_array()) {
      good_ = false;
      return;
    }
    for (const json& one : *found) visit(one);
  }
  // A decision is carried out as it stands, so it may name only what a decision of ours would.
  void require(bool holds) { good_ = good_ && holds; }
  void fail_with(const DecisionReader& other) { good_ = good_ && other.good_; }

 private:
  const json& from_;
  bool good_ = true;
};

json text_json(const AcceptedText& text) {
  json made = key_json(text.key);
  made["title"] = text.title;
  made["hash"] = text.hash;
  if (!text.ancestry.empty()) made["ancestry"] = text.ancestry;
  return made;
}

json write_json(const TextWrite& write) {
  json made = key_json(write.key);
  made["path"] = write.path;
  made["before"] = write.before;
  made["after"] = write.after;
  if (write.bytes) made["bytes"] = *write.bytes;
  made["own"] = write.own;
  if (!write.own_ancestry.empty()) made["own_ancestry"] = write.own_ancestry;
  if (!write.taken.empty()) made["taken"] = write.taken;
  if (!write.open.empty()) made["open"] = write.open;
  return made;
}

json photo_json(const PhotoWrite& photo) {
  json made = key_json(photo.key);
  made["from"] = photo.from;
  made["path"] = photo.path;
  made["sha512"] = photo.sha512;
  if (photo.remove) made["remove"] = true;
  return made;
}

json count_json(const Count& count) {
  return {{"kind", count.kind},
          {"name", count.name},
          {"used", count.used},
          {"failed", count.failed},
          {"dead", count.dead}};
}

// "0001" of "0001.json"; 0 for any other name.
int number_of(std::string_view name, std::string_view ending) {
  constexpr std::size_t kDigits = 4;
  if (name.size() != kDigits + ending.size() || !name.ends_with(ending)) return 0;
  int number = 0;
  for (const char c : name.substr(0, kDigits)) {
    if (c < '0' || c > '9') return 0;
    number = number * 10 + (c - '0');
  }
  return number;
}

std::string below(const std::string& folder, const std::string& name) {
  return files::join(files::join(kReceivedFolder, folder), name);
}

}  // namespace

std::string decision_text(const Decision& decision) {
  json made = {{"form", kForm},
               {"number", decision.number},
               {"state", decision.accepted ? "accepted" : "undone"},
               {"when", decision.when},
               {"who", decision.who},
               {"pack", decision.name},
               {"location", decision.location},
               {"key", decision.key},
               {"sealed", decision.sealed},
               {"newly_trusted", decision.newly_trusted},
               {"counts", json::array()},
               {"texts", json::array()},
               {"writes", json::array()},
               {"photos", json::array()}};
  for (const Count& count : decision.counts) made["counts"].push_back(count_json(count));
  for (const AcceptedText& text : decision.texts) made["texts"].push_back(text_json(text));
  for (const TextWrite& write : decision.writes) made["writes"].push_back(write_json(write));
  for (const PhotoWrite& photo : decision.photos) made["photos"].push_back(photo_json(photo));
  return made.dump(1, ' ', false, json::error_handler_t::replace) + "\n";
}

std::optional<Decision> read_decision(std::string_view bytes) {
  const json from = json::parse(bytes, nullptr, false);
  if (!from.is_object() || from.value("form", json()) != json(kForm)) return std::nullopt;
  Decision decision;
  DecisionReader reader(from);
  std::string state;
  reader.take("state", state);
  decision.accepted = state == "accepted";
  reader.take("when", decision.when);
  reader.take("who", decision.who);
  reader.take("pack", decision.name);
  reader.take("location", decision.location);
  reader.take("key", decision.key);
  reader.take("sealed", decision.sealed);
  reader.take("newly_trusted", decision.newly_trusted);
  reader.each("counts", [&](const json& one) {
    DecisionReader part(one);
    Count count;
    part.take("kind", count.kind);
    part.take("name", count.name);
    part.take("used", count.used);
    part.take("failed", count.failed);
    part.take("dead", count.dead);
    reader.fail_with(part);
    decision.counts.push_back(std::move(count));
  });
  reader.each("texts", [&](const json& one) {
    DecisionReader part(one);
    AcceptedText text;
    part.take_key(text.key);
    part.take("title", text.title);
    part.take("hash", text.hash);
    part.take("ancestry", text.ancestry);
    reader.fail_with(part);
    decision.texts.push_back(std::move(text));
  });
  reader.each("writes", [&](const json& one) {
    DecisionReader part(one);
    TextWrite write;
    part.take_key(write.key);
    part.take("path", write.path);
    part.take("before", write.before);
    part.take("after", write.after);
    if (one.contains("bytes")) part.take("bytes", write.bytes.emplace());
    part.take("own", write.own);
    part.take("own_ancestry", write.own_ancestry);
    part.take("taken", write.taken);
    part.take("open", write.open);
    reader.fail_with(part);
    reader.require(shop::kind_of(write.path) == write.key.first);
    decision.writes.push_back(std::move(write));
  });
  reader.each("photos", [&](const json& one) {
    DecisionReader part(one);
    PhotoWrite photo;
    part.take_key(photo.key);
    part.take("from", photo.from);
    part.take("path", photo.path);
    part.take("sha512", photo.sha512);
    part.take("remove", photo.remove);
    reader.fail_with(part);
    reader.require(is_photo_path(photo.path) && name_fault(photo.path).empty());
    decision.photos.push_back(std::move(photo));
  });
  reader.require(!decision.newly_trusted || is_location(decision.location));
  if (!reader.good() || (state != "accepted" && state != "undone")) return std::nullopt;
  return decision;
}

std::string settlement_text(const Settlement& settlement) {
  json made = key_json(settlement.key);
  made["form"] = kForm;
  made["after"] = settlement.after;
  made["settled"] = settlement.settled;
  return made.dump(1, ' ', false, json::error_handler_t::replace) + "\n";
}

std::optional<Settlement> read_settlement(std::string_view bytes) {
  const json from = json::parse(bytes, nullptr, false);
  if (!from.is_object() || from.value("form", json()) != json(kForm)) return std::nullopt;
  Settlement settlement;
  DecisionReader reader(from);
  reader.take_key(settlement.key);
  reader.take("after", settlement.after);
  reader.take("settled", settlement.settled);
  if (!reader.good()) return std::nullopt;
  return settlement;
}

std::string new_settlement_path() {
  return files::join(files::join(kReceivedFolder, kSettled), files::new_id() + ".json");
}

const ReceivedPack* Received::find(const std::string& folder) const {
  const auto found = std::find_if(packs.begin(), packs.end(),
                                  [&](const ReceivedPack& one) { return one.folder == folder; });
  return found == packs.end() ? nullptr : &*found;
}

std::string pack_path(const std::string& folder) { return below(folder, "pack.bag.zip"); }
std::string decision_path(const std::string& folder, int number) {
  return below(folder, fmt::format("{:04}.json", number));
}
std::string done_path(const std::string& folder, int number) {
  return below(folder, fmt::format("{:04}.done", number));
}

Result<Received> read_received(files::Disk& disk, const std::string& shop_folder) {
  Received received;
  const auto listed = disk.list(files::join(shop_folder, kReceivedFolder));
  if (!listed) {
    if (listed.failure().kind == Failure::Kind::missing) return received;
    return listed.failure();
  }
  std::map<std::string, ReceivedPack> packs;
  std::set<std::pair<std::string, int>> done;
  for (const files::Listed& one : *listed) {
    const std::string folder = files::folder_of(one.path);
    if (folder == kSettled && !one.status.folder && one.path.ends_with(".json")) {
      const std::string path = files::join(kReceivedFolder, one.path);
      const auto bytes = disk.read(files::join(shop_folder, path), files::kTextLimit);
      if (!bytes) return bytes.failure();
      if (auto settlement = read_settlement(*bytes)) {
        received.settlements.push_back(std::move(*settlement));
      } else {
        received.damaged.push_back({Failure::Kind::damaged, path, "cannot be read",
                                    "it is passed over; settle the text once more"});
      }
      continue;
    }
    if (one.status.folder || folder.empty() || folder.find('/') != std::string::npos) continue;
    const std::string name = files::name_of(one.path);
    if (const int number = number_of(name, ".done"); number > 0) done.emplace(folder, number);
    const int number = number_of(name, ".json");
    if (number == 0) continue;
    const std::string path = files::join(kReceivedFolder, one.path);
    const auto bytes = disk.read(files::join(shop_folder, path), kLargestDecision);
    if (!bytes) return bytes.failure();
    auto decision = read_decision(*bytes);
    if (!decision) {
      received.damaged.push_back({Failure::Kind::damaged, path, "is no decision about a pack",
                                  "it is passed over; bring the file back from another terminal"});
      continue;
    }
    decision->number = number;
    packs[folder].folder = folder;
    packs[folder].decisions.push_back(std::move(*decision));
  }
  for (auto& [folder, pack] : packs) {
    std::sort(pack.decisions.begin(), pack.decisions.end(),
              [](const Decision& a, const Decision& b) { return a.number < b.number; });
    pack.done = done.count({folder, pack.last().number}) > 0;
    received.packs.push_back(std::move(pack));
  }
  return received;
}

VersionStore::VersionStore(files::Disk& disk, std::string shop_folder, const Received& received)
    : disk_(disk), shop_(std::move(shop_folder)), received_(received) {
  // What was put together here is a version too.
  for (const ReceivedPack& pack : received.packs) {
    for (const Decision& decision : pack.decisions) {
      for (const TextWrite& write : decision.writes) {
        if (write.bytes && files::hash_hex(*write.bytes) == write.after)
          bytes_.emplace(write.after, &*write.bytes);
      }
    }
  }
}
VersionStore::~VersionStore() = default;

void VersionStore::add(const Pack& pack) {
  // What was found before stays where it is: somebody may hold it.
  for (const PackText& text : pack.texts) {
    const std::string*& known = bytes_[text.hash];
    if (known == nullptr) known = &text.bytes;
  }
}

const std::string* VersionStore::keep(const std::string& hash, std::string bytes) {
  const std::string*& known = bytes_[hash];
  if (known == nullptr) known = &kept_.emplace_back(std::move(bytes));
  return known;
}

void VersionStore::open_packs_with(const TextKey& key, const std::string& hash) {
  for (const ReceivedPack& pack : received_.packs) {
    const bool holds =
        std::any_of(pack.decisions.begin(), pack.decisions.end(), [&](const Decision& decision) {
          return std::any_of(
              decision.texts.begin(), decision.texts.end(),
              [&](const AcceptedText& text) { return text.key == key && text.hash == hash; });
        });
    if (!holds || !opened_.insert(pack.folder).second) continue;
    const auto signer = read_public_key(pack.last().key);
    if (!signer) continue;
    TrustedKeys trusted;
    trusted.keys.push_back({"sender", {}, *signer});
    auto opened = open_pack(disk_, files::join(shop_, pack_path(pack.folder)), trusted);
    if (!opened) {
      // A pack that is gone, or that someone took out of the folder, is no trouble with the disk.
      if (opened.failure().kind != Failure::Kind::missing && !failure_) failure_ = opened.failure();
    } else if (opened->verdict() == "trusted") {
      for (PackText& text : opened->texts) keep(text.hash, std::move(text.bytes));
    }
  }
}

// history/ comes first: it costs one small file, a pack has to be read and judged as a whole.
const std::string* VersionStore::find(const TextKey& key, const std::string& hash) {
  if (hash.empty()) return nullptr;
  const auto known = bytes_.find(hash);
  if (known != bytes_.end()) return known->second;
  auto bytes = shop::read_text(disk_, shop_, history_path(key.second, hash));
  // What lies there under a hash that is not its own is not what it says.
  if (bytes && files::hash_hex(*bytes) == hash) return keep(hash, std::move(*bytes));
  open_packs_with(key, hash);
  const std::string* found = bytes_.emplace(hash, nullptr).first->second;
  const bool trouble = !bytes && bytes.failure().kind != Failure::Kind::missing;
  if (found == nullptr && trouble && !failure_) failure_ = bytes.failure();
  return found;
}

}  // namespace baylore::pack
