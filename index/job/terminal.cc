#include "job/terminal.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <string_view>

#include "files/names.h"
#include "files/save.h"
#include "job/json_fields.h"
#include "words/words.h"

namespace baylore::job {
namespace {

constexpr std::string_view kTerminalFormat = "baylore-terminal 1";
constexpr std::string_view kMachineFile = "/etc/machine-id";
constexpr std::uint64_t kTerminalLimit = 64U << 10U;
constexpr std::size_t kSuffix = 6;
constexpr std::size_t kLongestName = 40;
constexpr int kLeastText = 50;
constexpr int kMostText = 300;
constexpr double kMostPpi = 2000;
constexpr int kMostMinutes = 24 * 60;

constexpr std::array<std::string_view, 3> kHands = {"bare", "glove", "thick glove"};
constexpr std::array<std::string_view, 3> kThemes = {"light", "dark", "sun"};

std::string path_of(const std::string& state_folder) {
  return files::join(state_folder, "terminal.json");
}

// Which machine this is, after machine-id(5): the id itself must not leave the machine, a hash with
// our own name in it may. Empty when the machine has none.
std::string machine_of(files::Disk& disk) {
  const auto id = disk.read(std::string(kMachineFile), kTerminalLimit);
  if (!id || id->empty()) return {};
  return files::hash_hex("baylore terminal " + *id).substr(0, 32);
}

// The terminal's name as far as it may stand in an id, and random characters behind it.
std::string new_folder(const std::string& name) {
  std::string folder;
  for (const char c : name.substr(0, kLongestName)) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    if (plain || c == '_') {
      folder += c;
    } else if (!folder.empty() && folder.back() != '-') {
      folder += '-';
    }
  }
  while (folder.ends_with('-')) folder.pop_back();
  if (folder.empty()) folder = "bay";
  const std::string random = files::new_id();
  return folder + "-" + random.substr(random.size() - kSuffix);
}

template <std::size_t N>
void choose(std::string_view word, const std::array<std::string_view, N>& known,
            std::string& into) {
  if (std::find(known.begin(), known.end(), word) != known.end()) into = word;
}

files::Result<void> save(files::Disk& disk, const std::string& state_folder,
                         const Terminal& terminal, const std::string& machine) {
  Json out = Json::object();
  out["format"] = kTerminalFormat;
  out["name"] = terminal.name;
  out["folder"] = terminal.folder;
  out["machine"] = machine;
  out["shop"] = terminal.shop;
  out["hand"] = terminal.hand;
  out["theme"] = terminal.theme;
  out["language"] = terminal.language;
  out["text-percent"] = terminal.text_percent;
  out["ppi"] = terminal.ppi;
  out["motion"] = terminal.motion;
  out["dim-minutes"] = terminal.dim_minutes;
  out["hide-minutes"] = terminal.hide_minutes;
  out["set-up"] = terminal.set_up;
  out["scanner-prefix"] = terminal.scanner_prefix;
  out["missing-tools"] = terminal.missing_tools;
  return files::replace(disk, path_of(state_folder), dump(out));
}

// False when the text is no terminal. A setting this version does not know keeps its default: the
// identity matters, a theme does not.
bool read(std::string_view text, Terminal& terminal, std::string& machine) {
  const Json object = parse_object(text);
  if (object.is_discarded()) return false;
  Fields fields(object);
  std::string format;
  std::string hand;
  std::string theme;
  std::string language;
  fields.text("format", format);
  fields.text("name", terminal.name);
  fields.text("folder", terminal.folder);
  fields.text("machine", machine);
  fields.text("shop", terminal.shop);
  fields.text("hand", hand);
  fields.text("theme", theme);
  fields.text("language", language);
  fields.integer("text-percent", kLeastText, kMostText, terminal.text_percent);
  fields.real("ppi", 0, kMostPpi, terminal.ppi);
  fields.boolean("motion", terminal.motion);
  fields.integer("dim-minutes", 0, kMostMinutes, terminal.dim_minutes);
  fields.integer("hide-minutes", 0, kMostMinutes, terminal.hide_minutes);
  terminal.set_up = true;  // a file of before the questions were asked
  fields.boolean("set-up", terminal.set_up);
  fields.text("scanner-prefix", terminal.scanner_prefix);
  if (const Json* tools = fields.array("missing-tools")) {
    for (const Json& tool : *tools) {
      const auto* name = tool.get_ptr<const std::string*>();
      if (name == nullptr) {
        fields.refuse();
        break;
      }
      terminal.missing_tools.push_back(*name);
    }
  }
  choose(hand, kHands, terminal.hand);
  choose(theme, kThemes, terminal.theme);
  const auto& languages = words::languages();
  const auto known = [&](const words::Language& each) { return each.code == language; };
  if (std::any_of(languages.begin(), languages.end(), known)) terminal.language = language;
  return fields.good() && format == kTerminalFormat && files::is_id(terminal.folder);
}

}  // namespace

files::Result<Terminal> load_terminal(files::Disk& disk, const std::string& state_folder) {
  const std::string path = path_of(state_folder);
  const std::string machine = machine_of(disk);
  const auto text = disk.read(path, kTerminalLimit);
  using Kind = files::Failure::Kind;
  if (!text && text.failure().kind != Kind::missing && text.failure().kind != Kind::too_large) {
    return text
        .failure();  // who we are is there, only out of reach: another identity would be wrong
  }
  if (text) {
    Terminal terminal;
    std::string known_machine;
    if (read(*text, terminal, known_machine)) {
      const bool cloned = !machine.empty() && !known_machine.empty() && machine != known_machine;
      if (cloned) {
        terminal.folder = new_folder(terminal.name);
        if (auto saved = save(disk, state_folder, terminal, machine); !saved)
          return saved.failure();
      }
      return terminal;
    }
  }
  const bool damaged = text || text.failure().kind == Kind::too_large;
  if (damaged) {
    if (auto moved = disk.rename(path, path + ".damaged"); !moved) return moved.failure();
  }
  Terminal terminal;
  terminal.folder = new_folder(terminal.name);
  if (auto saved = save(disk, state_folder, terminal, machine); !saved) return saved.failure();
  return terminal;
}

files::Result<void> save_terminal(files::Disk& disk, const std::string& state_folder,
                                  const Terminal& terminal) {
  return save(disk, state_folder, terminal, machine_of(disk));
}

}  // namespace baylore::job
