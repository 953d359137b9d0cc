// What the screens about pictures show: the page of one, the shelf of a stick or camera folder, and
// a draft's picture whose marks are being placed.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "shop/picture_edit.h"
#include "viewer/state/progress.h"
#include "viewer/ui/pan.h"

namespace baylore::viewer {

// A mounted stick, or a folder that was named as a camera's.
struct PhotoPlace {
  std::string folder;
  std::string label;  // "BLUE STICK"
};

// A file that is called as a picture; nothing in it has been looked at.
struct FoundPhoto {
  std::string path;
  std::string when;  // "14 Mar 10:47", of the file
  std::uint64_t bytes = 0;
};

struct PhotoShelf {
  std::vector<PhotoPlace> places;
  std::string place;              // folder of the one that was looked at; empty: there is none
  std::vector<FoundPhoto> found;  // what lies in the camera's own folder first, then the newest
  bool more = false;              // not all of them
  std::string trouble;            // why the place could not be looked at
};

// The most pictures that are listed of one place, and ticked at a time.
inline constexpr std::size_t kPhotosListed = 2000;
inline constexpr std::size_t kPhotosTicked = 20;
inline constexpr std::size_t kMarksPlaced = 20;

struct PhotosView {
  // --- the page of one picture
  Pan pan;

  // --- what can be taken in
  std::shared_ptr<const PhotoShelf> shelf;  // nullptr: being looked at
  std::vector<std::string> ticked;          // paths, in the order they were tapped
  bool working = false;
  std::size_t done = 0;  // of `all`
  std::size_t all = 0;
  Progress progress;  // in bytes

  // --- marks
  std::vector<shop::PlacedPicture> placed;  // those of the draft
  std::string marking;                      // file of the one whose marks are placed
  std::vector<std::string> to_mark;         // files whose turn comes after
  int mark = -1;                            // the one that is moved; -1: none
  std::vector<shop::Picture> undo;          // how it was before each change
};

// A section's name as it is shown, of its key.
std::string section_words(const std::string& key);

// The picture whose marks are placed; nullptr when it is not in the draft any more.
const shop::PlacedPicture* marked_picture(const PhotosView& view);

}  // namespace baylore::viewer
