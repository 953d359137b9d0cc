#include <fmt/format.h>

#include <memory>
#include <nlohmann/json.hpp>
#include <set>

#include "files/disk.h"
#include "files/names.h"
#include "files/save.h"
#include "fuel_economy.h"
#include "opened.h"
#include "shop/shop.h"

namespace baylore::cli {
namespace {

// The published file has some 50,000 lines; ten times that still fits.
constexpr std::uint64_t kFileLimit = 512U << 20U;

struct VehiclesAsked {
  std::string from;
  std::string into = "vocabulary/makes-from-epa.md";
};

// What the shop's own files already say of makes and models.
shop::Vocabulary own_vocabulary(files::Disk& disk, const std::string& shop_folder) {
  shop::Vocabulary own;
  const auto listed = disk.list(files::join(shop_folder, "vocabulary"));
  if (!listed) return own;
  for (const files::Listed& one : *listed) {
    const std::string path = files::join("vocabulary", one.path);
    if (one.status.folder || shop::kind_of(path) != shop::Kind::vocabulary) continue;
    const auto text = shop::read_text(disk, shop_folder, path);
    if (text && !made_from_fuel_economy(*text)) {
      shop::read_vocabulary(shop::Document::parse(*text), path, own);
    }
  }
  return own;
}

// Reads the file, leaves out what the shop wrote by hand, and writes one vocabulary file. It only
// ever replaces a file that it made itself.
int vehicles(const Common& common, const VehiclesAsked& asked) {
  files::Disk& disk = files::real_disk();
  const auto folder = disk.status(common.shop);
  if (!folder || !folder->folder) {
    complain(common.shop + ": no shop folder here: name one with --shop or BAYLORE_SHOP");
    return kCouldNotRun;
  }
  if (shop::kind_of(asked.into) != shop::Kind::vocabulary ||
      asked.into.find("..") != std::string::npos) {
    complain(asked.into + ": no vocabulary file: write it as in vocabulary/makes-from-epa.md");
    return kCouldNotRun;
  }
  const auto bytes = disk.read(asked.from, kFileLimit);
  if (!bytes) {
    complain(bytes.failure());
    return kCouldNotRun;
  }
  const FuelEconomy read = read_fuel_economy(*bytes, asked.from);
  for (const shop::Finding& finding : read.findings) complain(finding.text());
  if (read.models.empty()) {
    complain(asked.from + ": no vehicles in it: nothing is written");
    return kCouldNotRun;
  }

  const std::string path = files::join(common.shop, asked.into);
  const std::string text = vocabulary_text(read.models, own_vocabulary(disk, common.shop).models);
  const auto before = disk.read(path, files::kTextLimit);
  if (!before && before.failure().kind != files::Failure::Kind::missing) {
    complain(before.failure());
    return kCouldNotRun;
  }
  if (before && !made_from_fuel_economy(*before)) {
    complain(asked.into + ": written by hand: give another name with --into");
    return kCouldNotRun;
  }
  const bool changed = !before || *before != text;
  if (changed) {
    if (const auto saved = files::replace(disk, path, text); !saved) {
      complain(saved.failure());
      return kCouldNotRun;
    }
  }

  shop::Vocabulary written;
  shop::read_vocabulary(shop::Document::parse(text), asked.into, written);
  for (const shop::Finding& finding : written.findings) complain(finding.text());
  std::set<std::string> makes;
  for (const shop::Model& model : written.models) makes.insert(model.make);
  if (common.json) {
    nlohmann::json findings = nlohmann::json::array();
    for (const shop::Finding& finding : read.findings) findings.push_back(cli::to_json(finding));
    print({{"file", asked.into},
           {"changed", changed},
           {"rows", read.rows},
           {"makes", makes.size()},
           {"models", written.models.size()},
           {"findings", findings}});
  } else {
    fmt::print("{}: {} of {} from {}, {}.\n", asked.into,
               counted(static_cast<std::int64_t>(written.models.size()), "line"),
               counted(static_cast<std::int64_t>(makes.size()), "make"), counted(read.rows, "row"),
               changed ? "written" : "as it was");
  }
  return read.findings.empty() ? kDone : kFindings;
}

}  // namespace

void add_vehicles(Arguments& arguments) {
  Verb verb = arguments.verb(
      "vehicles", "Makes, models, years and engines from the public US fuel-economy file");
  verb.option("--shop").required();
  const auto asked = std::make_shared<VehiclesAsked>();
  verb.text("--from", asked->from, "The CSV file, as fueleconomy.gov publishes it").required();
  verb.text("--into", asked->into, "Vocabulary file to write").shows_default();
  verb.runs([asked](const Common& common) { return vehicles(common, *asked); });
}

}  // namespace baylore::cli
