#include "pack/preview.h"

#include <fmt/format.h>

#include <algorithm>

#include "files/names.h"
#include "pack/digest.h"
#include "pack/name.h"
#include "shop/check/check.h"
#include "shop/check/text_checks.h"
#include "shop/document.h"
#include "shop/notes.h"
#include "shop/part.h"
#include "shop/picture_file.h"
#include "shop/shop.h"
#include "shop/tip.h"

namespace baylore::pack {
namespace {

using files::Failure;
using files::Result;
using shop::Kind;

// `folder/name` with `.` and `..` worked out; empty when it leads out of the shop.
std::string resolved(const std::string& folder, std::string_view name) {
  if (name.empty() || name.front() == '/') return {};
  std::vector<std::string> way;
  const std::string joined = files::join(folder, name);
  std::string_view rest = joined;
  while (!rest.empty()) {
    const std::size_t slash = std::min(rest.find('/'), rest.size());
    const std::string_view part = rest.substr(0, slash);
    rest.remove_prefix(std::min(slash + 1, rest.size()));
    if (part == ".." && way.empty()) return {};
    if (part == "..") {
      way.pop_back();
    } else if (part != "." && !part.empty()) {
      way.emplace_back(part);
    }
  }
  std::string path;
  for (const std::string& part : way) path = files::join(path, part);
  return path;
}

std::vector<shop::Picture> pictures_of(const PackText& text, const std::string& path) {
  const shop::Document document = shop::Document::parse(text.bytes);
  if (text.key().first == Kind::part) return shop::read_part(document, path).pictures;
  return shop::read_tip(document, path).pictures;
}

shop::Findings findings_of(const PackText& text, const std::string& bytes,
                           const std::string& path) {
  const shop::Document document = shop::Document::parse(bytes);
  shop::Findings found;
  if (text.kind == Kind::part) {
    found = shop::read_part(document, path).findings;
    shop::Notes notes(path, found);
    shop::checking::check_lines(document, notes);
  } else {
    found = shop::check_tip(document, shop::read_tip(document, path));
  }
  std::erase_if(found, [](const shop::Finding& one) { return one.level == shop::Level::note; });
  return found;
}

}  // namespace

std::string_view change_word(Change change) {
  switch (change) {
    case Change::fresh:
      return "new";
    case Change::same:
      return "same";
    case Change::replaced:
      return "changed";
    case Change::merged:
      return "merged";
    case Change::conflict:
      return "conflict";
    case Change::blocked:
      break;
  }
  return "blocked";
}

Planner::Planner(files::Disk& disk, std::string shop_folder, const Received& received,
                 std::string leave_out)
    : disk_(disk),
      shop_(std::move(shop_folder)),
      received_(received),
      leave_out_(std::move(leave_out)),
      versions_(disk, shop_, received) {
  for (const ReceivedPack& pack : received.packs) {
    for (const Decision& decision : pack.decisions) {
      const bool holds = pack.accepted() && &decision == &pack.last();
      for (const TextWrite& write : decision.writes) told_[write.key].writes.push_back(&write);
      for (const AcceptedText& text : decision.texts)
        told_[text.key].texts.push_back({&pack, &text, holds});
    }
  }
}

Result<void> Planner::read_shop() {
  auto texts = read_shop_texts(disk_, shop_);
  if (!texts) return texts.failure();
  texts_ = std::move(*texts);
  for (const auto& [key, files] : texts_.by_id)
    spellings_.emplace(std::pair(key.first, collision_key(key.second)), key.second);
  return {};
}

std::vector<Version> Planner::accepted(const TextKey& key, const FindBytes& find,
                                       std::string& missing) {
  std::vector<Version> found;
  for (const ToldText& one : told_[key].texts) {
    if (!one.holds || one.pack->folder == leave_out_) continue;
    if (const std::string* bytes = find(one.text->hash)) {
      found.push_back({one.text->hash, *bytes, one.text->ancestry});
    } else {
      missing = one.pack->folder;
    }
  }
  return found;
}

// The version that was last written here by a person. What stands in the file may have been put
// there by accepting a pack; the decision then tells from which own version that was made.
Result<std::optional<Version>> Planner::own(const TextKey& key, const std::string& hash,
                                            const std::string& bytes) {
  const TextWrite* made = nullptr;
  std::set<std::string> undone;
  std::set<std::string> standing;
  const Told& told = told_[key];
  for (const TextWrite* write : told.writes) {
    if (write->after == hash || (made == nullptr && write->own == hash)) made = write;
  }
  for (const ToldText& one : told.texts) (one.holds ? standing : undone).insert(one.text->hash);
  auto earlier = earlier_versions(disk_, shop_, key.second);
  if (!earlier) return earlier.failure();
  Version version;
  for (const Settlement& one : received_.settlements) {
    if (one.key != key || one.after != hash) continue;
    // Decided for by a person, whoever wrote it.
    version = {hash, bytes, *earlier};
    version.ancestry.insert(one.settled.begin(), one.settled.end());
    return std::optional<Version>(std::move(version));
  }
  if (made != nullptr && made->own.empty()) return std::optional<Version>();
  const std::string* written = made == nullptr     ? nullptr
                               : made->own == hash ? &bytes
                                                   : versions_.find(key, made->own);
  if (written != nullptr) {
    version = {made->own, *written, made->own_ancestry};
    return std::optional<Version>(std::move(version));
  }
  version = {hash, bytes, std::move(*earlier)};
  // What was undone is no ancestor: it may be accepted anew.
  for (const std::string& one : undone) {
    if (standing.count(one) == 0) version.ancestry.erase(one);
  }
  return std::optional<Version>(std::move(version));
}

// The id of another text here that some disk would take for this one; empty when there is none.
std::string Planner::other_spelling(const TextKey& key) const {
  const auto found = spellings_.find({key.first, collision_key(key.second)});
  return found == spellings_.end() || found->second == key.second ? std::string() : found->second;
}

Result<Planner::Plan> Planner::plan(const TextKey& key, const PackText* coming) {
  Plan plan;
  plan.write.key = key;
  const auto blocked = [&](std::string why) {
    plan.change = Change::blocked;
    plan.why = std::move(why);
    return plan;
  };
  const auto here = texts_.by_id.find(key);
  if (here != texts_.by_id.end() && here->second.size() > 1) {
    return blocked(fmt::format("{} and {} here have this id: give one of them another",
                               here->second[0].path, here->second[1].path));
  }
  if (const std::string other = other_spelling(key); !other.empty())
    return blocked(
        fmt::format("a text here has the id {}, which some disks take for the same", other));
  std::optional<Version> written;
  if (here != texts_.by_id.end()) {
    plan.write.path = here->second.front().path;
    auto bytes = shop::read_text(disk_, shop_, plan.write.path);
    if (!bytes) return bytes.failure();
    plan.before = std::move(*bytes);
    plan.write.before = files::hash_hex(plan.before);
    auto found = own(key, plan.write.before, plan.before);
    if (!found) return found.failure();
    written = std::move(*found);
  } else if (coming != nullptr) {
    // A folder for each id: names never meet, and pictures lie beside the text.
    plan.write.path = fmt::format("{}/received/{}/{}", key.first == Kind::part ? "parts" : "tips",
                                  key.second, files::name_of(coming->path));
    const auto there = disk_.status(files::join(shop_, plan.write.path));
    if (!there && there.failure().kind != Failure::Kind::missing) return there.failure();
    if (there) return blocked(fmt::format("{} is there and is another text", plan.write.path));
  }
  const FindBytes find = [&](const std::string& hash) {
    // No pack has to be opened for what stands there.
    return hash == plan.write.before && !hash.empty() ? &plan.before : versions_.find(key, hash);
  };
  std::string missing;
  std::vector<Version> versions = accepted(key, find, missing);
  if (versions_.failure()) return *versions_.failure();
  // Without it the text would come out as if nobody had ever accepted it.
  if (!missing.empty()) {
    return blocked(fmt::format(
        "a version of it that was accepted is not here: bring back received/{}", missing));
  }
  if (coming != nullptr) versions.push_back({coming->hash, coming->bytes, coming->ancestry});
  Standing standing = stand(written, versions, find);
  if (versions_.failure()) return *versions_.failure();
  if (written) {
    plan.write.own = written->hash;
    plan.write.own_ancestry = written->ancestry;
  }
  plan.write.after = standing.hash;
  plan.write.taken = std::move(standing.taken);
  plan.write.open = std::move(standing.open);
  plan.after = std::move(standing.bytes);
  const bool of_a_pack = std::any_of(versions.begin(), versions.end(), [&](const Version& one) {
    return one.hash == plan.write.after;
  });
  if (standing.there && !of_a_pack) plan.write.bytes = plan.after;
  if (coming == nullptr) return plan;

  const auto& open = plan.write.open;
  if (std::find(open.begin(), open.end(), coming->hash) != open.end()) {
    plan.change = Change::conflict;
    // For people: what both were made from, if it is known.
    std::size_t least = SIZE_MAX;
    for (const std::string& hash : coming->ancestry) {
      const bool both =
          plan.write.taken.count(hash) > 0 || (written && written->ancestry.count(hash) > 0);
      const std::string* bytes = both ? versions_.find(key, hash) : nullptr;
      if (bytes == nullptr) continue;
      const std::size_t apart = differences(*bytes, coming->bytes).size();
      if (apart < least) plan.base = bytes;
      least = std::min(least, apart);
    }
  } else if (plan.write.before.empty()) {
    plan.change = Change::fresh;
  } else if (plan.write.before == plan.write.after) {
    plan.change = Change::same;
  } else {
    plan.change = plan.write.after == coming->hash ? Change::replaced : Change::merged;
  }
  return plan;
}

PhotoPlan::PhotoPlan(files::Disk& disk, std::string shop_folder, const Pack& pack)
    : disk_(disk), shop_(std::move(shop_folder)) {
  for (const PackPhoto& photo : pack.photos) photos_.emplace(photo.path, &photo);
}

// As the sender's shop finds it: beside the text, then in photos/.
const PackPhoto* PhotoPlan::find(const PackText& text, std::string_view name) const {
  for (const std::string& folder : {files::folder_of(text.path), std::string("photos")}) {
    const auto found = photos_.find(resolved(folder, name));
    if (found != photos_.end()) return found->second;
  }
  return nullptr;
}

// Whether the shop's picture at `path` is this one: as its file is, or as it leaves in a pack,
// without what the file tells beside the picture. Each is read once, however many texts show it.
bool PhotoPlan::is_there(const std::string& path, const PackPhoto& photo) {
  const std::string full = files::join(shop_, path);
  const auto status = disk_.status(full);
  if (!status || status->size + shop::kMostAdded < photo.size) return false;
  const auto [at, fresh] = sums_.try_emplace(path);
  std::array<std::string, 2>& sums = at->second;
  if (fresh) {
    if (const auto bytes = disk_.read(full, kPhotoInPack)) {
      sums[0] = sha512_hex(*bytes);
      const shop::PictureFile file = shop::read_picture_file(*bytes);
      sums[1] = file.tells_more ? sha512_hex(file.plain) : sums[0];
    }
  }
  return sums[0] == photo.sha512 || sums[1] == photo.sha512;
}

std::vector<PhotoWrite> PhotoPlan::writes(const PackText& text, const std::string& path,
                                          std::vector<Failure>& left) {
  std::vector<PhotoWrite> writes;
  std::set<std::string> seen;
  for (const shop::Picture& picture : pictures_of(text, path)) {
    if (!seen.insert(picture.file).second) continue;
    const bool many = seen.size() > kShownByText;
    const PackPhoto* photo = many ? nullptr : find(text, picture.file);
    if (!many && photo == nullptr) continue;
    if (many || ++shown_ > kShown) {
      left.push_back({Failure::Kind::too_large, path, "shows more pictures than can be taken",
                      "look at them in the pack's folder below received/"});
      break;
    }
    const std::string known = shop::picture_path(disk_, shop_, path, picture.file);
    if (!known.empty() && is_there(known, *photo)) continue;
    const std::string to = resolved(files::folder_of(path), picture.file);
    if (planned_.count(to) > 0) continue;
    const auto taken = disk_.status(files::join(shop_, to));
    if (to.empty() || !name_fault(to).empty() || !is_photo_path(to) || taken) {
      left.push_back({Failure::Kind::exists, to.empty() ? picture.file : to,
                      "is another picture here, and stays",
                      "look at both in the pack's folder below received/"});
      continue;
    }
    if (bytes_ + photo->size > kBytes) {
      left.push_back({Failure::Kind::too_large, to,
                      "is left out: the texts show more than 2 GiB of pictures",
                      "look at it in the pack's folder below received/"});
      continue;
    }
    bytes_ += photo->size;
    planned_.insert(to);
    writes.push_back({text.key(), photo->path, to, photo->sha512, false});
  }
  return writes;
}

Result<Preview> preview(files::Disk& disk, const std::string& shop_folder, const Pack& pack) {
  const auto received = read_received(disk, shop_folder);
  if (!received) return received.failure();
  Planner planner(disk, shop_folder, *received);
  if (auto done = planner.read_shop(); !done) return done.failure();
  planner.versions().add(pack);
  PhotoPlan pictures(disk, shop_folder, pack);
  // Nobody reads more, and rubbish has a finding in every line.
  std::size_t room = kFindingsShown;
  Preview preview;
  std::set<std::string> photos;
  for (const PackText& text : pack.texts) {
    auto plan = planner.plan(text.key(), &text);
    if (!plan) return plan.failure();
    PreviewItem item;
    item.key = text.key();
    item.title = text.title;
    item.path = plan->write.path;
    item.change = plan->change;
    item.why = plan->why;
    if (item.change == Change::conflict) {
      item.differences = differences(plan->before, text.bytes);
      if (plan->base != nullptr)
        item.conflicts = merge_texts(*plan->base, plan->before, text.bytes).conflicts;
    } else if (item.change == Change::replaced || item.change == Change::merged) {
      item.differences = differences(plan->before, plan->after);
    }
    if (item.change != Change::same) {
      const bool theirs = item.change == Change::conflict || item.change == Change::blocked;
      item.findings = findings_of(text, theirs ? text.bytes : plan->after, text.path);
      if (item.findings.size() > room) item.findings.resize(room);
      room -= item.findings.size();
    }
    if (item.change != Change::blocked && item.change != Change::conflict) {
      std::vector<Failure> left;
      for (const PhotoWrite& photo : pictures.writes(text, plan->write.path, left))
        photos.insert(photo.from);
    }
    preview.items.push_back(std::move(item));
  }
  preview.photos.assign(photos.begin(), photos.end());
  preview.counts = pack.counts.size();
  for (const LocationCounts& counts : latest_counts(*received)) {
    if (counts.location == pack.signature.location) preview.counts_replace = counts.sealed;
  }
  return preview;
}

std::vector<LocationCounts> latest_counts(const Received& received) {
  std::map<std::string, LocationCounts> latest;
  for (const ReceivedPack& pack : received.packs) {
    const Decision& last = pack.last();
    if (!last.accepted || last.counts.empty()) continue;
    LocationCounts& counts = latest[last.location];
    if (std::pair(counts.sealed, counts.folder) < std::pair(last.sealed, pack.folder))
      counts = {last.location, last.sealed, pack.folder, last.counts};
  }
  std::vector<LocationCounts> all;
  for (const auto& [location, counts] : latest) all.push_back(counts);
  return all;
}

std::map<TextKey, std::vector<Origin>> origins(const Received& received) {
  std::map<TextKey, std::vector<Origin>> found;
  for (const ReceivedPack& pack : received.packs) {
    const Decision& last = pack.last();
    if (!last.accepted) continue;
    for (const AcceptedText& text : last.texts)
      found[text.key].push_back({last.location, last.name, last.when, last.who});
  }
  for (auto& [key, all] : found) {
    std::sort(all.begin(), all.end(),
              [](const Origin& a, const Origin& b) { return a.when < b.when; });
  }
  return found;
}

}  // namespace baylore::pack
