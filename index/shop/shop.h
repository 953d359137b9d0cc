// A shop: a folder of plain files. This reads shop.md and finds the files that matter; it holds no
// tips in memory.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "files/disk.h"
#include "shop/finding.h"
#include "shop/tip.h"

namespace baylore::shop {

struct Settings {
  std::string name;
  std::string location;
  double altitude_m = 0;
  bool altitude_known = false;
  std::string torque_unit;  // shown first; "N·m" when not said
  double labour_rate = 0;   // an hour
  double goodwill = 0;      // what a comeback costs beside labour and part: a loan car, lost time
  int comeback_months = 12;
  bool demo = false;
  Findings findings;
};

enum class Kind { shop, tip, part, vocabulary, other };

// Which kind of file a path relative to the shop is; temporary files, conflict copies and history
// are `other`.
Kind kind_of(std::string_view path);

// Whether a file sync left it when two terminals changed one file:
// `name.sync-conflict-20260314-101500.md`, `name (conflicted copy ...).md`. It holds somebody's
// work and is no tip until a person has merged it.
bool is_conflict_copy(std::string_view path);
// The path such a copy was made of: `tips/a.md` of `tips/a.sync-conflict-20260314-101500.md`. Empty
// for any other path.
std::string original_of(std::string_view path);

// Of two files that carry one id, whether the first is the one that counts, everywhere and at every
// terminal: a copy's name is the other's with something behind it, so the shorter name counts, and
// of equally long ones the path that comes first. Names that a file sync gives come last.
bool comes_first(std::string_view path, std::string_view other);

// The folder below history/ that keeps the earlier versions of a text: its own id, or the
// provisional one of its path.
std::string history_id(std::string_view bytes, const std::string& path);

files::Result<Settings> read_settings(files::Disk& disk, const std::string& shop_folder);

// Whether a path relative to the shop stays inside it and passes no link, which could lead out;
// `denied` when not. Nothing that somebody else named is written or read before.
files::Result<void> check_path(files::Disk& disk, const std::string& shop_folder,
                               const std::string& path);

// The text of one file of the shop, refused when it is not there or too large.
files::Result<std::string> read_text(files::Disk& disk, const std::string& shop_folder,
                                     const std::string& path);

// Saves a tip's new text. The earlier bytes go to history/ID/HASH.md first; when the file on disk
// is no longer `before` (someone else saved meanwhile), nothing is written and the failure is
// `exists`, so that no edit is lost; when it was removed meanwhile, `missing`. A file that holds
// `after` already, from a try that could not tell how far it came, is fine. `before` empty: a
// new file, never over an old one. The path must stay inside the shop and pass no link. Parts,
// vocabulary and shop.md are saved the same way.
files::Result<void> save_tip(files::Disk& disk, const std::string& shop_folder,
                             const std::string& path, std::string_view before,
                             std::string_view after);

// Saves a tip that nobody saved yet, with its own id in `bytes`, as new_tip_path() says; gives back
// the path. An earlier try may have come further than it could tell: what is there under this very
// id is saved over, and no second one made.
files::Result<std::string> save_new_tip(files::Disk& disk, const std::string& shop_folder,
                                        std::string_view system, std::string_view title,
                                        std::string_view bytes);

// A path for a new tip: tips/SYSTEM/SLUG.md from its system and title, not yet taken.
std::string new_tip_path(files::Disk& disk, const std::string& shop_folder, std::string_view system,
                         std::string_view title);

// "heater-cold-at-idle": letters and digits of the title folded to ASCII, dashes between, at
// most 60.
std::string slug_of(std::string_view title);

// Finds the picture's file, as a path relative to the shop: beside the tip, then in photos/. Empty
// when neither has it or the name climbs out of the shop.
std::string picture_path(files::Disk& disk, const std::string& shop_folder,
                         const std::string& tip_path, std::string_view name);

}  // namespace baylore::shop
