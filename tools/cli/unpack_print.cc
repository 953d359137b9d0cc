#include "unpack_print.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "opened.h"
#include "packs.h"

namespace baylore::cli {
namespace {

using nlohmann::json;
using pack::Change;

json item_json(const pack::PreviewItem& item) {
  json made = {{"kind", pack::kind_word(item.key.first)},
               {"id", item.key.second},
               {"title", item.title},
               {"file", item.path}};
  json findings = json::array();
  for (const shop::Finding& finding : item.findings) findings.push_back(cli::to_json(finding));
  made["findings"] = findings;
  if (!item.differences.empty()) made["differences"] = cli::to_json(item.differences);
  if (item.change == Change::conflict) made["both_changed"] = cli::to_json(item.conflicts);
  if (item.change == Change::replaced) made["how"] = "replaced";
  if (item.change == Change::merged) made["how"] = "merged";
  return made;
}

void print_item(const pack::PreviewItem& item) {
  fmt::print("{:<9} {} {}: {}\n", pack::change_word(item.change), pack::kind_word(item.key.first),
             item.key.second, plain(item.title));
  if (!item.why.empty()) fmt::print("    {}\n", plain(item.why));
  print_differences(item.differences, item.conflicts);
  for (const shop::Finding& finding : item.findings)
    fmt::print("    check: {}\n", plain(finding.text()));
}

}  // namespace

std::string signer_text(const pack::Signed& signature) {
  switch (signature.signer) {
    case pack::Signer::trusted:
      return fmt::format("signed by {}, whose key {} is trusted here", signature.location,
                         signature.key_id);
    case pack::Signer::unknown:
      if (signature.key) {
        return fmt::format("signed with {}, which is not trusted here: {}", signature.key_id,
                           signature.key->line());
      }
      return fmt::format(
          "signed with {}, which is not known here and did not come with it, so that the "
          "signature could not be checked",
          signature.key_id);
    case pack::Signer::nobody:
      return "unsigned";
    case pack::Signer::altered:
      break;
  }
  return "altered after it was signed";
}

json signer_json(const pack::Signed& signature) {
  if (signature.signer == pack::Signer::nobody) return nullptr;
  return {{"state", pack::signer_word(signature.signer)},
          {"location", signature.location},
          {"key_id", signature.key_id},
          {"key", signature.key ? json(signature.key->line()) : json(nullptr)},
          {"comment", signature.comment}};
}

void print_preview(const pack::Pack& opened, const pack::Preview& preview) {
  fmt::print("{}, sealed {} by {}: {}.\n", plain(opened.name),
             plain(opened.bag.value("Bagging-Date")),
             plain(opened.bag.value("Source-Organization")), plain(signer_text(opened.signature)));
  std::int64_t same = 0;
  for (const pack::PreviewItem& item : preview.items) {
    if (item.change == Change::same) {
      ++same;
    } else {
      print_item(item);
    }
  }
  for (const pack::Reason& reason : opened.refused)
    fmt::print("left out  {}\n", plain(reason.text()));
  if (same > 0) fmt::print("{} here already.\n", counted(same, "text"));
  if (!preview.photos.empty()) {
    fmt::print("{} would come with them.\n",
               counted(static_cast<std::int64_t>(preview.photos.size()), "picture"));
  }
  if (preview.counts > 0) {
    fmt::print("{} of how tips and parts did{}.\n",
               counted(static_cast<std::int64_t>(preview.counts), "count"),
               preview.counts_replace.empty()
                   ? ""
                   : fmt::format("; those of {} are here", plain(preview.counts_replace)));
  }
}

json preview_json(const pack::Pack& opened, const pack::Preview& preview) {
  json out = {{"verdict", opened.verdict()},
              {"signer", signer_json(opened.signature)},
              {"name", opened.name},
              {"sealed", opened.bag.value("Bagging-Date")},
              {"from", opened.bag.value("Source-Organization")},
              {"new", json::array()},
              {"changed", json::array()},
              {"conflicts", json::array()},
              {"refused", cli::to_json(opened.refused)},
              {"reasons", cli::to_json(opened.reasons)},
              {"photos", preview.photos},
              {"counts", preview.counts},
              {"counts_here", preview.counts_replace}};
  int same = 0;
  for (const pack::PreviewItem& item : preview.items) {
    switch (item.change) {
      case Change::fresh:
        out["new"].push_back(item_json(item));
        break;
      case Change::replaced:
      case Change::merged:
        out["changed"].push_back(item_json(item));
        break;
      case Change::conflict:
        out["conflicts"].push_back(item_json(item));
        break;
      case Change::same:
        ++same;
        break;
      case Change::blocked:
        out["refused"].push_back({{"rule", "blocked"}, {"file", item.path}, {"message", item.why}});
        break;
    }
  }
  out["same"] = same;
  return out;
}

json outcome_json(const pack::Outcome& outcome) {
  json left = json::array();
  for (const files::Failure& failure : outcome.left) left.push_back(failure.text());
  return {{"pack", outcome.folder},         {"new", outcome.fresh}, {"changed", outcome.changed},
          {"conflicts", outcome.conflicts}, {"same", outcome.same}, {"removed", outcome.removed},
          {"photos", outcome.photos},       {"left", left}};
}

}  // namespace baylore::cli
