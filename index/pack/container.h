// The zip file that a pack travels in. Reading is strict: the container is listed and judged as a
// whole before any of its content is looked at, and one that two programs could read in two ways is
// refused.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "files/disk.h"
#include "files/result.h"
#include "pack/reason.h"

namespace baylore::pack {

// Bytes that are too many to hold, read by parts.
class ByteSource {
 public:
  virtual ~ByteSource() = default;
  [[nodiscard]] virtual std::uint64_t size() const = 0;
  // Fewer than `count` at the end only.
  virtual files::Result<std::string> read(std::uint64_t offset, std::size_t count) = 0;
};
// Both must outlive the source.
files::Result<std::unique_ptr<ByteSource>> open_file(files::Disk& disk, const std::string& path);
std::unique_ptr<ByteSource> open_bytes(std::string_view bytes);

struct ContainerLimits {
  std::uint64_t entries = 60000;
  std::uint64_t one = std::uint64_t{64} << 20U;  // bytes of one file
  std::uint64_t all = std::uint64_t{2} << 30U;   // of all together, unpacked
  std::uint64_t ratio = 200;                     // unpacked to packed, beyond the first MiB
};

struct ContainerEntry {
  std::string path;  // relative to the container's one folder
  std::uint64_t size = 0;
  bool folder = false;
};

struct ContainerListing {
  std::string name;                     // of the one folder
  std::vector<ContainerEntry> entries;  // in the order in which their bytes lie
  std::vector<Reason> reasons;          // why it is refused; then nothing is to be read from it
};

// What is refused: names that name_fault() finds fault with or that collide, links and devices,
// encryption, methods other than stored and deflated, sizes beyond the limits, entries that share
// bytes, headers that contradict each other, bytes that belong to nothing. Fails only when the
// bytes cannot be read. This reads in the calling process, as read_container() does: what came from
// elsewhere goes through open_container() (confined.h).
files::Result<ContainerListing> list_container(ByteSource& bytes,
                                               const ContainerLimits& limits = {});

// Gives the content of every file piece by piece, in the listing's order; `last` with the last
// piece, which may be empty. Returning false stops. What turns out wrong on the way (a check sum, a
// size that lies) comes back as reasons, and the piece at hand is not to be used. Never gives more
// bytes than the listing says.
using TakePiece =
    std::function<bool(const ContainerEntry& entry, std::string_view piece, bool last)>;
files::Result<std::vector<Reason>> read_container(ByteSource& bytes,
                                                  const ContainerListing& listing,
                                                  const TakePiece& take);

// The two in one, wherever they happen.
class Container {
 public:
  virtual ~Container() = default;
  // Once.
  virtual files::Result<ContainerListing> list() = 0;
  // What list() told; once, after it.
  virtual files::Result<std::vector<Reason>> read(const TakePiece& take) = 0;
};
// Read in this process, for bytes that are our own, and for tests. `bytes` must outlive it.
std::unique_ptr<Container> container_here(ByteSource& bytes);

// A listing is made of what a directory says by this, whoever read the directory: names are judged.
struct ZipEntry;
ContainerListing judged_listing(const std::vector<ZipEntry>& entries, Reasons& reasons);

// Loads what reading needs from the system and keeps it, so that afterwards nothing has to be
// opened: for a process that locks itself in.
void prepare_to_read_containers();

// Writes a container to `output`. The same files in the same order give the same bytes, whatever
// the time zone, the clock and the user: stored without compression (what compresses differs from
// build to build), no times, plain permissions.
class ContainerWriter {
 public:
  ContainerWriter(files::Output& output, std::string name);
  ~ContainerWriter();
  ContainerWriter(const ContainerWriter&) = delete;
  ContainerWriter& operator=(const ContainerWriter&) = delete;

  files::Result<void> add(const std::string& path, std::string_view bytes);
  // Writes the end. Nothing may be added afterwards.
  files::Result<void> finish();

 private:
  struct Archive;
  std::unique_ptr<Archive> archive_;
  std::string name_;
};

}  // namespace baylore::pack
