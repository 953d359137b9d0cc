// A disk over another one: every call is asked about first, then handed on, and its failure may be
// put in other words. For disks that forbid something, and for tests' that fail at something.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "files/disk.h"

namespace baylore::files {

class DiskOver : public Disk {
 public:
  // `disk` must outlive this.
  explicit DiskOver(Disk& disk) : disk_(disk) {}

  Result<std::unique_ptr<Output>> create(const std::string& path) override;
  Result<std::unique_ptr<Output>> append(const std::string& path) override;
  Result<std::unique_ptr<Output>> create_private(const std::string& path) override;
  Result<void> rename(const std::string& from, const std::string& to) override;
  Result<void> exchange(const std::string& from, const std::string& to) override;
  Result<void> link(const std::string& from, const std::string& to) override;
  Result<void> remove(const std::string& path) override;
  Result<void> make_folder(const std::string& path) override;
  Result<void> sync_folder(const std::string& folder) override;
  Result<std::string> read(const std::string& path, std::uint64_t limit) override;
  Result<std::string> read_end(const std::string& path, std::size_t count) override;
  Result<std::string> read_part(const std::string& path, std::uint64_t offset,
                                std::size_t count) override;
  Result<int> descriptor(const std::string& path) override;
  Result<Status> status(const std::string& path) override;
  Result<std::vector<Listed>> list(const std::string& folder) override;
  Result<std::vector<Listed>> list_all(const std::string& folder) override;
  Result<std::vector<Listed>> list_here(const std::string& folder) override;

 protected:
  // Whether the call of this name ("make_folder") on this path, of two the one that comes to be,
  // may go on; the failure is what the caller gets. Called by any thread.
  virtual Result<void> may(std::string_view call, const std::string& path) = 0;
  // What the caller gets for a failure of the disk below.
  virtual Failure seen(const std::string& path, Failure failure);
  [[nodiscard]] Disk& disk() const { return disk_; }

 private:
  template <typename Call>
  auto ask(std::string_view name, const std::string& path, Call call) -> decltype(call());

  Disk& disk_;
};

}  // namespace baylore::files
