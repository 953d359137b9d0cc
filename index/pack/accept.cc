#include "pack/accept.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

#include "files/names.h"
#include "files/save.h"
#include "pack/digest.h"
#include "pack/preview.h"
#include "shop/shop.h"

namespace baylore::pack {
namespace {

using files::Failure;
using files::Result;

Failure given_up() {
  return {Failure::Kind::other, {}, "was given up", "start again when there is time"};
}

// Copies a file too large to hold, flushed, over what may lie there.
Result<void> copy(files::Disk& disk, const std::string& from, const std::string& to,
                  const std::function<bool(std::uint64_t)>& go_on) {
  const std::string folder = files::folder_of(to);
  if (auto made = files::make_folders(disk, folder); !made) return made.failure();
  const std::string temporary = files::join(folder, ".new-" + files::new_id());
  auto output = disk.create(temporary);
  if (!output) return output.failure();
  constexpr std::size_t kPiece = std::size_t{1} << 20U;
  Result<void> done;
  for (std::uint64_t at = 0; done;) {
    const auto piece = disk.read_part(from, at, kPiece);
    if (!piece) {
      done = piece.failure();
      break;
    }
    if (piece->empty()) break;
    done = (*output)->write(*piece);
    at += piece->size();
    if (done && !go_on(piece->size())) done = given_up();
  }
  if (done) done = (*output)->sync();
  const auto closed = (*output)->close();
  if (done) done = closed;
  if (done) done = disk.rename(temporary, to);
  if (!done) {
    static_cast<void>(disk.remove(temporary));
    return done;
  }
  return disk.sync_folder(folder);
}

// Carries out one decision. Every step looks first whether it has been done, so that it can be
// begun again at any point, by any terminal.
class Writer {
 public:
  Writer(files::Disk& disk, const std::string& shop_folder, const std::string& folder,
         const Decision& decision, VersionStore& versions)
      : disk_(disk),
        shop_(shop_folder),
        folder_(folder),
        decision_(decision),
        versions_(versions) {}

  Result<void> write(const std::function<bool(std::uint64_t)>& go_on) {
    if (decision_.newly_trusted) {
      const auto key = read_public_key(decision_.key);
      if (key) {
        auto done = trust(disk_, shop_, decision_.location, *key);
        // Somebody else decided otherwise meanwhile: that is for people, and no reason to stop.
        if (!done && done.failure().kind == Failure::Kind::exists) {
          left.push_back(done.failure());
          done = {};
        }
        if (!done) return done;
      }
    }
    for (const TextWrite& one : decision_.writes) {
      if (auto done = write_text(one); !done) return done;
      static_cast<void>(go_on(1));
    }
    if (auto done = write_photos(go_on); !done) return done;
    for (const PhotoWrite& one : decision_.photos) {
      if (!one.remove) continue;
      if (auto done = remove_photo(one); !done) return done;
    }
    // Files come in any order from another terminal: what waits for the pack, or for a file that
    // we may not touch, is not done yet.
    if (waits_) return {};
    const auto done =
        files::write_once(disk_, files::join(shop_, done_path(folder_, decision_.number)), "");
    if (!done) return done.failure();
    return {};
  }

  std::vector<Failure> left;

 private:
  void wait_for_pack(const std::string& path) {
    leave(path, "waits for its pack, which is not here or not whole",
          fmt::format("bring back {}, or accept the pack again", pack_path(folder_)));
    waits_ = true;
  }
  // The disk may let us another time, and until then nobody else is kept from anything.
  void later(const Failure& failure) {
    left.push_back(failure);
    waits_ = true;
  }
  void leave(const std::string& path, std::string what, std::string remedy) {
    left.push_back({Failure::Kind::exists, path, std::move(what), std::move(remedy)});
  }

  // What was done before, by somebody who may have been stopped before it was flushed.
  Result<void> flushed(const std::string& path) {
    auto done = disk_.sync_folder(files::folder_of(files::join(shop_, path)));
    if (!done && done.failure().kind == Failure::Kind::missing) return {};
    return done;
  }

  Result<void> write_text(const TextWrite& one) {
    if (auto kept = keep_taken(one); !kept) return kept;
    if (one.before == one.after) return {};
    if (shop::kind_of(one.path) == shop::Kind::other) {
      leave(one.path, "is no place for a text of the shop", "accept its pack again");
      return {};
    }
    if (const auto safe = shop::check_path(disk_, shop_, one.path); !safe) {
      left.push_back(safe.failure());
      return {};
    }
    const auto now = shop::read_text(disk_, shop_, one.path);
    if (!now && now.failure().kind == Failure::Kind::denied) {
      later(now.failure());
      return {};
    }
    if (!now && now.failure().kind != Failure::Kind::missing) return now.failure();
    const std::string hash = now ? files::hash_hex(*now) : std::string();
    if (hash == one.after) return flushed(one.path);  // done before
    if (hash != one.before) {
      leave(one.path, "was changed meanwhile, and stays as it is", "preview the pack again");
      return {};
    }
    if (one.after.empty()) return remove_text(one, *now);
    const std::string* after = one.bytes ? &*one.bytes : versions_.find(one.key, one.after);
    if (versions_.failure()) return *versions_.failure();
    if (after == nullptr || files::hash_hex(*after) != one.after) {
      wait_for_pack(one.path);
      return {};
    }
    auto saved = shop::save_tip(disk_, shop_, one.path, now ? *now : std::string(), *after);
    if (!saved && saved.failure().kind == Failure::Kind::exists) {
      left.push_back(saved.failure());
      return {};
    }
    if (!saved && saved.failure().kind == Failure::Kind::denied) {
      later(saved.failure());
      return {};
    }
    return saved;
  }

  // The versions that are part of what stands there now become earlier versions: whatever is
  // edited from here on was made from them.
  Result<void> keep_taken(const TextWrite& one) {
    if (one.after.empty()) return {};
    for (const std::string& hash : one.taken) {
      if (hash == one.after) continue;
      const std::string* bytes = versions_.find(one.key, hash);
      if (bytes == nullptr) continue;
      const auto kept =
          files::write_once(disk_, files::join(shop_, history_path(one.key.second, hash)), *bytes);
      if (!kept) return kept.failure();
    }
    return {};
  }

  Result<void> remove_text(const TextWrite& one, const std::string& bytes) {
    const auto kept = files::write_once(
        disk_, files::join(shop_, history_path(one.key.second, one.before)), bytes);
    if (!kept) return kept.failure();
    const auto gone = files::remove_same(disk_, files::join(shop_, one.path), bytes);
    if (!gone && gone.failure().kind != Failure::Kind::missing) return gone.failure();
    if (gone && !*gone)
      leave(one.path, "was changed meanwhile, and stays as it is", "preview the pack again");
    return {};
  }

  Result<void> write_photos(const std::function<bool(std::uint64_t)>& go_on) {
    std::map<std::string, std::vector<const PhotoWrite*>> wanted;
    std::set<std::string> names;
    for (const PhotoWrite& one : decision_.photos) {
      if (one.remove) continue;
      if (disk_.status(files::join(shop_, one.path))) {  // done before
        if (auto done = flushed(one.path); !done) return done;
        continue;
      }
      if (const auto safe = shop::check_path(disk_, shop_, one.path); !safe) {
        left.push_back(safe.failure());
        continue;
      }
      wanted[one.from].push_back(&one);
      names.insert(one.from);
    }
    if (wanted.empty()) return {};
    const auto key = read_public_key(decision_.key);
    const std::string path = files::join(shop_, pack_path(folder_));
    TrustedKeys trusted;
    if (key) trusted.keys.push_back({"sender", {}, *key});
    const auto pack = open_pack(disk_, path, trusted);
    if (!pack && pack.failure().kind != Failure::Kind::missing) return pack.failure();
    if (!pack || pack->verdict() != "trusted") {
      wait_for_pack(decision_.photos.front().path);
      return {};
    }
    return read_photos(disk_, path, *pack, names,
                       [&](const PackPhoto& photo, std::string_view bytes) -> Result<void> {
                         for (const PhotoWrite* one : wanted[photo.path]) {
                           if (photo.sha512 != one->sha512) continue;
                           const auto written =
                               files::write_once(disk_, files::join(shop_, one->path), bytes);
                           if (!written) return written.failure();
                         }
                         static_cast<void>(go_on(bytes.size()));
                         return {};
                       });
  }

  Result<void> remove_photo(const PhotoWrite& one) {
    if (!shop::check_path(disk_, shop_, one.path)) return {};
    const std::string full = files::join(shop_, one.path);
    const auto bytes = disk_.read(full, kPhotoInPack);
    if (!bytes && bytes.failure().kind != Failure::Kind::missing &&
        bytes.failure().kind != Failure::Kind::too_large) {
      return bytes.failure();
    }
    if (!bytes) return flushed(one.path);             // gone
    if (sha512_hex(*bytes) != one.sha512) return {};  // another by now
    if (auto gone = disk_.remove(full); !gone) return gone;
    return disk_.sync_folder(files::folder_of(full));
  }

  files::Disk& disk_;
  const std::string& shop_;
  const std::string& folder_;
  const Decision& decision_;
  VersionStore& versions_;
  bool waits_ = false;
};

// Writes the decision and carries it out.
Result<std::vector<Failure>> decide(files::Disk& disk, const std::string& shop_folder,
                                    const std::string& folder, const Decision& decision,
                                    VersionStore& versions,
                                    const std::function<bool(std::uint64_t)>& go_on) {
  const std::string text = decision_text(decision);
  // One that nobody could read again would be in everybody's way.
  if (text.size() > kLargestDecision) {
    return Failure{Failure::Kind::too_large, decision.name, "is too much to decide at once",
                   "accept some of its texts, then the others"};
  }
  const auto written = files::write_once(
      disk, files::join(shop_folder, decision_path(folder, decision.number)), text);
  if (!written) return written.failure();
  if (!*written) {
    return Failure{Failure::Kind::exists, decision_path(folder, decision.number),
                   "was decided at another terminal meanwhile", "look again, then decide"};
  }
  Writer writer(disk, shop_folder, folder, decision, versions);
  if (auto done = writer.write(go_on); !done) return done.failure();
  return std::move(writer.left);
}

Failure refused(const Pack& pack, const Accepting& accepting) {
  const std::string_view verdict = pack.verdict();
  Failure failure{Failure::Kind::denied, pack.name, {}, {}};
  if (verdict == "altered") {
    failure.what = "was changed after it was signed";
    failure.remedy = "get it again from where it came";
  } else if (verdict == "refused") {
    failure.what = pack.reasons.front().text();
    failure.remedy = "get it again from where it came";
  } else if (verdict == "unsigned") {
    failure.what = "is signed by nobody, so it can be looked at and no more";
    failure.remedy = "ask for a signed one";
  } else if (verdict == "unknown" && !pack.signature.key) {
    failure.what = "is signed with a key that is not known here and did not come with it";
    failure.remedy = "ask the location for its key and put it into keys/trusted/";
  } else if (verdict == "unknown" && accepting.trust_as.empty()) {
    failure.what = "is signed with a key that is not trusted here";
    failure.remedy = "compare the key with the location, then say under which name to trust it";
  }
  return failure;
}

class Acceptor {
 public:
  Acceptor(files::Disk& disk, const std::string& shop_folder, const std::string& path,
           const Accepting& accepting, const Progress& progress)
      : disk_(disk), shop_(shop_folder), path_(path), accepting_(accepting), progress_(progress) {}

  Result<Outcome> accept(const Pack& seen) {
    if (auto finished = finish_received(disk_, shop_); !finished) return finished.failure();
    const auto size = disk_.status(path_);
    if (!size) return size.failure();
    // Read twice, copied once; then the pictures.
    all_ = size->size * 4 + 1;
    const auto trusted = read_trusted(disk_, shop_);
    if (!trusted) return trusted.failure();
    auto pack = open(path_, *trusted);
    if (!pack) return pack.failure();
    if (pack->folder() != seen.folder()) return another();
    if (const Failure why = refused(*pack, accepting_); !why.what.empty()) return why;
    auto location = location_of(*pack, *trusted);
    if (!location) return location.failure();
    auto received = read_received(disk_, shop_);
    if (!received) return received.failure();
    Planner planner(disk_, shop_, *received);
    if (auto done = planner.read_shop(); !done) return done.failure();
    planner.versions().add(*pack);
    start_decision(*pack, *location, *received);
    if (auto done = plan(*pack, planner); !done) return done.failure();
    if (decision_.texts.empty()) {
      return Failure{Failure::Kind::denied, pack->name, "has nothing that can be taken",
                     "look at the preview for why"};
    }
    const std::string copy_path = files::join(shop_, pack_path(pack->folder()));
    if (auto kept = keep(copy_path, *pack, *trusted); !kept) return kept.failure();
    auto left = decide(disk_, shop_, pack->folder(), decision_, planner.versions(),
                       [&](std::uint64_t more) { return go_on(more); });
    if (!left) return left.failure();
    outcome_.left.insert(outcome_.left.end(), left->begin(), left->end());
    outcome_.folder = pack->folder();
    return std::move(outcome_);
  }

 private:
  Failure another() const {
    return {Failure::Kind::damaged, path_, "is not the pack that was looked at",
            "preview it again"};
  }
  bool go_on(std::uint64_t more) {
    done_ = std::min(done_ + more, all_);
    return !progress_ || progress_(done_, all_);
  }
  Result<Pack> open(const std::string& path, const TrustedKeys& trusted) {
    const std::uint64_t before = done_;
    return open_pack(disk_, path, trusted, [&](std::uint64_t done, std::uint64_t) {
      done_ = before;
      return go_on(done);
    });
  }

  // Puts the pack where it stays, unless it lies there already and is whole. What is kept is what
  // was looked at: the file could have been exchanged under our hands.
  Result<void> keep(const std::string& to, const Pack& pack, const TrustedKeys& trusted) {
    const auto is_same = [&](const Result<Pack>& kept) {
      return kept && kept->folder() == pack.folder() && kept->reasons == pack.reasons;
    };
    if (disk_.status(to) && is_same(open(to, trusted))) return {};
    auto copied = copy(disk_, path_, to, [&](std::uint64_t more) { return go_on(more); });
    if (!copied) return copied;
    const auto kept = open(to, trusted);
    if (is_same(kept)) return {};
    static_cast<void>(disk_.remove(to));
    if (!kept) return kept.failure();
    return another();
  }

  Result<std::string> location_of(const Pack& pack, const TrustedKeys& trusted) const {
    if (pack.signature.signer == Signer::trusted) return pack.signature.location;
    if (const auto may = may_trust(trusted, accepting_.trust_as, *pack.signature.key); !may)
      return may.failure();
    return accepting_.trust_as;
  }

  void start_decision(const Pack& pack, const std::string& location, const Received& received) {
    decision_.accepted = true;
    decision_.number = 1;
    if (const ReceivedPack* before = received.find(pack.folder())) {
      decision_.number = before->last().number + 1;
      // A further choice of the same pack adds to the first.
      if (before->accepted()) decision_.texts = before->last().texts;
    }
    decision_.when = accepting_.when;
    decision_.who = accepting_.who;
    decision_.name = pack.name;
    decision_.location = location;
    decision_.key = pack.signature.key->line();
    decision_.sealed = pack.bag.value("Bagging-Date");
    decision_.newly_trusted = pack.signature.signer != Signer::trusted;
    decision_.counts = pack.counts;
  }

  Result<void> plan(const Pack& pack, Planner& planner) {
    PhotoPlan pictures(disk_, shop_, pack);
    std::set<TextKey> before;
    for (const AcceptedText& one : decision_.texts) before.insert(one.key);
    for (const PackText& text : pack.texts) {
      if (!accepting_.chosen.empty() && accepting_.chosen.count(text.key()) == 0) continue;
      auto plan = planner.plan(text.key(), &text);
      if (!plan) return plan.failure();
      if (plan->change == Change::blocked) {
        outcome_.left.push_back(
            {Failure::Kind::exists, text.path, plan->why, "settle that, then accept again"});
        continue;
      }
      if (before.count(text.key()) == 0)
        decision_.texts.push_back({text.key(), text.title, text.hash, text.ancestry});
      switch (plan->change) {
        case Change::fresh:
          ++outcome_.fresh;
          break;
        case Change::same:
          ++outcome_.same;
          break;
        case Change::conflict:
          ++outcome_.conflicts;
          break;
        default:
          ++outcome_.changed;
          break;
      }
      if (plan->change != Change::conflict) {
        for (PhotoWrite& photo : pictures.writes(text, plan->write.path, outcome_.left)) {
          ++outcome_.photos;
          decision_.photos.push_back(std::move(photo));
        }
      }
      decision_.writes.push_back(std::move(plan->write));
    }
    return {};
  }

  files::Disk& disk_;
  const std::string& shop_;
  const std::string& path_;
  const Accepting& accepting_;
  const Progress& progress_;
  Decision decision_;
  Outcome outcome_;
  std::uint64_t done_ = 0;
  std::uint64_t all_ = 1;
};

// The pictures that came with a text that goes again, unless another decision put them there too.
void take_photos_back(const Received& received, const ReceivedPack& pack, const TextKey& key,
                      std::vector<PhotoWrite>& into) {
  for (const Decision& decision : pack.decisions) {
    for (const PhotoWrite& photo : decision.photos) {
      if (photo.key != key || photo.remove) continue;
      const bool needed =
          std::any_of(received.packs.begin(), received.packs.end(), [&](const ReceivedPack& other) {
            if (&other == &pack || !other.accepted()) return false;
            const auto& photos = other.last().photos;
            return std::any_of(photos.begin(), photos.end(), [&](const PhotoWrite& one) {
              return one.path == photo.path && !one.remove;
            });
          });
      if (needed) continue;
      PhotoWrite back = photo;
      back.remove = true;
      into.push_back(std::move(back));
    }
  }
}

// The decision that holds for a pack with this version; nullptr when there is none.
const Decision* decision_with(const Received& received, const TextKey& key,
                              const std::string& hash) {
  for (const ReceivedPack& pack : received.packs) {
    if (!pack.accepted()) continue;
    for (const AcceptedText& text : pack.last().texts) {
      if (text.key == key && text.hash == hash) return &pack.last();
    }
  }
  return nullptr;
}

}  // namespace

Result<Outcome> accept(files::Disk& disk, const std::string& shop_folder, const std::string& path,
                       const Pack& seen, const Accepting& accepting, const Progress& progress) {
  return Acceptor(disk, shop_folder, path, accepting, progress).accept(seen);
}

Result<Outcome> undo(files::Disk& disk, const std::string& shop_folder, const std::string& folder,
                     const std::string& who, const std::string& when) {
  if (auto finished = finish_received(disk, shop_folder); !finished) return finished.failure();
  const auto received = read_received(disk, shop_folder);
  if (!received) return received.failure();
  const ReceivedPack* pack = received->find(folder);
  if (pack == nullptr || !pack->accepted()) {
    return Failure{Failure::Kind::missing, folder, "is no pack that has been accepted here",
                   "name its folder below received/"};
  }
  Planner planner(disk, shop_folder, *received, folder);
  if (auto done = planner.read_shop(); !done) return done.failure();
  Decision decision = pack->last();
  Outcome outcome;
  outcome.folder = folder;
  ++decision.number;
  decision.accepted = false;
  decision.who = who;
  decision.when = when;
  decision.newly_trusted = false;
  decision.writes.clear();
  decision.photos.clear();
  for (const AcceptedText& text : decision.texts) {
    auto plan = planner.plan(text.key, nullptr);
    if (!plan) return plan.failure();
    TextWrite& write = plan->write;
    if (plan->change == Change::blocked || write.path.empty()) {
      if (!plan->why.empty())
        outcome.left.push_back({Failure::Kind::exists, text.key.second, plan->why, {}});
      continue;
    }
    if (write.after.empty()) {
      ++outcome.removed;
      take_photos_back(*received, *pack, text.key, decision.photos);
    } else if (write.before != write.after) {
      ++outcome.changed;
    } else {
      ++outcome.same;
    }
    decision.writes.push_back(std::move(write));
  }
  auto left = decide(disk, shop_folder, folder, decision, planner.versions(),
                     [](std::uint64_t) { return true; });
  if (!left) return left.failure();
  outcome.photos = static_cast<int>(decision.photos.size());
  outcome.left.insert(outcome.left.end(), left->begin(), left->end());
  return outcome;
}

Result<std::vector<Failure>> finish_received(files::Disk& disk, const std::string& shop_folder) {
  const auto received = read_received(disk, shop_folder);
  if (!received) return received.failure();
  std::vector<Failure> left;
  for (const ReceivedPack& pack : received->packs) {
    if (pack.done) continue;
    VersionStore versions(disk, shop_folder, *received);
    Writer writer(disk, shop_folder, pack.folder, pack.last(), versions);
    if (auto done = writer.write([](std::uint64_t) { return true; }); !done) return done.failure();
    left.insert(left.end(), writer.left.begin(), writer.left.end());
  }
  return left;
}

// A decision that met a conflict says so; whether it still is one is worked out anew.
Result<std::vector<OpenConflict>> open_conflicts(files::Disk& disk,
                                                 const std::string& shop_folder) {
  const auto received = read_received(disk, shop_folder);
  if (!received) return received.failure();
  std::set<TextKey> keys;
  for (const ReceivedPack& pack : received->packs) {
    for (const Decision& decision : pack.decisions) {
      for (const TextWrite& write : decision.writes) {
        if (!write.open.empty()) keys.insert(write.key);
      }
    }
  }
  std::vector<OpenConflict> found;
  if (keys.empty()) return found;
  Planner planner(disk, shop_folder, *received);
  if (auto done = planner.read_shop(); !done) return done.failure();
  for (const TextKey& key : keys) {
    const auto plan = planner.plan(key, nullptr);
    if (!plan) return plan.failure();
    for (const std::string& hash : plan->write.open) {
      const std::string* bytes = planner.versions().find(key, hash);
      const Decision* from = decision_with(*received, key, hash);
      if (bytes == nullptr || from == nullptr || plan->write.path.empty()) continue;
      found.push_back({key, plan->write.path, hash, *bytes, from->location, from->name});
    }
  }
  return found;
}

Result<void> settle(files::Disk& disk, const std::string& shop_folder, const TextKey& key,
                    const std::string& before, const std::string& after) {
  const auto conflicts = open_conflicts(disk, shop_folder);
  if (!conflicts) return conflicts.failure();
  std::string path;
  for (const OpenConflict& one : *conflicts) {
    if (one.key == key) path = one.path;
  }
  if (path.empty()) {
    return Failure{Failure::Kind::missing, key.second, "has no version kept beside it",
                   "edit it as usual"};
  }
  // Saved first: whoever changed it meanwhile has to be heard before theirs counts as settled.
  if (auto saved = shop::save_tip(disk, shop_folder, path, before, after); !saved) return saved;
  Settlement settlement{key, files::hash_hex(after), {}};
  for (const OpenConflict& one : *conflicts) {
    if (one.key != key) continue;
    const auto kept = files::write_once(
        disk, files::join(shop_folder, history_path(key.second, one.hash)), one.theirs);
    if (!kept) return kept.failure();
    settlement.settled.insert(one.hash);
  }
  return files::replace(disk, files::join(shop_folder, new_settlement_path()),
                        settlement_text(settlement));
}

}  // namespace baylore::pack
