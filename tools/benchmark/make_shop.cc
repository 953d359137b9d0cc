// Writes a shop of any number of generated tips, for measuring: tip_maker.h says what they are
// like. The same tips to learn from and the same vehicles always give the same bytes.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "files/disk.h"
#include "shop/shop.h"
#include "shop/vocabulary.h"
#include "tip_maker.h"
#include "vehicles.h"

namespace {

using namespace baylore;
using benchmark::TipMaker;

constexpr std::uint64_t kFilesOfAFolder = 1000;

bool put(const std::filesystem::path& path, const std::string& bytes) {
  std::ofstream file(path, std::ios::binary);
  file << bytes;
  file.close();
  return !file.fail();
}

int fail(const std::string& what) {
  fmt::print(stderr, "baylore-make-shop: {}\n", what);
  return 2;
}

std::string makes(const benchmark::Fleet& fleet) {
  std::map<std::string, std::string> by_make;
  for (const benchmark::Model& model : fleet.models()) {
    std::string engines;
    for (const std::string& engine : model.engines) {
      engines += (engines.empty() ? "" : "; ") + engine;
    }
    by_make[model.make] += fmt::format("- model: {} | {}-{} | {}\n", model.name, model.first_year,
                                       model.last_year, engines);
  }
  std::string out = "## Makes\n";
  for (const auto& [make, models] : by_make) out += fmt::format("### {}\n{}", make, models);
  return out;
}

// The plain words of a list, without names and forms with an apostrophe.
std::vector<std::string> dictionary_of(const std::string& path) {
  std::vector<std::string> words;
  std::ifstream in(path);
  std::string word;
  while (std::getline(in, word)) {
    const bool plain = word.find_first_not_of("abcdefghijklmnopqrstuvwxyz") == std::string::npos;
    if (plain && word.size() > 2) words.push_back(word);
  }
  return words;
}

}  // namespace

int main(int argc, char** argv) {
  std::string folder;
  std::uint64_t count = 0;
  std::string like;
  std::string csv;
  std::string words;
  bool brief = false;
  CLI::App app("Writes a shop of generated tips, for measuring.");
  app.add_option("FOLDER", folder, "the new shop")->required();
  app.add_option("COUNT", count, "tips")->required()->check(CLI::PositiveNumber);
  app.add_option("--like", like, "the shop whose tips they are to resemble")->required();
  app.add_option("--vehicles", csv, "make, model, year, cyl and displ; invented ones without it");
  app.add_option("--words", words, "a word list of the language, such as /usr/share/dict/words");
  app.add_flag("--brief", brief, "tips of some 150 words");
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? 0 : 2;
  }

  files::Disk& disk = files::real_disk();
  const auto listed = disk.list(like);
  if (!listed) return fail(listed.failure().text());
  std::vector<shop::Tip> tips;
  std::map<std::string, std::string> vocabulary;
  for (const files::Listed& each : *listed) {
    const shop::Kind kind = shop::kind_of(each.path);
    if (kind != shop::Kind::tip && kind != shop::Kind::vocabulary) continue;
    const auto text = shop::read_text(disk, like, each.path);
    if (!text) return fail(text.failure().text());
    const shop::Document document = shop::Document::parse(*text);
    if (kind == shop::Kind::vocabulary) {
      // The makes are others here.
      if (document.section("makes") == nullptr) vocabulary[each.path] = *text;
      continue;
    }
    shop::Tip tip = shop::read_tip(document, each.path);
    if (tip.lang == "en" && tip.status == "current") tips.push_back(std::move(tip));
  }
  if (tips.empty()) return fail(like + ": has no tips");
  std::vector<benchmark::Model> models = benchmark::invented_vehicles();
  if (!csv.empty()) {
    auto read = benchmark::read_vehicles(csv);
    if (!read) return fail(read.failure().text());
    models = std::move(*read);
  }
  const TipMaker maker(std::move(tips), shop::read_vocabulary(disk, like),
                       benchmark::Fleet(std::move(models)), dictionary_of(words), brief);

  const std::filesystem::path shop = folder;
  std::error_code error;
  std::filesystem::create_directories(shop / "vocabulary", error);
  std::filesystem::create_directories(shop / "photos", error);
  bool ok = put(shop / "shop.md", "---\nname: Many tips\ndemo: yes\n---\n") &&
            put(shop / "vocabulary" / "vehicles-of-this-shop.md", makes(maker.fleet()));
  for (const auto& [path, text] : vocabulary) ok = ok && put(shop / path, text);
  for (std::size_t i = 0; ok && i < TipMaker::kPhotos; ++i) {
    ok = put(shop / "photos" / fmt::format("photo{}.png", i), "only its name is looked at");
  }
  std::filesystem::path in;
  for (std::uint64_t i = 0; ok && i < count; ++i) {
    if (i % kFilesOfAFolder == 0) {
      in = shop / "tips" / fmt::format("{:04}", i / kFilesOfAFolder);
      std::filesystem::create_directories(in, error);
    }
    ok = put(in / (TipMaker::slug(i) + ".md"), maker.tip(i));
  }
  return ok ? 0 : fail(folder + ": cannot be written");
}
