#include "files/disk_over.h"

#include <utility>

namespace baylore::files {

template <typename Call>
auto DiskOver::ask(std::string_view name, const std::string& path, Call call) -> decltype(call()) {
  if (auto asked = may(name, path); !asked) return asked.failure();
  auto answer = call();
  if (!answer) return seen(path, answer.failure());
  return answer;
}

Failure DiskOver::seen(const std::string& /*path*/, Failure failure) { return failure; }

Result<std::unique_ptr<Output>> DiskOver::create(const std::string& path) {
  return ask("create", path, [&] { return disk_.create(path); });
}
Result<std::unique_ptr<Output>> DiskOver::append(const std::string& path) {
  return ask("append", path, [&] { return disk_.append(path); });
}
Result<std::unique_ptr<Output>> DiskOver::create_private(const std::string& path) {
  return ask("create_private", path, [&] { return disk_.create_private(path); });
}
Result<void> DiskOver::rename(const std::string& from, const std::string& to) {
  return ask("rename", to, [&] { return disk_.rename(from, to); });
}
Result<void> DiskOver::exchange(const std::string& from, const std::string& to) {
  return ask("exchange", to, [&] { return disk_.exchange(from, to); });
}
Result<void> DiskOver::link(const std::string& from, const std::string& to) {
  return ask("link", to, [&] { return disk_.link(from, to); });
}
Result<void> DiskOver::remove(const std::string& path) {
  return ask("remove", path, [&] { return disk_.remove(path); });
}
Result<void> DiskOver::make_folder(const std::string& path) {
  return ask("make_folder", path, [&] { return disk_.make_folder(path); });
}
Result<void> DiskOver::sync_folder(const std::string& folder) {
  return ask("sync_folder", folder, [&] { return disk_.sync_folder(folder); });
}
Result<std::string> DiskOver::read(const std::string& path, std::uint64_t limit) {
  return ask("read", path, [&] { return disk_.read(path, limit); });
}
Result<std::string> DiskOver::read_end(const std::string& path, std::size_t count) {
  return ask("read_end", path, [&] { return disk_.read_end(path, count); });
}
Result<std::string> DiskOver::read_part(const std::string& path, std::uint64_t offset,
                                        std::size_t count) {
  return ask("read_part", path, [&] { return disk_.read_part(path, offset, count); });
}
Result<int> DiskOver::descriptor(const std::string& path) {
  return ask("descriptor", path, [&] { return disk_.descriptor(path); });
}
Result<Status> DiskOver::status(const std::string& path) {
  return ask("status", path, [&] { return disk_.status(path); });
}
Result<std::vector<Listed>> DiskOver::list(const std::string& folder) {
  return ask("list", folder, [&] { return disk_.list(folder); });
}
Result<std::vector<Listed>> DiskOver::list_all(const std::string& folder) {
  return ask("list_all", folder, [&] { return disk_.list_all(folder); });
}
Result<std::vector<Listed>> DiskOver::list_here(const std::string& folder) {
  return ask("list_here", folder, [&] { return disk_.list_here(folder); });
}

}  // namespace baylore::files
