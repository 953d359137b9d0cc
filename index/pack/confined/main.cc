// baylore-container < container > frames
//
// Lists and unpacks one container from elsewhere in a process that can do nothing else; frames.h
// has the form of its answer. In the order that matters: load what reading needs, go into the cage,
// only then read.
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <string>
#include <string_view>

#include "confine/cage.h"
#include "pack/confined/frames.h"
#include "pack/container.h"
#include "pack/zip_directory.h"

namespace baylore::pack {
namespace {

using files::Failure;
using files::Result;
using frames::Exit;

// Ends without running anything else: exit handlers could ask the kernel for what the cage forbids.
[[noreturn]] void finish(Exit end) { _exit(static_cast<int>(end)); }

class Input final : public ByteSource {
 public:
  explicit Input(std::uint64_t size) : size_(size) {}
  [[nodiscard]] std::uint64_t size() const override { return size_; }
  Result<std::string> read(std::uint64_t offset, std::size_t count) override {
    // Near each other: headers are many and small.
    constexpr std::size_t kAhead = std::size_t{1} << 18U;
    if (offset < kept_at_ || offset + count > kept_at_ + kept_.size()) {
      kept_.resize(std::max(count, kAhead));
      std::size_t filled = 0;
      while (filled < kept_.size()) {
        const ssize_t got = ::pread(STDIN_FILENO, kept_.data() + filled, kept_.size() - filled,
                                    static_cast<off_t>(offset + filled));
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) return Failure{Failure::Kind::gone, {}, {}, {}};
        if (got == 0) break;
        filled += static_cast<std::size_t>(got);
      }
      kept_.resize(filled);
      kept_at_ = offset;
    }
    if (offset >= kept_at_ + kept_.size()) return std::string();
    return kept_.substr(static_cast<std::size_t>(offset - kept_at_), count);
  }

 private:
  std::uint64_t size_;
  std::string kept_;
  std::uint64_t kept_at_ = 0;
};

// Frames, some at a time.
class Output {
 public:
  void put(char kind, std::string_view bytes) {
    held_ += kind;
    number(bytes.size(), 4);
    held_ += bytes;
    if (held_.size() >= frames::kMost) flush();
  }
  void flush() {
    std::string_view rest = held_;
    while (!rest.empty()) {
      const ssize_t done = ::write(STDOUT_FILENO, rest.data(), rest.size());
      if (done < 0 && errno == EINTR) continue;
      if (done <= 0) finish(Exit::output);
      rest.remove_prefix(static_cast<std::size_t>(done));
    }
    held_.clear();
  }
  void put(const ZipEntry& entry) {
    std::string bytes(1, entry.folder ? '\1' : '\0');
    for (unsigned i = 0; i < 8; ++i) bytes += static_cast<char>((entry.size >> (8 * i)) & 0xFFU);
    put('e', bytes + entry.name);
  }
  void put(const Reason& reason) {
    put('r', reason.rule + '\0' + reason.path + '\0' + reason.what);
  }

 private:
  void number(std::size_t value, unsigned size) {
    for (unsigned i = 0; i < size; ++i) held_ += static_cast<char>((value >> (8 * i)) & 0xFFU);
  }
  std::string held_;
};

[[noreturn]] void run() {
  struct stat about {};
  if (::fstat(STDIN_FILENO, &about) != 0 || !S_ISREG(about.st_mode)) finish(Exit::input);
  prepare_to_read_containers();
  if (!confine::close_cage(frames::kCage)) finish(Exit::unconfined);

  Input input(static_cast<std::uint64_t>(about.st_size));
  Output output;
  Reasons reasons;
  const auto entries = read_zip_directory(input, {}, reasons);
  if (!entries) finish(Exit::input);
  for (const ZipEntry& entry : *entries) output.put(entry);
  for (const Reason& reason : reasons.list()) output.put(reason);
  // Whoever listens judges the names too; here it decides whether there is anything to unpack.
  const ContainerListing listing = judged_listing(*entries, reasons);
  output.put('l', {});
  if (listing.reasons.empty()) {
    const auto wrong = read_container(
        input, listing, [&](const ContainerEntry& entry, std::string_view piece, bool last) {
          if (!piece.empty()) output.put('b', piece);
          if (last && !entry.folder) output.put('f', {});
          return true;
        });
    if (!wrong) finish(Exit::input);
    for (const Reason& reason : *wrong) output.put(reason);
    output.put('d', {});
  }
  output.flush();
  finish(Exit::done);
}

}  // namespace
}  // namespace baylore::pack

int main() { baylore::pack::run(); }
