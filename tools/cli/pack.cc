// Seals tips into a pack for another location.
#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>

#include "files/disk.h"
#include "opened.h"
#include "pack/keys.h"
#include "pack/seal.h"
#include "packs.h"
#include "shop/shop.h"
#include "verbs.h"

namespace baylore::cli {
namespace {

using nlohmann::json;

struct PackAsked {
  pack::Choice choice;
  std::string to = ".";
  std::string name;
  std::string date;
  std::string key;
  bool no_parts = false;
  bool no_photos = false;
  bool show_key = false;
  bool dry_run = false;
};

int show_key(const Common& common, const pack::OwnKey& own, const std::string& path) {
  const pack::PublicKey key = own.key.public_key();
  if (common.json) {
    print({{"key", key.line()}, {"key_id", pack::key_id_text(key.id)}, {"made", own.made}});
  } else {
    if (own.made) complain(path + ": made, and readable by you alone");
    fmt::print("{}", pack::public_key_file(key));
  }
  return kDone;
}

json plan_json(const pack::SealPlan& plan) {
  json texts = json::array();
  for (const pack::SealText& text : plan.texts) {
    texts.push_back({{"kind", pack::kind_word(text.kind)},
                     {"id", text.id},
                     {"title", text.title},
                     {"file", text.path}});
  }
  return {{"texts", texts}, {"photos", plan.photos}, {"left_out", cli::to_json(plan.left_out)}};
}

std::string summary(const pack::SealPlan& plan) {
  const std::int64_t tips =
      std::count_if(plan.texts.begin(), plan.texts.end(),
                    [](const pack::SealText& text) { return text.kind == shop::Kind::tip; });
  const std::int64_t families = static_cast<std::int64_t>(plan.texts.size()) - tips;
  return fmt::format("{}, {}, {}{}", counted(tips, "tip"),
                     families == 1 ? "1 part family" : fmt::format("{} part families", families),
                     counted(static_cast<std::int64_t>(plan.photos.size()), "picture"),
                     plan.counts ? ", counts" : "");
}

// Seals what was planned; false, and said why, when that is not possible.
bool seal(const Common& common, const PackAsked& asked, const pack::SealPlan& plan,
          const std::string& key_path, json& out) {
  files::Disk& disk = files::real_disk();
  const auto settings = shop::read_settings(disk, common.shop);
  const auto own = pack::own_key(disk, key_path);
  if (!own) {
    complain(own.failure());
    return false;
  }
  if (own->made) complain(key_path + ": made, and readable by you alone");
  const pack::SealOptions options{asked.name, asked.date.empty() ? today() : asked.date,
                                  settings ? settings->name : std::string()};
  const auto sealed = pack::seal(disk, common.shop, plan, options, own->key, asked.to);
  if (!sealed) {
    complain(sealed.failure());
    return false;
  }
  out["file"] = sealed->path;
  out["name"] = sealed->name;
  out["date"] = options.date;
  out["bytes"] = sealed->bytes;
  out["key"] = sealed->key.line();
  out["key_id"] = pack::key_id_text(sealed->key.id);
  if (!common.json) {
    fmt::print("{}: {}\n", sealed->path, summary(plan));
    fmt::print("Signed with {}: {}\n", pack::key_id_text(sealed->key.id), sealed->key.line());
  }
  return true;
}

int run(const Common& common, PackAsked asked) {
  files::Disk& disk = files::real_disk();
  if (!is_shop(common.shop)) return kCouldNotRun;
  const std::string key_path = asked.key.empty() ? pack::secret_key_path(common.shop) : asked.key;
  if (asked.show_key) {
    const auto own = pack::own_key(disk, key_path);
    if (own) return show_key(common, *own, key_path);
    complain(own.failure());
    return kCouldNotRun;
  }
  asked.choice.parts = !asked.no_parts;
  asked.choice.photos = !asked.no_photos;
  const auto plan = pack::plan_seal(disk, common.shop, asked.choice);
  if (!plan) {
    complain(plan.failure());
    return kCouldNotRun;
  }
  for (const pack::Reason& reason : plan->left_out)
    complain(plain(reason.text()) + ": left out of the pack");
  json out = plan_json(*plan);
  if (asked.dry_run) {
    if (!common.json) {
      for (const pack::SealText& text : plan->texts)
        fmt::print("{}  {}\n", text.path, plain(text.title));
      fmt::print("{} would go.\n", summary(*plan));
    }
  } else if (!seal(common, asked, *plan, key_path, out)) {
    return kCouldNotRun;
  }
  if (common.json) print(out);
  return plan->left_out.empty() ? kDone : kFindings;
}

}  // namespace

void add_pack(Arguments& arguments) {
  auto asked = std::make_shared<PackAsked>();
  Verb verb = arguments.verb("pack", "Seal tips into a signed pack for another location");
  verb.option("--shop").required();
  verb.texts("ids", asked->choice.ids, "Ids or slugs of tips (default: all but drafts)");
  verb.texts("--system", asked->choice.systems, "Only tips of this system; may be repeated")
      .one_at_a_time();
  verb.texts("--author", asked->choice.authors, "Only tips by this author; may be repeated")
      .one_at_a_time();
  verb.text("--since", asked->choice.since, "Only tips written this day or later");
  verb.flag("--counts", asked->choice.counts, "Also how often each held: numbers only");
  verb.flag("--no-parts", asked->no_parts, "Without the part families that the tips use");
  verb.flag("--no-photos", asked->no_photos, "Without pictures");
  verb.text("--to", asked->to, "Folder to write into, such as a mounted stick").shows_default();
  verb.text("--name", asked->name, "Its name (default: the shop's name and the date)");
  verb.text("--date", asked->date, "The day that stands in it (default: today)");
  verb.text("--key", asked->key, "Secret key as minisign keeps it, without a passphrase");
  verb.flag("--dry-run", asked->dry_run, "Only say what would go");
  verb.flag("--show-key", asked->show_key, "Print the public key for the other location");
  verb.runs([asked](const Common& common) { return run(common, *asked); });
}

}  // namespace baylore::cli
