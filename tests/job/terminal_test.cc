// Who a terminal is, also after its disk was cloned or its file damaged.
#include "job/terminal.h"

#include <doctest/doctest.h>

#include <map>
#include <memory>
#include <string>
#include <utility>

#include "files/names.h"

using namespace baylore;
using job::load_terminal;
using job::save_terminal;
using job::Terminal;

namespace {

// A disk in memory with a machine id that can be changed. Only what files::replace and the terminal
// need.
class Machine : public files::Disk {
 public:
  explicit Machine(std::string id) { files["/etc/machine-id"] = std::move(id); }

  class File : public files::Output {
   public:
    explicit File(std::string& bytes) : bytes_(bytes) {}
    files::Result<void> write(std::string_view more) override {
      bytes_ += more;
      return {};
    }
    files::Result<void> sync() override { return {}; }
    files::Result<void> close() override { return {}; }

   private:
    std::string& bytes_;
  };

  static files::Failure missing(const std::string& path) {
    return {files::Failure::Kind::missing, path, "missing", ""};
  }
  files::Result<std::unique_ptr<files::Output>> create(const std::string& path) override {
    if (full) return files::Failure{files::Failure::Kind::full, path, "full", ""};
    return std::unique_ptr<files::Output>(std::make_unique<File>(files[path]));
  }
  files::Result<std::unique_ptr<files::Output>> append(const std::string& path) override {
    return create(path);
  }
  files::Result<void> rename(const std::string& from, const std::string& to) override {
    if (!files.contains(from)) return missing(from);
    files[to] = files[from];
    files.erase(from);
    return {};
  }
  files::Result<void> link(const std::string& from, const std::string& to) override {
    return rename(from, to);
  }
  files::Result<void> remove(const std::string& path) override {
    files.erase(path);
    return {};
  }
  files::Result<void> make_folder(const std::string& /*path*/) override { return {}; }
  files::Result<void> sync_folder(const std::string& /*folder*/) override { return {}; }
  files::Result<std::string> read(const std::string& path, std::uint64_t limit) override {
    if (path == denied) return files::Failure{files::Failure::Kind::denied, path, "denied", ""};
    const auto at = files.find(path);
    if (at == files.end()) return missing(path);
    if (at->second.size() > limit) {
      return files::Failure{files::Failure::Kind::too_large, path, "too large", ""};
    }
    return at->second;
  }
  files::Result<std::string> read_end(const std::string& path, std::size_t /*count*/) override {
    return missing(path);
  }
  files::Result<files::Status> status(const std::string& path) override {
    if (path == "/state") {
      files::Status folder;
      folder.folder = true;
      return folder;
    }
    if (!files.contains(path)) return missing(path);
    return files::Status();
  }
  files::Result<std::vector<files::Listed>> list(const std::string& folder) override {
    return missing(folder);
  }

  std::map<std::string, std::string> files;
  std::string denied;
  bool full = false;
};

constexpr char kState[] = "/state";
constexpr char kFile[] = "/state/terminal.json";
constexpr char kOne[] = "0123456789abcdef0123456789abcdef\n";
constexpr char kOther[] = "fedcba9876543210fedcba9876543210\n";

}  // namespace

TEST_CASE("a new terminal draws a folder of its own and keeps it") {
  Machine machine(kOne);
  const auto first = load_terminal(machine, kState);
  REQUIRE(first.ok());
  CHECK(first->folder.starts_with("bay-"));
  CHECK(first->folder.size() == 10);
  CHECK(files::is_id(first->folder));
  const auto second = load_terminal(machine, kState);
  REQUIRE(second.ok());
  CHECK(second->folder == first->folder);

  Machine elsewhere(kOne);
  CHECK(load_terminal(elsewhere, kState)->folder != first->folder);
}

TEST_CASE("what was set comes back") {
  Machine machine(kOne);
  Terminal terminal = *load_terminal(machine, kState);
  terminal.name = "Bay 3, alignment";
  terminal.shop = "/srv/shop";
  terminal.hand = "thick glove";
  terminal.theme = "sun";
  terminal.text_percent = 130;
  terminal.scanner_prefix = "~";
  terminal.ppi = 141.2;
  terminal.motion = false;
  REQUIRE(save_terminal(machine, kState, terminal).ok());
  const auto back = load_terminal(machine, kState);
  REQUIRE(back.ok());
  CHECK(back->name == terminal.name);
  CHECK(back->folder == terminal.folder);  // a new name is no new writer
  CHECK(back->shop == terminal.shop);
  CHECK(back->hand == terminal.hand);
  CHECK(back->theme == terminal.theme);
  CHECK(back->text_percent == 130);
  CHECK(back->scanner_prefix == "~");
  CHECK(back->ppi == doctest::Approx(141.2));
  CHECK_FALSE(back->motion);
}

TEST_CASE("a cloned disk becomes a writer of its own, with the settings it had") {
  Machine machine(kOne);
  Terminal terminal = *load_terminal(machine, kState);
  terminal.name = "Bay 3, alignment";
  REQUIRE(save_terminal(machine, kState, terminal).ok());

  machine.files["/etc/machine-id"] = kOther;
  const auto clone = load_terminal(machine, kState);
  REQUIRE(clone.ok());
  CHECK(clone->folder != terminal.folder);
  CHECK(clone->folder.starts_with("Bay-3-alignment-"));
  CHECK(files::is_id(clone->folder));
  CHECK(clone->name == terminal.name);
  CHECK(load_terminal(machine, kState)->folder == clone->folder);  // once, not at every start
}

TEST_CASE("without a machine id nobody can tell, and the identity stays") {
  Machine machine(kOne);
  const std::string folder = load_terminal(machine, kState)->folder;
  machine.files.erase("/etc/machine-id");
  CHECK(load_terminal(machine, kState)->folder == folder);
}

TEST_CASE("the machine id itself is not written down") {
  Machine machine(kOne);
  REQUIRE(load_terminal(machine, kState).ok());
  CHECK(machine.files[kFile].find("0123456789abcdef") == std::string::npos);
  CHECK(machine.files[kFile].find("\"machine\"") != std::string::npos);
}

TEST_CASE("a damaged file is kept beside, and a new terminal made") {
  for (const char* bytes :
       {"", "{", "[1]", "{\"format\": \"baylore-terminal 1\"}",
        "{\"format\": \"baylore-terminal 1\", \"folder\": \"../x\"}",
        "{\"format\": \"baylore-terminal 1\", \"folder\": \"a\", \"ppi\": \"big\"}"}) {
    CAPTURE(bytes);
    Machine machine(kOne);
    machine.files[kFile] = bytes;
    const auto terminal = load_terminal(machine, kState);
    REQUIRE(terminal.ok());
    CHECK(files::is_id(terminal->folder));
    CHECK(machine.files[std::string(kFile) + ".damaged"] == bytes);
    CHECK(load_terminal(machine, kState)->folder == terminal->folder);
  }
}

TEST_CASE("settings this version does not know keep their default") {
  Machine machine(kOne);
  machine.files[kFile] =
      R"({"format": "baylore-terminal 1", "folder": "bay-1", "hand": "claw", "theme": "neon", "later": 1})";
  const auto terminal = load_terminal(machine, kState);
  REQUIRE(terminal.ok());
  CHECK(terminal->folder == "bay-1");
  CHECK(terminal->hand == "glove");
  CHECK(terminal->theme == "light");
}

TEST_CASE("an identity that is out of reach is not replaced by another") {
  Machine machine(kOne);
  REQUIRE(load_terminal(machine, kState).ok());
  const std::string bytes = machine.files[kFile];
  machine.denied = kFile;
  CHECK_FALSE(load_terminal(machine, kState).ok());
  CHECK(machine.files[kFile] == bytes);
}

TEST_CASE("a disk that is full is a failure, not a terminal that forgets who it is") {
  Machine machine(kOne);
  machine.full = true;
  CHECK_FALSE(load_terminal(machine, kState).ok());
  CHECK_FALSE(save_terminal(machine, kState, Terminal()).ok());
}
