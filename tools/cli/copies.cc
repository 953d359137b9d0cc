// The copies that a file sync left in the shop: what they say, and settling them.
#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>

#include "files/disk.h"
#include "opened.h"
#include "pack/copies.h"
#include "packs.h"
#include "verbs.h"

namespace baylore::cli {
namespace {

using nlohmann::json;

struct CopiesAsked {
  std::string copy;
  std::string take;
  std::string with;
};

json copy_json(const pack::Copy& copy) {
  return {{"file", copy.path},
          {"copy", copy.copy},
          {"id", copy.key.second},
          {"title", copy.title},
          {"alone", copy.alone},
          {"ancestor", copy.base.has_value()},
          {"differences", to_json(pack::differences(copy.ours, copy.theirs))},
          {"conflicts", to_json(copy.merged.conflicts)}};
}

void print_copy(const pack::Copy& copy) {
  if (copy.alone) {
    fmt::print("{}: {}, a text of its own: --take copy gives it the name {}\n", plain(copy.copy),
               plain(copy.title), plain(copy.path));
    return;
  }
  fmt::print("{}: a copy of {}: {}\n", plain(copy.copy), plain(copy.path), plain(copy.title));
  print_differences(pack::differences(copy.ours, copy.theirs), copy.merged.conflicts);
  fmt::print("  {}\n", copy.merged.conflicts.empty()
                           ? "--take merged brings both together"
                           : "a person has to decide: --take ours, --take copy, or --with FILE");
}

int list(const Common& common, const std::vector<pack::Copy>& copies) {
  json all = json::array();
  for (const pack::Copy& copy : copies) {
    if (common.json) {
      all.push_back(copy_json(copy));
    } else {
      print_copy(copy);
    }
  }
  if (common.json) print({{"copies", all}});
  if (!common.json && copies.empty()) fmt::print("No copies.\n");
  return copies.empty() ? kDone : kFindings;
}

// The text decided for; nothing, and said why, when there is none.
std::optional<std::string> decided(const CopiesAsked& asked, const pack::Copy& copy) {
  if (!asked.with.empty()) {
    auto text = files::real_disk().read(asked.with, files::kTextLimit);
    if (text) return std::move(*text);
    complain(text.failure());
    return std::nullopt;
  }
  if (copy.alone && asked.take != "copy") {
    complain(plain(copy.copy) + ": is a text of its own: --take copy gives it a name");
    return std::nullopt;
  }
  if (asked.take == "ours") return copy.ours;
  if (asked.take == "copy") return copy.theirs;
  for (const pack::Difference& one : copy.merged.conflicts) {
    complain(
        fmt::format("{}: both changed {}: take one of the texts, or write a third and name it "
                    "with --with",
                    plain(copy.copy), plain(one.where)));
  }
  if (!copy.merged.conflicts.empty()) return std::nullopt;
  return copy.merged.text;
}

int settle(const Common& common, const CopiesAsked& asked, const std::vector<pack::Copy>& copies) {
  const auto copy = std::find_if(copies.begin(), copies.end(),
                                 [&](const pack::Copy& one) { return one.copy == asked.copy; });
  if (copy == copies.end()) {
    complain(plain(asked.copy) + ": is no copy: see baylore copies for those that are");
    return kCouldNotRun;
  }
  const auto text = decided(asked, *copy);
  if (!text) return kFindings;
  if (const auto done = pack::settle_copy(files::real_disk(), common.shop, *copy, *text); !done) {
    complain(plain(done.failure().text()));
    return done.failure().kind == files::Failure::Kind::exists ? kFindings : kCouldNotRun;
  }
  if (common.json) {
    print({{"file", copy->path}, {"settled", copy->copy}});
  } else {
    fmt::print("{}: settled in {}; both earlier texts are in history.\n", plain(copy->copy),
               plain(copy->path));
  }
  return kDone;
}

int run(const Common& common, const CopiesAsked& asked) {
  if (common.shop.empty()) {
    complain("copies: no shop: name one with --shop or BAYLORE_SHOP");
    return kCouldNotRun;
  }
  if (!is_shop(common.shop)) return kCouldNotRun;
  const auto copies = pack::find_copies(files::real_disk(), common.shop);
  if (!copies) {
    complain(copies.failure());
    return kCouldNotRun;
  }
  return asked.copy.empty() ? list(common, *copies) : settle(common, asked, *copies);
}

}  // namespace

void add_copies(Arguments& arguments) {
  auto asked = std::make_shared<CopiesAsked>();
  Verb verb =
      arguments.verb("copies", "Texts that a file sync left twice: what differs, and settling it");
  const Option copy = verb.text("copy", asked->copy, "The copy to settle, as it is listed");
  const Option take = verb.text("--take", asked->take, "The text decided for: merged, ours or copy")
                          .one_of({"merged", "ours", "copy"})
                          .needs(copy);
  const Option with =
      verb.text("--with", asked->with, "A file with the text decided for").needs(copy);
  take.excludes(with);
  verb.runs([asked, take, with](const Common& common) {
    if (!asked->copy.empty() && !take.given() && !with.given())
      return misused(asked->copy, "say with --take or --with which text it is to be");
    return run(common, *asked);
  });
}

}  // namespace baylore::cli
