#include "viewer/services/pack_desk.h"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <utility>

#include "files/names.h"
#include "files/save.h"
#include "pack/keys.h"
#include "pack/received.h"
#include "search/search.h"
#include "shop/shop.h"
#include "store/store.h"
#include "viewer/services/memory.h"
#include "viewer/services/sticks.h"
#include "viewer/services/worker.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

using files::Failure;
using files::Result;

constexpr std::string_view kPackEnd = ".bag.zip";
constexpr auto kTellEvery = std::chrono::milliseconds(100);
constexpr int kMostFound = 20000;  // tips that words can choose
constexpr int kMostADay = 99;
constexpr int kAllTips = 1'000'000;

int urgency(pack::Change change) {
  switch (change) {
    case pack::Change::conflict:
      return 0;
    case pack::Change::blocked:
      return 1;
    case pack::Change::merged:
      return 2;
    case pack::Change::replaced:
      return 3;
    case pack::Change::fresh:
      return 4;
    case pack::Change::same:
      break;
  }
  return 5;
}

TakenPack taken_of(const pack::ReceivedPack& received) {
  const pack::Decision& last = received.last();
  TakenPack taken;
  taken.folder = received.folder;
  taken.name = last.name;
  taken.location = last.location;
  taken.sealed = last.sealed;
  taken.when = last.when;
  taken.who = last.who;
  taken.there = last.accepted;
  taken.counts = !last.counts.empty();
  taken.newly_trusted = std::any_of(received.decisions.begin(), received.decisions.end(),
                                    [](const pack::Decision& one) { return one.newly_trusted; });
  taken.photos = last.photos.size();
  for (const pack::AcceptedText& text : last.texts) taken.texts.push_back({text.key, text.title});
  return taken;
}

}  // namespace

struct PackDesk::Inside {
  explicit Inside(PackDeskOptions o) : options(std::move(o)), disk(*options.disk) {}

  // Tells how far it is, no oftener than is read.
  pack::Progress progress() {
    return [this, told = std::chrono::steady_clock::time_point()](std::uint64_t done,
                                                                  std::uint64_t all) mutable {
      const auto now = std::chrono::steady_clock::now();
      if (now - told >= kTellEvery) {
        told = now;
        options.emit(PackWorking{done, all});
      }
      return !given_up;
    };
  }

  [[nodiscard]] std::vector<PackPlace> places() const {
    std::vector<PackPlace> found;
    for (const std::string& folder : options.places)
      found.push_back({folder, files::name_of(folder), true});
    if (const auto mounts = disk.read(options.mounts, files::kTextLimit)) {
      for (const Mount& mount : mounted_folders(*mounts))
        found.push_back({mount.folder, files::name_of(mount.folder), mount.writable});
    }
    found.push_back({own_place(), tr("this terminal"), true});
    return found;
  }
  [[nodiscard]] std::string own_place() const { return files::join(options.state_folder, "packs"); }

  // Packs lie in the place itself or in its folder packs/; deeper is not looked, a stick may hold
  // anything.
  void find_packs(PackShelf& shelf) const {
    for (const PackPlace& place : shelf.places) {
      for (const std::string& folder : {place.folder, files::join(place.folder, "packs")}) {
        const auto listed = disk.list_here(folder);
        if (!listed) continue;
        for (const files::Listed& file : *listed) {
          if (file.status.folder || !file.path.ends_with(kPackEnd)) continue;
          shelf.found.push_back({files::join(folder, file.path),
                                 file.path.substr(0, file.path.size() - kPackEnd.size()),
                                 place.label, file.status.size});
        }
      }
    }
  }

  // What waits for a lead: versions from packs, then copies.
  void find_open(PackShelf& shelf) const {
    auto conflicts = pack::open_conflicts(disk, options.shop);
    if (!conflicts) {
      shelf.trouble.push_back(conflicts.failure().text());
    } else {
      for (pack::OpenConflict& conflict : *conflicts) {
        auto ours = shop::read_text(disk, options.shop, conflict.path);
        if (!ours) continue;  // gone since
        OpenText open;
        open.title = pack::written_title(*ours);
        open.from = location_words(conflict.location);
        open.note = say("ours, and that of {0}", open.from);
        open.ours = open.start = std::move(*ours);
        open.theirs = conflict.theirs;
        open.conflict = std::move(conflict);
        shelf.open.push_back(std::move(open));
      }
    }
    auto copies = pack::find_copies(disk, options.shop);
    if (!copies) {
      shelf.trouble.push_back(copies.failure().text());
      return;
    }
    for (pack::Copy& copy : *copies) {
      OpenText open;
      open.title = copy.title;
      open.from = tr("Other file");
      open.note = copy.alone ? say("one name, two texts: {0}", copy.copy)
                             : say("two files: {0}", copy.copy);
      open.ours = copy.ours;
      open.start = copy.merged.text.empty() ? copy.ours : copy.merged.text;
      open.theirs = copy.theirs;
      open.copy = std::move(copy);
      shelf.open.push_back(std::move(open));
    }
  }

  void look() {
    auto shelf = std::make_shared<PackShelf>();
    shelf->places = places();
    find_packs(*shelf);
    if (const auto finished = pack::finish_received(disk, options.shop); !finished) {
      shelf->trouble.push_back(finished.failure().text());
    } else {
      for (const Failure& left : *finished) shelf->trouble.push_back(left.text());
    }
    if (const auto received = pack::read_received(disk, options.shop); !received) {
      shelf->trouble.push_back(received.failure().text());
    } else {
      for (const pack::ReceivedPack& one : received->packs) shelf->taken.push_back(taken_of(one));
      for (const Failure& damaged : received->damaged) shelf->trouble.push_back(damaged.text());
    }
    std::sort(shelf->taken.begin(), shelf->taken.end(), [](const TakenPack& a, const TakenPack& b) {
      return std::tie(b.when, a.folder) < std::tie(a.when, b.folder);
    });
    find_open(*shelf);
    options.emit(PacksSeen{std::move(shelf)});
  }

  [[nodiscard]] Result<pack::TrustedKeys> trusted() const {
    return pack::read_trusted(disk, options.shop);
  }

  void open(const std::string& path) {
    auto opened = std::make_shared<OpenedPack>();
    opened->path = path;
    opened->failure = read(path, *opened);
    give_back_memory();
    options.emit(PackOpened{std::move(opened)});
  }

  std::optional<Failure> read(const std::string& path, OpenedPack& into) {
    const auto keys = trusted();
    if (!keys) return keys.failure();
    auto read = pack::open_pack(disk, path, *keys, progress());
    if (!read) return read.failure();
    into.pack = std::move(*read);
    if (!into.pack->reasons.empty()) return std::nullopt;
    if (const auto finished = pack::finish_received(disk, options.shop); !finished)
      return finished.failure();
    auto preview = pack::preview(disk, options.shop, *into.pack);
    if (!preview) return preview.failure();
    into.preview = std::move(*preview);
    // What has to be decided comes first, what is here already last.
    std::stable_sort(into.preview.items.begin(), into.preview.items.end(),
                     [](const pack::PreviewItem& a, const pack::PreviewItem& b) {
                       return urgency(a.change) < urgency(b.change);
                     });
    return std::nullopt;
  }

  void done(PackDone::What what, std::optional<Failure> failure, pack::Outcome outcome = {}) {
    const bool changed = !failure;
    options.emit(PackDone{what, std::move(failure), std::move(outcome), {}, 0});
    if (changed) options.changed();
    look();
    give_back_memory();
  }

  void accept(const OpenedPack& opened, const pack::Accepting& how) {
    auto outcome = pack::accept(disk, options.shop, opened.path, *opened.pack, how, progress());
    done(PackDone::What::taken_in,
         outcome ? std::nullopt : std::optional<Failure>(outcome.failure()),
         outcome ? std::move(*outcome) : pack::Outcome{});
  }

  void undo(const std::string& folder, const std::string& who) {
    auto outcome = pack::undo(disk, options.shop, folder, who, files::now_text());
    done(PackDone::What::taken_out,
         outcome ? std::nullopt : std::optional<Failure>(outcome.failure()),
         outcome ? std::move(*outcome) : pack::Outcome{});
  }

  void settle(const Settling& settling) {
    const OpenText& text = settling.text;
    const std::string after =
        text.alone() ? text.theirs : pack::combine(text.start, text.theirs, settling.taken);
    const auto settled =
        text.copy ? pack::settle_copy(disk, options.shop, *text.copy, after)
                  : pack::settle(disk, options.shop, text.conflict->key, text.ours, after);
    done(PackDone::What::settled, settled ? std::nullopt : std::optional(settled.failure()));
  }

  // --- sealing

  // With words, the tips that a search for them finds.
  [[nodiscard]] Result<pack::SealPlan> plan_of(const SealWish& wish, SealOffer* lists) const {
    pack::Choice choice = wish.choice;
    const auto store = store::Store::open(store::locate(options.shop, options.store_folder));
    if (store && lists != nullptr) {
      std::set<std::string> systems;
      std::set<std::string> authors;
      for (const store::TipRow& row : store->newest(kAllTips)) {
        if (!row.system.empty()) systems.insert(row.system);
        if (!row.author.empty()) authors.insert(row.author);
      }
      lists->systems.assign(systems.begin(), systems.end());
      lists->authors.assign(authors.begin(), authors.end());
    }
    if (!wish.words.empty()) {
      if (!store) return store.failure();
      search::Query query;
      query.line = wish.words;
      query.limit = kMostFound;
      query.last_is_prefix = false;
      query.only_ids = true;
      for (const search::Hit& hit : search::search(*store, query).hits)
        choice.ids.push_back(hit.tip.id);
      if (choice.ids.empty()) return pack::SealPlan{};
    }
    return pack::plan_seal(disk, options.shop, choice);
  }

  void plan(const SealWish& wish) {
    auto offer = std::make_shared<SealOffer>();
    auto planned = plan_of(wish, offer.get());
    if (planned) {
      offer->plan = std::move(*planned);
    } else {
      offer->failure = planned.failure();
    }
    options.emit(SealPlanned{std::move(offer)});
  }

  void seal(const SealWish& wish, const std::vector<std::string>& ids, const std::string& folder) {
    PackDone event;
    event.what = PackDone::What::sealed;
    event.failure = seal_into(wish, ids, folder, event);
    options.emit(std::move(event));
    look();
  }

  std::optional<Failure> seal_into(const SealWish& wish, const std::vector<std::string>& ids,
                                   const std::string& folder, PackDone& event) {
    pack::Choice choice;
    choice.ids = ids;
    choice.parts = wish.choice.parts;
    choice.photos = wish.choice.photos;
    choice.counts = wish.choice.counts;
    const auto settings = shop::read_settings(disk, options.shop);
    if (!settings) return settings.failure();
    const auto plan = pack::plan_seal(disk, options.shop, choice);
    if (!plan) return plan.failure();
    const auto own = pack::own_key(disk, pack::secret_key_path(options.shop));
    if (!own) return own.failure();
    if (folder == own_place()) {
      if (auto made = files::make_folders(disk, folder); !made) return made.failure();
    }
    const std::string slug = shop::slug_of(settings->name).substr(0, 40);
    pack::SealOptions how{{}, files::now_text().substr(0, 10), settings->name};
    const std::string name = (slug.empty() ? "pack" : slug) + "-" + how.date;
    // The second one of a day has its number in its name.
    for (int number = 1;; ++number) {
      how.name = number == 1 ? name : name + "-" + std::to_string(number);
      const auto sealed = pack::seal(disk, options.shop, *plan, how, own->key, folder, progress());
      if (sealed) {
        event.path = sealed->path;
        event.bytes = sealed->bytes;
        return std::nullopt;
      }
      if (sealed.failure().kind != Failure::Kind::exists || number == kMostADay)
        return sealed.failure();
    }
  }

  void show_key() const {
    OwnKey shown;
    const auto own = pack::own_key(disk, pack::secret_key_path(options.shop));
    if (own) {
      shown.id = pack::key_id_text(own->key.public_key().id);
      shown.line = own->key.public_key().line();
      shown.made = own->made;
    } else {
      shown.failure = own.failure().text();
    }
    options.emit(KeyShown{std::move(shown)});
  }

  PackDeskOptions options;
  files::Disk& disk;
  std::atomic<bool> given_up{false};
  Worker worker;
};

PackDesk::PackDesk(PackDeskOptions options)
    : inside_(std::make_unique<Inside>(std::move(options))) {}

PackDesk::~PackDesk() {
  inside_->given_up = true;
  inside_->worker.clear();
  inside_->worker.end();
}

void PackDesk::look() {
  inside_->worker.post([in = inside_.get()] { in->look(); }, "look");
}

void PackDesk::add_place(std::string folder) {
  inside_->worker.post(
      [in = inside_.get(), folder = std::move(folder)] { in->options.places.push_back(folder); });
}

void PackDesk::open(std::string path) {
  inside_->given_up = false;
  inside_->worker.post([in = inside_.get(), path = std::move(path)] { in->open(path); }, "open");
}

void PackDesk::accept(std::shared_ptr<const OpenedPack> opened, pack::Accepting how) {
  inside_->given_up = false;
  inside_->worker.post([in = inside_.get(), opened = std::move(opened), how = std::move(how)] {
    in->accept(*opened, how);
  });
}

void PackDesk::undo(std::string folder, std::string who) {
  inside_->worker.post([in = inside_.get(), folder = std::move(folder), who = std::move(who)] {
    in->undo(folder, who);
  });
}

void PackDesk::plan(SealWish wish) {
  inside_->worker.post([in = inside_.get(), wish = std::move(wish)] { in->plan(wish); }, "plan");
}

void PackDesk::seal(SealWish wish, std::vector<std::string> ids, std::string folder) {
  inside_->given_up = false;
  inside_->worker.post([in = inside_.get(), wish = std::move(wish), ids = std::move(ids),
                        folder = std::move(folder)] { in->seal(wish, ids, folder); });
}

void PackDesk::settle(Settling settling) {
  inside_->worker.post(
      [in = inside_.get(), settling = std::move(settling)] { in->settle(settling); });
}

void PackDesk::show_key() {
  inside_->worker.post([in = inside_.get()] { in->show_key(); }, "key");
}

void PackDesk::stop() { inside_->given_up = true; }

bool PackDesk::quiet() const { return inside_->worker.quiet(); }

}  // namespace baylore::viewer
