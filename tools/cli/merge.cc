// Merges two versions of a text, as version control asks for it.
#include <fmt/format.h>

#include <array>
#include <memory>
#include <nlohmann/json.hpp>

#include "files/disk.h"
#include "files/save.h"
#include "opened.h"
#include "pack/merge.h"
#include "packs.h"
#include "verbs.h"

namespace baylore::cli {
namespace {

struct MergeAsked {
  std::string base;
  std::string ours;
  std::string theirs;
  std::string path;
};

// By the name, or by the line of column names when version control gives a name of its own.
bool is_records(const std::string& name, const std::string& ours, const std::string& theirs) {
  return name.ends_with(".csv") || ours.starts_with("id,when,kind,") ||
         theirs.starts_with("id,when,kind,");
}

int run(const Common& common, const MergeAsked& asked) {
  files::Disk& disk = files::real_disk();
  std::array<std::string, 3> texts;
  const std::array<const std::string*, 3> names = {&asked.base, &asked.ours, &asked.theirs};
  for (std::size_t i = 0; i < texts.size(); ++i) {
    auto text = disk.read(*names[i], files::kTextLimit);
    if (!text) {
      complain(text.failure());
      return kCouldNotRun;
    }
    texts[i] = std::move(*text);
  }
  const auto& [base, ours, theirs] = texts;
  const std::string& shown = asked.path.empty() ? asked.ours : asked.path;
  pack::Merged merged;
  if (is_records(shown, ours, theirs)) {
    merged.text = pack::merge_records(ours, theirs);
  } else {
    merged = pack::merge_texts(base, ours, theirs, pack::InConflict::both);
  }
  if (merged.text != ours) {
    if (const auto written = files::replace(disk, asked.ours, merged.text); !written) {
      complain(written.failure());
      return kCouldNotRun;
    }
  }
  if (common.json) {
    print({{"file", shown}, {"conflicts", cli::to_json(merged.conflicts)}});
  } else {
    for (const pack::Difference& one : merged.conflicts) {
      complain(
          fmt::format("{}: both changed {}: choose between the marks", shown, plain(one.where)));
    }
  }
  return merged.conflicts.empty() ? kDone : kFindings;
}

}  // namespace

void add_merge(Arguments& arguments) {
  auto asked = std::make_shared<MergeAsked>();
  Verb verb = arguments.verb("merge", "Merge two versions of a text into OURS; git's merge driver");
  verb.text("base", asked->base, "What both started from").required();
  verb.text("ours", asked->ours, "Ours; what comes of it is written here").required();
  verb.text("theirs", asked->theirs, "Theirs").required();
  verb.text("path", asked->path, "The file's name in the shop, for messages");
  verb.runs([asked](const Common& common) { return run(common, *asked); });
}

}  // namespace baylore::cli
