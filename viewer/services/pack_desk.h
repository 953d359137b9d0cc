// The part of the desk that looks at packs, takes them in and out, and seals them. One thread of
// its own: a pack may take a minute, and nothing else waits for it.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <variant>
#include <vector>

#include "files/disk.h"
#include "viewer/state/packs.h"

namespace baylore::viewer {

// --- what comes back

struct PacksSeen {
  std::shared_ptr<const PackShelf> shelf;
};
struct PackWorking {
  std::uint64_t done = 0;
  std::uint64_t all = 0;
};
struct PackOpened {
  std::shared_ptr<const OpenedPack> opened;
};
struct SealPlanned {
  std::shared_ptr<const SealOffer> offer;
};
// Something was taken in, taken out, sealed or settled, or could not be.
struct PackDone {
  enum class What { taken_in, taken_out, sealed, settled } what = What::taken_in;
  std::optional<files::Failure> failure;
  pack::Outcome outcome;  // of taking in or out
  std::string path;       // of what was sealed
  std::uint64_t bytes = 0;
};
struct KeyShown {
  OwnKey key;
};
using PackEvent = std::variant<PacksSeen, PackWorking, PackOpened, SealPlanned, PackDone, KeyShown>;

struct PackDeskOptions {
  std::string shop;
  std::string store_folder;
  std::string state_folder;         // its packs/ is always a place to write to
  std::vector<std::string> places;  // further folders, besides what is mounted
  std::string mounts;               // the table of what is mounted; empty: no sticks are looked for
  files::Disk* disk = nullptr;      // must outlive the desk
  std::function<void(PackEvent)> emit;
  std::function<void()> changed;  // the shop's files are others now
};

class PackDesk {
 public:
  explicit PackDesk(PackDeskOptions options);
  ~PackDesk();  // gives up what can be given up
  PackDesk(const PackDesk&) = delete;
  PackDesk& operator=(const PackDesk&) = delete;

  // Looks at the places, received/ and what waits to be settled; finishes what was cut off.
  void look();
  // A further folder for packs, until the program ends.
  void add_place(std::string folder);
  void open(std::string path);
  void accept(std::shared_ptr<const OpenedPack> opened, pack::Accepting how);
  void undo(std::string folder, std::string who);
  void plan(SealWish wish);
  // Only the tips of these ids, with what they bring along.
  void seal(SealWish wish, std::vector<std::string> ids, std::string folder);
  void settle(Settling settling);
  void show_key();
  // Gives up what is under way: nothing is changed then.
  void stop();
  [[nodiscard]] bool quiet() const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace baylore::viewer
