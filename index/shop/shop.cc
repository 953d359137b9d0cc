#include "shop/shop.h"

#include <algorithm>
#include <tuple>

#include <fmt/format.h>

#include "files/names.h"
#include "files/save.h"
#include "shop/fold.h"
#include "shop/notes.h"
#include "shop/scan.h"
#include "trade/quantity.h"

namespace baylore::shop {
namespace {

using files::Disk;
using files::Failure;

constexpr const char* kShopFile = "shop.md";
// A disk that never answers "not there" must not turn a search for a free name for ever.
constexpr int kMostOfOneTitle = 10000;

// tips/SYSTEM/SLUG.md, tips/SYSTEM/SLUG-2.md ...
std::string numbered_path(std::string_view system, std::string_view title, int number) {
  std::string slug = slug_of(title);
  if (slug.empty()) slug = "tip";
  if (number > 1) slug += fmt::format("-{}", number);
  return files::join(files::join("tips", slug_of(system)), slug + ".md");
}

// The parts of a path between slashes.
std::vector<std::string_view> path_parts(std::string_view path) {
  std::vector<std::string_view> parts;
  std::size_t start = 0;
  while (true) {
    const std::size_t slash = path.find('/', start);
    parts.push_back(path.substr(start, slash == std::string_view::npos ? slash : slash - start));
    if (slash == std::string_view::npos) return parts;
    start = slash + 1;
  }
}

// Whether a path relative to the shop stays in it by its words: no root, no `..`, no name that
// lists leave out.
bool stays_inside(std::string_view path) {
  if (path.empty() || path.find('\0') != std::string_view::npos ||
      path.find('\\') != std::string_view::npos) {
    return false;
  }
  const auto parts = path_parts(path);
  return std::none_of(parts.begin(), parts.end(),
                      [](std::string_view part) { return part.empty() || part.front() == '.'; });
}

// Whether any folder or the file on the way is a symbolic link, which could lead out of the shop.
bool passes_a_link(Disk& disk, const std::string& shop_folder, std::string_view path) {
  std::string at = shop_folder;
  for (const std::string_view part : path_parts(path)) {
    at = files::join(at, part);
    const auto status = disk.status(at);
    if (status && status->link) return true;
  }
  return false;
}

bool ends_with(std::string_view text, std::string_view end) {
  return text.size() >= end.size() && text.substr(text.size() - end.size()) == end;
}

bool is_yes(std::string_view word) {
  const std::string low = scan::lower(word);
  return low == "yes" || low == "true" || low == "on";
}

// `240 m` or `790 ft`.
void read_altitude(const Document& document, Notes& notes, Settings& settings) {
  const Field* field = document.field("altitude");
  if (field == nullptr || field->value.empty()) return;
  const trade::Unit& metre = trade::unit(trade::UnitId::kMetre);
  const auto read = trade::parse_reading(field->value, metre);
  if (const auto* refusal = trade::refusal_in(read)) {
    notes.refused(Level::warning, item_of(*field), "altitude", *refusal);
    return;
  }
  const trade::Quantity quantity = *trade::taken(read);
  const double metres = trade::convert(quantity.value, *quantity.unit, metre);
  // The lowest and highest roads on earth, with room to spare.
  if (metres < -500 || metres > 6000) {
    notes.add(Level::warning, field->line, field->column, "altitude",
              fmt::format("`{}` is no place for a shop", field->value),
              "write the height above the sea: 240 m");
    return;
  }
  settings.altitude_m = metres;
  settings.altitude_known = true;
}

// `units:` with items `torque: N·m`, `pressure: kPa` ...
void read_units(const Document& document, Notes& notes, Settings& settings) {
  settings.torque_unit = "N·m";
  for (const Item& item : items_of(document.field("units"))) {
    const auto split = scan::key_line(item.value);
    if (!split) continue;
    const auto read = trade::read_unit(split->value);
    if (const auto* refusal = trade::refusal_in(read)) {
      notes.refused(Level::warning, item, "units", *refusal);
      continue;
    }
    const trade::Unit* unit = *trade::taken(read);
    if (scan::lower(split->key) != "torque") continue;
    if (unit->dimension == trade::Dimension::kTorque) {
      settings.torque_unit = std::string(unit->symbol);
    } else {
      notes.add(Level::warning, item.line, item.column, "units",
                fmt::format("`{}` is no unit of torque", split->value),
                "write N·m, lbf·ft or lbf·in");
    }
  }
}

// A number at the start of a value; what follows it (a currency, a word) is the reader's.
std::optional<double> leading_number(std::string_view value) {
  const std::size_t end = std::min(value.find_first_of(" \t"), value.size());
  return trade::taken(trade::parse_number(value.substr(0, end)));
}

void read_numbers(const Document& document, Notes& notes, Settings& settings) {
  const auto money = [&](std::string_view key, std::string_view wrong, std::string_view remedy,
                         double& into) {
    const Field* field = document.field(key);
    if (field == nullptr || field->value.empty()) return;
    const auto amount = leading_number(field->value);
    if (amount && *amount >= 0) {
      into = *amount;
    } else {
      notes.add(Level::warning, field->line, field->column, std::string(key),
                fmt::format("`{}` is no {}", field->value, wrong), std::string(remedy));
    }
  };
  money("labour-rate", "rate", "write the price of one hour: 96", settings.labour_rate);
  money("goodwill", "amount", "write what a comeback costs beside labour and part: 40",
        settings.goodwill);
  const Field* field = document.field("comeback-months");
  if (field == nullptr) field = document.field("comeback-window");
  if (field == nullptr || field->value.empty()) return;
  const auto months = leading_number(field->value);
  constexpr int kMostMonths = 120;
  if (months && *months >= 1 && *months <= kMostMonths) {
    settings.comeback_months = static_cast<int>(*months);
  } else {
    notes.add(Level::warning, field->line, field->column, "comeback-months",
              fmt::format("`{}` is no window", field->value),
              "write how many months a failed repair counts as a comeback: 12");
  }
}

// What is printed reads it for itself (sheet/pdf.h); here it is only looked over.
void check_paper(const Document& document, Notes& notes) {
  const Field* field = document.field("paper");
  if (field == nullptr || field->value.empty()) return;
  const std::string word = scan::lower(field->value);
  if (word == "a4" || word == "letter") return;
  notes.add(Level::warning, field->line, field->column, "paper",
            fmt::format("`{}` is no paper", field->value), "write A4 or Letter");
}

}  // namespace

bool is_conflict_copy(std::string_view path) { return !original_of(path).empty(); }

// The copy's name is the original's with a sign and more put in before the ending. A sign in
// brackets may stand behind other words in the same brackets: `a (bay 2's conflicted copy).md`.
std::string original_of(std::string_view path) {
  const std::string name = files::name_of(path);
  const std::string low = scan::lower(name);
  std::size_t cut = std::string::npos;
  for (const std::string_view sign : {".sync-conflict-", ".conflict"})
    cut = std::min(cut, low.find(sign));
  for (const std::string_view sign : {"(conflict", "conflicted copy"}) {
    const std::size_t at = low.find(sign);
    if (at == std::string::npos) continue;
    const std::size_t bracket = low.rfind('(', at);
    cut = std::min(cut, bracket == std::string::npos ? at : bracket);
  }
  if (cut == std::string::npos) return {};
  std::string original(scan::right_trimmed(std::string_view(name).substr(0, cut)));
  if (original.empty()) return {};
  const std::size_t dot = name.rfind('.');
  if (dot != std::string::npos && dot > cut) original += name.substr(dot);
  return files::join(files::folder_of(path), original);
}

bool comes_first(std::string_view path, std::string_view other) {
  const auto place = [](std::string_view p) {
    return std::tuple(is_conflict_copy(p), files::name_of(p).size(), p);
  };
  return place(path) < place(other);
}

std::string history_id(std::string_view bytes, const std::string& path) {
  return read_tip(Document::parse(std::string(bytes)), path).id;
}

files::Result<void> check_path(Disk& disk, const std::string& shop_folder,
                               const std::string& path) {
  if (!stays_inside(path)) {
    return Failure{Failure::Kind::denied, path, "does not name a file inside the shop",
                   "use a path such as tips/cooling/name.md"};
  }
  if (passes_a_link(disk, shop_folder, path)) {
    return Failure{Failure::Kind::denied, path,
                   "goes through a link, which could lead out of the shop",
                   "put the file itself into the shop"};
  }
  return {};
}

Kind kind_of(std::string_view path) {
  if (!stays_inside(path) || !ends_with(path, ".md") || is_conflict_copy(path)) return Kind::other;
  if (path == kShopFile) return Kind::shop;
  const std::size_t slash = path.find('/');
  if (slash == std::string_view::npos) return Kind::other;
  const std::string_view top = path.substr(0, slash);
  if (top == "tips") return Kind::tip;
  if (top == "parts") return Kind::part;
  if (top == "vocabulary") return Kind::vocabulary;
  return Kind::other;
}

files::Result<Settings> read_settings(Disk& disk, const std::string& shop_folder) {
  static const std::vector<std::string> kKeys = {
      "name",     "location",        "altitude",        "units", "labour-rate",
      "goodwill", "comeback-months", "comeback-window", "demo",  "paper"};
  const auto text = disk.read(files::join(shop_folder, kShopFile), files::kTextLimit);
  if (!text) {
    Failure failure = text.failure();
    if (failure.kind == Failure::Kind::missing) {
      failure.what = "is not there, so this folder is no shop";
      failure.remedy = "name the folder that holds shop.md, or start a shop";
    }
    return failure;
  }
  const Document document = Document::parse(*text);
  Settings settings;
  Notes notes(kShopFile, settings.findings);
  notes.take(document);
  for (const Field& field : document.front()) {
    const std::string_view meant = nearest(field.key, kKeys);
    if (meant.empty()) continue;
    notes.add(Level::note, field.line, 1, "unknown-key",
              fmt::format("`{}` means nothing here", field.label),
              fmt::format("did you mean `{}`?", meant));
  }
  settings.name = document.value("name");
  if (settings.name.empty()) settings.name = document.heading();
  if (settings.name.empty()) {
    notes.add(Level::warning, 1, 1, "name", "the shop has no name",
              "put `name: ...` between two lines --- at the top");
  }
  settings.location = document.value("location");
  read_altitude(document, notes, settings);
  read_units(document, notes, settings);
  read_numbers(document, notes, settings);
  check_paper(document, notes);
  settings.demo = is_yes(document.value("demo"));
  return settings;
}

files::Result<std::string> read_text(Disk& disk, const std::string& shop_folder,
                                     const std::string& path) {
  if (const auto safe = check_path(disk, shop_folder, path); !safe) return safe.failure();
  return disk.read(files::join(shop_folder, path), files::kTextLimit);
}

// 1. The bytes the edit started from go to history: whatever happens afterwards, they are not lost.
// 2. The new bytes replace them, and nothing else: what another terminal saves meanwhile stays.
files::Result<void> save_tip(Disk& disk, const std::string& shop_folder, const std::string& path,
                             std::string_view before, std::string_view after) {
  if (auto safe = check_path(disk, shop_folder, path); !safe) return safe;
  if (kind_of(path) == Kind::other) {
    return Failure{Failure::Kind::denied, path, "is not a text of the shop",
                   "save under tips/, parts/ or vocabulary/ as .md"};
  }
  const std::string full = files::join(shop_folder, path);
  const Failure changed{Failure::Kind::exists, path, "was changed by someone else meanwhile",
                        "compare both, then save again"};
  if (before.empty()) {
    const auto written = files::write_once(disk, full, after);
    if (!written) return written.failure();
    if (*written) return {};
    const auto there = disk.read(full, files::kTextLimit);
    return there && *there == after ? files::Result<void>() : files::Result<void>(changed);
  }
  const std::string kept = files::join(files::join("history", history_id(before, path)),
                                       files::hash_hex(before) + ".md");
  if (auto safe = check_path(disk, shop_folder, kept); !safe) return safe;
  if (const auto written = files::write_once(disk, files::join(shop_folder, kept), before);
      !written) {
    return written.failure();
  }
  if (before == after) {
    const auto now = disk.read(full, files::kTextLimit);
    if (!now) return now.failure();
    if (*now != before) return changed;
    return disk.sync_folder(files::folder_of(full));
  }
  const auto replaced = files::replace_same(disk, full, before, after);
  if (!replaced) return replaced.failure();
  return *replaced ? files::Result<void>() : files::Result<void>(changed);
}

files::Result<std::string> save_new_tip(Disk& disk, const std::string& shop_folder,
                                        std::string_view system, std::string_view title,
                                        std::string_view bytes) {
  const std::string id = Document::parse(std::string(bytes)).value("id");
  for (int number = 1; number <= kMostOfOneTitle; ++number) {
    std::string path = numbered_path(system, title, number);
    const auto there = disk.read(files::join(shop_folder, path), files::kTextLimit);
    const bool free = !there && there.failure().kind == Failure::Kind::missing;
    if (!there && !free) return there.failure();
    if (!free && (id.empty() || Document::parse(*there).value("id") != id)) continue;
    const auto saved = save_tip(disk, shop_folder, path, free ? std::string() : *there, bytes);
    if (saved) return path;
    // Another terminal was faster: the next number.
    if (!free || saved.failure().kind != Failure::Kind::exists) return saved.failure();
  }
  return Failure{Failure::Kind::exists, std::string(title), "is the title of too many tips",
                 "give the tip another title"};
}

std::string new_tip_path(Disk& disk, const std::string& shop_folder, std::string_view system,
                         std::string_view title) {
  for (int number = 1;; ++number) {
    std::string path = numbered_path(system, title, number);
    // Anything but "not there" counts as taken for a while.
    const auto there = disk.status(files::join(shop_folder, path));
    if ((!there && there.failure().kind == Failure::Kind::missing) || number == kMostOfOneTitle)
      return path;
  }
}

std::string slug_of(std::string_view title) {
  constexpr std::size_t kLongest = 60;
  std::string out;
  for (const std::string& word : words_of(title)) {
    std::string plain;
    std::copy_if(word.begin(), word.end(), std::back_inserter(plain),
                 [](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9'); });
    if (plain.empty()) continue;
    if (out.empty()) {
      out = plain.substr(0, kLongest);
    } else if (out.size() + 1 + plain.size() <= kLongest) {
      out += '-' + plain;
    } else {
      break;
    }
  }
  return out;
}

std::string picture_path(Disk& disk, const std::string& shop_folder, const std::string& tip_path,
                         std::string_view name) {
  if (name.empty() || name.front() == '/' || name.find("://") != std::string_view::npos) return {};
  // `../photos/a.png` is fine as long as it ends inside the shop.
  const auto resolved = [&](const std::string& folder) -> std::string {
    std::vector<std::string_view> way;
    const std::string joined = files::join(folder, name);
    for (const std::string_view part : path_parts(joined)) {
      if (part == ".") continue;
      if (part != "..") {
        way.push_back(part);
      } else if (way.empty()) {
        return {};
      } else {
        way.pop_back();
      }
    }
    std::string path;
    for (const std::string_view part : way) path = files::join(path, part);
    return path;
  };
  for (const std::string& path : {resolved(files::folder_of(tip_path)), resolved("photos")}) {
    if (!check_path(disk, shop_folder, path)) continue;
    const auto status = disk.status(files::join(shop_folder, path));
    if (status && !status->folder) return path;
  }
  return {};
}

}  // namespace baylore::shop
