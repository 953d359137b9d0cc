// The directory at the end of a zip file, read on its own and held against the headers before each
// entry. The format: PKWARE APPNOTE.TXT 6.3.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "files/result.h"
#include "pack/container.h"
#include "pack/reason.h"

namespace baylore::pack {

// Bytes of a name: more than name_fault() lets pass. A directory with longer ones is refused.
inline constexpr std::size_t kLongestZipName = 600;

struct ZipEntry {
  std::string name;  // the bytes as they stand
  std::uint64_t packed = 0;
  std::uint64_t size = 0;
  std::uint64_t at = 0;  // of its header
  bool folder = false;
};

// The entries in the order of their bytes. Whatever makes the file readable in two ways, or is no
// plain file or folder, is a reason.
files::Result<std::vector<ZipEntry>> read_zip_directory(ByteSource& bytes,
                                                        const ContainerLimits& limits,
                                                        Reasons& reasons);

}  // namespace baylore::pack
