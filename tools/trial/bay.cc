#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <random>

#include "files/disk.h"
#include "files/names.h"
#include "files/save.h"
#include "pack/copies.h"
#include "pack/diff.h"
#include "shop/document.h"
#include "shop/records.h"
#include "shop/shop.h"
#include "shop/sync_files.h"
#include "trial.h"

namespace baylore::trial {
namespace {

bool fail(const files::Failure& failure) {
  fmt::print(stderr, "{}\n", failure.text());
  return false;
}

bool remember(const Bay& bay, const std::string& text) {
  const std::string path = bay.work + "/texts/" + files::hash_hex(text) + ".md";
  const auto written = files::write_once(files::real_disk(), path, text);
  return written ? true : fail(written.failure());
}

// Somebody at a bay. What it writes says by whom and which edit it was, so that no two are equal.
class Worker {
 public:
  Worker(const Bay& bay, std::uint64_t dice) : bay_(bay), dice_(dice) {}

  bool act(int number) {
    mark_ = fmt::format("{} {}-{}", bay_.name, dice_seed_++, number);
    const std::size_t kind = below(10);
    if (kind < 2) return record();
    if (kind < 3) return add();
    return edit();
  }

 private:
  std::size_t below(std::size_t count) { return count == 0 ? 0 : dice_() % count; }

  std::string change(const std::string& text) {
    shop::Document document = shop::Document::parse(text);
    switch (below(8)) {
      case 0:
        document.set_value("title", "Heater cold, by " + mark_);
        return document.bytes();
      case 1: {
        auto when = document.list("when");
        when.push_back("by " + mark_);
        document.set_list("when", when);
        return document.bytes();
      }
      case 2:
        document.append_to_section("Fasteners", "\n### Bolt by " + mark_ + "\n- torque: 10 N·m");
        return document.bytes();
      case 3:
        document.append_to_section("Finish", "Road test, by " + mark_ + ".");
        return document.bytes();
      default:
        break;
    }
    std::vector<std::string> lines = pack::lines_with_ends(text);
    std::vector<std::size_t> prose;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      if (lines[i].starts_with("Line ") || lines[i].starts_with("By ")) prose.push_back(i);
    }
    if (prose.empty()) return text;
    const std::size_t at = prose[below(prose.size())];
    if (below(5) == 0 && prose.size() > 4) {
      lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(at));
    } else {
      lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(at) + 1, "By " + mark_ + ".\n");
    }
    std::string changed;
    for (const std::string& line : lines) changed += line;
    return changed;
  }

  // The terminal's own way: read, change, save. When somebody was faster it looks once more.
  bool edit() {
    files::Disk& disk = files::real_disk();
    const auto listed = disk.list(bay_.shop + "/tips");
    if (!listed) return fail(listed.failure());
    std::vector<std::string> paths;
    for (const files::Listed& one : *listed) {
      const std::string path = "tips/" + one.path;
      if (shop::kind_of(path) == shop::Kind::tip) paths.push_back(path);
    }
    if (paths.empty()) return true;
    std::sort(paths.begin(), paths.end());
    // Half of the edits go to the same few tips.
    const std::size_t choice =
        below(2) == 0 ? below(std::min<std::size_t>(3, paths.size())) : below(paths.size());
    for (int attempt = 0; attempt < 20; ++attempt) {
      const auto before = shop::read_text(disk, bay_.shop, paths[choice]);
      if (!before) return true;  // gone this moment: another time
      const std::string after = change(*before);
      if (after == *before) return true;
      if (!remember(bay_, after)) return false;
      const auto saved = shop::save_tip(disk, bay_.shop, paths[choice], *before, after);
      if (saved) return true;
      // Changed meanwhile, or gone for the moment in which the file sync puts another in its place.
      const bool meanwhile = saved.failure().kind == files::Failure::Kind::exists ||
                             saved.failure().kind == files::Failure::Kind::missing;
      if (!meanwhile) return fail(saved.failure());
      // What was not saved was never in the shop.
      std::filesystem::remove(bay_.work + "/texts/" + files::hash_hex(after) + ".md");
    }
    return true;
  }

  bool add() {
    files::Disk& disk = files::real_disk();
    const std::string title = fmt::format("Belt chirps {}", below(4));
    const std::string text = fmt::format(
        "---\nid: {}\ntitle: {}\nsystem: charging\n---\n\n## Symptom\nLine 0.\n\nBy {}.\n",
        files::new_id(), title, mark_);
    if (!remember(bay_, text)) return false;
    const std::string path = shop::new_tip_path(disk, bay_.shop, "charging", title);
    const auto saved = shop::save_tip(disk, bay_.shop, path, "", text);
    return saved ? true : fail(saved.failure());
  }

  bool record() {
    const shop::Record made{files::new_id(),
                            files::now_text(),
                            "question",
                            {{"tip", fmt::format("tip-{}", below(10))},
                             {"who", bay_.name},
                             {"text", "Doubt of " + mark_}}};
    files::Disk& disk = files::real_disk();
    if (auto done = shop::append_record(disk, bay_.shop, bay_.name, made); !done)
      return fail(done.failure());
    const auto kept = files::append_line(disk, bay_.work + "/records.csv", shop::record_line(made));
    return kept ? true : fail(kept.failure());
  }

  const Bay& bay_;
  std::mt19937_64 dice_;
  std::uint64_t dice_seed_ = dice_();
  std::string mark_;
};

}  // namespace

bool seed(const std::string& shop, int tips) {
  files::Disk& disk = files::real_disk();
  const auto put = [&](const std::string& path, const std::string& text) {
    const auto written = files::write_once(disk, shop + "/" + path, text);
    return written ? true : fail(written.failure());
  };
  if (!put("shop.md", "---\nname: Two bays\n---\n")) return false;
  for (int i = 0; i < tips; ++i) {
    std::string text = fmt::format(
        "---\nid: tip-{}\ntitle: Heater cold {}\nsystem: cooling\nwhen:\n  - cold start\n---\n\n"
        "## Symptom\n",
        i, i);
    for (int line = 0; line < 12; ++line) text += fmt::format("Line {} of tip {}.\n\n", line, i);
    text += "## Fasteners\n### Pump bolts\n- torque: 10 N·m\n\n## Finish\nBleed it.\n";
    if (!put(fmt::format("tips/cooling/heater-{}.md", i), text)) return false;
  }
  const auto written = shop::write_sync_files(disk, shop);
  return written ? true : fail(written.failure());
}

bool work(const Bay& bay, int actions, std::uint64_t dice) {
  Worker worker(bay, dice);
  for (int i = 0; i < actions; ++i) {
    if (!worker.act(i)) return false;
  }
  return true;
}

bool settle(const Bay& bay) {
  files::Disk& disk = files::real_disk();
  int settled = 0;
  int conflicts = 0;
  int alone = 0;
  // Settling one can change what the next is to be merged with.
  for (int round = 0; round < 1000; ++round) {
    const auto copies = pack::find_copies(disk, bay.shop);
    if (!copies) return fail(copies.failure());
    if (copies->empty()) {
      fmt::print(
          "copies settled      {}: {} with a conflict, {} tips of their own under one name\n",
          settled, conflicts, alone);
      return true;
    }
    const pack::Copy& copy = copies->front();
    if (!remember(bay, copy.merged.text)) return false;
    const auto done = pack::settle_copy(disk, bay.shop, copy, copy.merged.text);
    if (!done) return fail(done.failure());
    ++settled;
    conflicts += copy.merged.conflicts.empty() ? 0 : 1;
    alone += copy.alone ? 1 : 0;
  }
  fmt::print(stderr, "{}: copies without end\n", bay.shop);
  return false;
}

bool resolve(const Bay& bay, const std::vector<std::string>& paths) {
  files::Disk& disk = files::real_disk();
  for (const std::string& path : paths) {
    const auto before = shop::read_text(disk, bay.shop, path);
    if (!before) return fail(before.failure());
    std::string after;
    for (const std::string& line : pack::lines_with_ends(*before)) {
      const std::string_view bare = pack::bare(line);
      const bool mark =
          bare.starts_with("<<<<<<< ") || bare == "=======" || bare.starts_with(">>>>>>> ");
      if (!mark) after += line;
    }
    if (!remember(bay, after)) return false;
    const auto saved = shop::save_tip(disk, bay.shop, path, *before, after);
    if (!saved) return fail(saved.failure());
  }
  return true;
}

}  // namespace baylore::trial
