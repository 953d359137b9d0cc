// Looks at a pack from another location, checks one, takes it in, or takes it out again.
#include <fmt/format.h>

#include <memory>
#include <nlohmann/json.hpp>

#include "files/disk.h"
#include "files/names.h"
#include "opened.h"
#include "pack/accept.h"
#include "pack/keys.h"
#include "pack/preview.h"
#include "packs.h"
#include "unpack_print.h"
#include "verbs.h"

namespace baylore::cli {
namespace {

using nlohmann::json;

struct UnpackAsked {
  std::string file;
  std::vector<std::string> only;
  std::string trust_as;
  std::string who;
  std::string undo;
  bool verify = false;
  bool accept = false;
  bool list = false;
};

// A key that cannot be read trusts nobody, and is told.
pack::TrustedKeys trusted_keys(const std::string& shop) {
  if (shop.empty()) return {};
  const auto trusted = pack::read_trusted(files::real_disk(), shop);
  if (!trusted) {
    complain(trusted.failure());
    return {};
  }
  for (const files::Failure& damaged : trusted->damaged) complain(damaged);
  return *trusted;
}

int verify(const Common& common, const UnpackAsked& asked) {
  const auto verified = pack::verify(files::real_disk(), asked.file, trusted_keys(common.shop));
  if (!verified) {
    complain(verified.failure());
    return kCouldNotRun;
  }
  for (const pack::Reason& reason : verified->reasons) complain(plain(reason.text()));
  if (common.json) {
    print({{"sound", verified->sound},
           {"version", verified->bag.version},
           {"signer", signer_json(verified->signature)},
           {"reasons", cli::to_json(verified->reasons)},
           {"no_pack", cli::to_json(verified->no_pack)}});
  } else if (!verified->sound) {
    fmt::print("Not sound: {}.\n",
               counted(static_cast<std::int64_t>(verified->reasons.size()), "reason"));
  } else {
    fmt::print("Sound: a bag of version {}, {}.\n", verified->bag.version,
               plain(signer_text(verified->signature)));
    for (const pack::Reason& reason : verified->no_pack)
      fmt::print("As a pack it would be refused: {}\n", plain(reason.text()));
  }
  return verified->sound ? kDone : kFindings;
}

int tell(const Common& common, const pack::Outcome& outcome, json out, const char* what) {
  for (const files::Failure& failure : outcome.left) complain(plain(failure.text()));
  if (common.json) {
    out[what] = outcome_json(outcome);
    print(out);
  } else {
    fmt::print("{} {}: {} new, {} changed, {} kept beside ours, {} removed, {}.\n", outcome.folder,
               what, outcome.fresh, outcome.changed, outcome.conflicts, outcome.removed,
               counted(outcome.photos, "picture"));
  }
  return outcome.left.empty() ? kDone : kFindings;
}

// The texts of the pack that --only names; false, and said which, when one is not in it.
bool choose(const UnpackAsked& asked, const pack::Pack& opened, std::set<pack::TextKey>& into) {
  for (const std::string& id : asked.only) {
    bool found = false;
    for (const pack::PackText& text : opened.texts) {
      if (text.id != id) continue;
      into.insert(text.key());
      found = true;
    }
    if (found) continue;
    complain(plain(id) + ": is not in the pack: see the preview for what is");
    return false;
  }
  return true;
}

int refuse(const Common& common, const pack::Pack& opened, const json& out) {
  for (const pack::Reason& reason : opened.reasons) complain(plain(reason.text()));
  if (common.json) {
    print(out);
  } else {
    fmt::print("Refused: {}.\n",
               counted(static_cast<std::int64_t>(opened.reasons.size()), "reason"));
  }
  return kFindings;
}

int accept(const Common& common, const UnpackAsked& asked, const pack::Pack& opened, json out) {
  pack::Accepting how;
  how.who = asked.who;
  how.when = files::now_text();
  how.trust_as = asked.trust_as;
  if (!choose(asked, opened, how.chosen)) return kCouldNotRun;
  const auto outcome = pack::accept(files::real_disk(), common.shop, asked.file, opened, how);
  if (outcome) return tell(common, *outcome, std::move(out), "accepted");
  complain(plain(outcome.failure().text()));
  return outcome.failure().kind == files::Failure::Kind::denied ? kFindings : kCouldNotRun;
}

int unpack(const Common& common, const UnpackAsked& asked) {
  files::Disk& disk = files::real_disk();
  const auto finished = pack::finish_received(disk, common.shop);
  if (!finished) {
    complain(finished.failure());
    return kCouldNotRun;
  }
  for (const files::Failure& left : *finished) complain(plain(left.text()));
  const auto opened = pack::open_pack(disk, asked.file, trusted_keys(common.shop));
  if (!opened) {
    complain(opened.failure());
    return kCouldNotRun;
  }
  if (!opened->reasons.empty()) return refuse(common, *opened, preview_json(*opened, {}));
  const auto preview = pack::preview(disk, common.shop, *opened);
  if (!preview) {
    complain(preview.failure());
    return kCouldNotRun;
  }
  json out = preview_json(*opened, *preview);
  if (asked.accept) return accept(common, asked, *opened, std::move(out));
  if (common.json) {
    print(out);
  } else {
    print_preview(*opened, *preview);
  }
  return kDone;
}

int list(const Common& common) {
  const auto received = pack::read_received(files::real_disk(), common.shop);
  if (!received) {
    complain(received.failure());
    return kCouldNotRun;
  }
  for (const files::Failure& damaged : received->damaged) complain(damaged);
  json all = json::array();
  for (const pack::ReceivedPack& one : received->packs) {
    const pack::Decision& last = one.last();
    all.push_back({{"pack", one.folder},
                   {"location", last.location},
                   {"sealed", last.sealed},
                   {"state", last.accepted ? "accepted" : "undone"},
                   {"when", last.when},
                   {"who", last.who},
                   {"texts", last.texts.size()},
                   {"newly_trusted", last.newly_trusted}});
    if (common.json) continue;
    fmt::print("{}  {} {}{}: {} from {}, sealed {}\n", one.folder,
               last.accepted ? "accepted" : "undone", plain(last.when),
               last.who.empty() ? "" : " by " + plain(last.who),
               counted(static_cast<std::int64_t>(last.texts.size()), "text"), plain(last.location),
               plain(last.sealed));
  }
  if (common.json) print({{"packs", all}});
  return received->damaged.empty() ? kDone : kFindings;
}

int undo(const Common& common, const UnpackAsked& asked) {
  const auto outcome =
      pack::undo(files::real_disk(), common.shop, asked.undo, asked.who, files::now_text());
  if (outcome) return tell(common, *outcome, json::object(), "undone");
  complain(outcome.failure());
  return kCouldNotRun;
}

int run(const Common& common, const UnpackAsked& asked) {
  if (asked.verify && !asked.file.empty()) return verify(common, asked);
  if (asked.verify) {
    complain("unpack --verify: no pack or bag: name one");
    return kCouldNotRun;
  }
  if (common.shop.empty()) {
    complain("unpack: no shop: name one with --shop or BAYLORE_SHOP");
    return kCouldNotRun;
  }
  if (!is_shop(common.shop)) return kCouldNotRun;
  if (asked.list) return list(common);
  if (!asked.undo.empty()) return undo(common, asked);
  if (!asked.file.empty()) return unpack(common, asked);
  complain("unpack: no pack: name one, or use --list or --undo");
  return kCouldNotRun;
}

}  // namespace

void add_unpack(Arguments& arguments) {
  auto asked = std::make_shared<UnpackAsked>();
  Verb verb = arguments.verb("unpack", "Look at a pack from another location; accept or undo it");
  verb.text("file", asked->file, "The pack: NAME.bag.zip");
  const Option verify = verb.flag("--verify", asked->verify,
                                  "Only say whether a pack or a bag, zipped or not, is sound");
  const Option accept = verb.flag("--accept", asked->accept, "Mix it into the shop");
  verb.texts("--only", asked->only, "Accept only the text with this id; may be repeated")
      .one_at_a_time()
      .needs(accept);
  verb.text("--trust-as", asked->trust_as,
            "Trust the signer from now on, as the location of this name")
      .needs(accept);
  verb.text("--who", asked->who, "Initials of who decides");
  const Option back = verb.text("--undo", asked->undo, "Take back a pack, by its name in --list");
  const Option all = verb.flag("--list", asked->list, "Packs that were accepted or undone");
  verify.excludes(accept).excludes(back).excludes(all);
  back.excludes(accept).excludes(all);
  verb.runs([asked](const Common& common) { return run(common, *asked); });
}

}  // namespace baylore::cli
