// What a picture's file tells beside the picture: place, time, device, words, earlier versions. It
// is found and cut out without touching the picture itself, so the same file always gives the same
// bytes. Nothing is decoded; any bytes may be given.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace baylore::shop {

struct PictureFile {
  enum class Kind { neither, jpeg, png } kind = Kind::neither;
  // Its parts follow each other to the end mark. Of a file that is not whole nothing else holds,
  // and no viewer shows it.
  bool whole = false;
  // It has more in it than the picture needs: Exif, XMP, IPTC, comments, texts, thumbnails, or
  // bytes after its end, where telephones put sound and films.
  bool tells_more = false;
  int orientation = 1;  // of a JPEG, 1 .. 8 after Exif
  std::string plain;    // the file without all that
};

// JPEG: application segments go, but for JFIF's header, colour profiles and the one that says how
// colours are coded; comments go. When the picture is stored turned, an Exif segment that says that
// and nothing else takes the old one's place. PNG: of the chunks a decoder need not understand only
// those about colour, transparency and resolution stay. Sources: ITU-T T.81 annex B and T.871
// (JFIF), CIPA DC-008 (Exif 2.32), ISO/IEC 15948 (PNG): from memory. Linear in the size.
inline constexpr std::size_t kMostAdded =
    36;  // bytes: the Exif segment put in may be the longer one
PictureFile read_picture_file(std::string_view bytes);

}  // namespace baylore::shop
