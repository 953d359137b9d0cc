#include "store/reading.h"

#include <algorithm>
#include <memory>
#include <utility>
#include <vector>

#include "files/names.h"
#include "shop/document.h"
#include "shop/fold.h"
#include "shop/vocabulary.h"

namespace baylore::store {
namespace {

// A disk that holds one file, to read settings from bytes that are no longer on the real one.
class OneFile : public files::Disk {
 public:
  explicit OneFile(std::string_view bytes) : bytes_(bytes) {}

  files::Result<std::unique_ptr<files::Output>> create(const std::string& path) override {
    return none(path);
  }
  files::Result<std::unique_ptr<files::Output>> append(const std::string& path) override {
    return none(path);
  }
  files::Result<void> rename(const std::string& from, const std::string& /*to*/) override {
    return none(from);
  }
  files::Result<void> link(const std::string& from, const std::string& /*to*/) override {
    return none(from);
  }
  files::Result<void> remove(const std::string& path) override { return none(path); }
  files::Result<void> make_folder(const std::string& path) override { return none(path); }
  files::Result<void> sync_folder(const std::string& folder) override { return none(folder); }
  files::Result<std::string> read(const std::string& path, std::uint64_t limit) override {
    if (files::name_of(path) != "shop.md" || bytes_.size() > limit) return none(path);
    return std::string(bytes_);
  }
  files::Result<std::string> read_end(const std::string& path, std::size_t /*count*/) override {
    return none(path);
  }
  files::Result<files::Status> status(const std::string& path) override {
    if (files::name_of(path) != "shop.md") return none(path);
    files::Status status;
    status.size = bytes_.size();
    return status;
  }
  files::Result<std::vector<files::Listed>> list(const std::string& folder) override {
    return none(folder);
  }

 private:
  static files::Failure none(const std::string& path) {
    return {files::Failure::Kind::missing, path, "there is no such file", ""};
  }
  std::string_view bytes_;
};

}  // namespace

FtsTexts columns_of(const AreaTexts& areas) {
  FtsTexts columns;
  for (std::size_t area = 0; area < kAreas; ++area) {
    if (areas[area].empty()) continue;
    std::string& column = columns[static_cast<std::size_t>(kColumnOfArea[area])];
    if (!column.empty()) column += '\n';
    column += areas[area];
  }
  return columns;
}

shop::Settings settings_of(std::string_view bytes) {
  OneFile disk(bytes);
  auto settings = shop::read_settings(disk, "");
  return settings ? std::move(*settings) : shop::Settings();
}

void understand_bytes(Reading& reading) {
  if (reading.kind == shop::Kind::shop) {
    reading.findings = settings_of(reading.bytes).findings;
  } else {
    const shop::Document document = shop::Document::parse(reading.bytes);
    if (reading.kind == shop::Kind::tip) {
      reading.tip = shop::read_tip(document, reading.path);
      reading.findings = std::move(reading.tip->findings);
      const AreaTexts areas = areas_of_tip(*reading.tip);
      reading.words = columns_of(areas);
      reading.spread = spread_bytes(*reading.tip, areas);
      if (const shop::Field* id = document.field("id"); id != nullptr) {
        reading.id_line = std::max(id->line, 1);
        reading.id_column = std::max(id->column, 1);
      }
    } else if (reading.kind == shop::Kind::vocabulary) {
      shop::Vocabulary vocabulary;
      shop::read_vocabulary(document, reading.path, vocabulary);
      reading.findings = std::move(vocabulary.findings);
    } else {
      for (const shop::Problem& problem : document.problems()) {
        reading.findings.push_back({reading.path, std::max(problem.line, 1),
                                    std::max(problem.column, 1), problem.level, problem.rule,
                                    problem.what, problem.remedy});
      }
    }
  }
  for (shop::Finding& finding : reading.findings) finding.file = reading.path;
}

}  // namespace baylore::store
