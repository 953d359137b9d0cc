// The part of the desk that looks for pictures on sticks and in camera folders, makes small ones of
// them to choose from, and takes them into the shop. Threads of its own: a hundred pictures may
// take a minute, and nothing else waits for them.
#pragma once

#include <functional>
#include <memory>
#include <set>
#include <string>
#include <variant>
#include <vector>

#include "files/disk.h"
#include "viewer/photo/client.h"
#include "viewer/state/photos.h"

namespace baylore::viewer {

// --- what comes back

struct PhotosSeen {
  std::shared_ptr<const PhotoShelf> shelf;
};
struct PhotosWorking {
  std::size_t done = 0;  // pictures
  std::size_t all = 0;
  std::uint64_t bytes_done = 0;
  std::uint64_t bytes_all = 0;
};
struct PhotosTaken {
  std::string draft;
  std::vector<std::string> files;  // their names in the shop's photos/
  std::size_t asked = 0;
  std::vector<files::Failure> failures;
  bool stopped = false;  // then nothing is left of what had been taken
};
// A small picture, as Desk's PictureDecoded; skipped: it was out of view before its turn came.
struct ThumbMade {
  std::string key;
  std::optional<photo::Picture> picture;
  std::string why;
  bool skipped = false;
};
using PhotoEvent = std::variant<PhotosSeen, PhotosWorking, PhotosTaken, ThumbMade>;

struct PhotoDeskOptions {
  std::string shop;
  std::string photo_program;
  std::vector<std::string> places;  // camera folders, besides what is mounted
  std::string mounts;               // the table of what is mounted; empty: no sticks are looked for
  files::Disk* disk = nullptr;      // must outlive the desk
  std::function<void(PhotoEvent)> emit;
};

class PhotoDesk {
 public:
  explicit PhotoDesk(PhotoDeskOptions options);
  ~PhotoDesk();  // gives up what is under way
  PhotoDesk(const PhotoDesk&) = delete;
  PhotoDesk& operator=(const PhotoDesk&) = delete;

  // Looks at the places, and for pictures in one of them; empty: in the first.
  void look(std::string place);
  // A further camera folder, until the program ends.
  void add_place(std::string folder);
  // A small picture of the file at `path`, at most `side` pixels long.
  void thumb(std::string key, std::string path, int side);
  // The keys that are in view now: what waits for another one is skipped.
  void in_view(std::set<std::string> keys);
  // Each upright, at most kTakenSide pixels long, re-encoded with nothing but the picture in it,
  // and written as SHOP/photos/STEM-N.jpg; never over another file. One that cannot be taken costs
  // itself; a stick or a shop that is gone, or a full disk, costs the rest.
  void take_in(std::string draft, std::vector<std::string> paths, std::string stem);
  // Removes pictures that were taken in for a draft that was dropped.
  void forget(std::vector<std::string> files);
  // Gives up what is being taken in.
  void stop();
  [[nodiscard]] bool quiet() const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

inline constexpr int kTakenSide = 2048;

}  // namespace baylore::viewer
