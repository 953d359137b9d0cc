#include <algorithm>
#include <cstdint>
#include <functional>
#include <map>

#include "fuzz/targets.h"
#include "search/slips.h"
#include "search/understand.h"
#include "shop/document.h"
#include "shop/picture_file.h"
#include "shop/records.h"
#include "shop/tip.h"
#include "shop/vocabulary.h"
#include "trade/vin.h"

namespace baylore::fuzz {
namespace {

// A finding points at a line of the file and says what is wrong and what to do.
bool clear(const shop::Findings& findings, std::string_view bytes) {
  const auto lines = 1 + std::count(bytes.begin(), bytes.end(), '\n') +
                     std::count(bytes.begin(), bytes.end(), '\r');
  return std::all_of(findings.begin(), findings.end(), [&](const shop::Finding& finding) {
    return finding.line >= 1 && finding.line <= lines && finding.column >= 1 &&
           !finding.rule.empty() && !finding.message.empty() && !finding.text().empty();
  });
}

}  // namespace

std::string tip(std::string_view bytes) {
  const shop::Document document = shop::Document::parse(std::string(bytes));
  if (document.bytes() != bytes) return "a document that was only read is not what it was";
  const shop::Tip tip = shop::read_tip(document, "tips/x.md");
  if (!clear(tip.findings, bytes)) return "a finding of the tip is not clear";
  if (tip.id.empty() || tip.slug != "x") return "a tip without a name";
  for (const shop::Check& check : tip.checks) {
    if (check.id.empty()) return "a check without an id";
  }

  // An edit is there afterwards, and undoes nothing else that was understood.
  shop::Document edited = document;
  edited.set_value("title", "Other words");
  if (edited.value("title") != "Other words") return "a title that was set is another";
  for (const shop::Section& section : document.sections()) {
    const shop::Section* same = edited.section(section.key);
    if (same == nullptr) return "setting the title lost a section";
  }
  edited.set_section("Finish", "Road test.");
  const shop::Section* finish = edited.section("finish");
  if (finish == nullptr || finish->body != "Road test.") return "a section that was set is another";
  shop::Document again = shop::Document::parse(edited.bytes());
  if (again.value("title") != "Other words") return "an edit does not read back";
  return {};
}

std::string records(std::string_view bytes) {
  shop::Records records;
  shop::read_records(bytes, "records/bay-1/2026-03.csv", records);
  if (!clear(records.findings, bytes)) return "a finding of the records is not clear";
  const std::size_t first = records.records.size();
  for (const shop::Record& record : records.records) {
    if (record.id.empty() || record.kind.empty()) return "a record without an id or a kind";
  }
  (void)shop::open_questions(records);
  // Reading again adds the same, whatever came before.
  shop::read_records(bytes, "records/bay-1/2026-03.csv", records);
  if (records.records.size() != first && records.records.size() != 2 * first) {
    return "a second reading finds other records";
  }

  std::vector<std::string> fields;
  const std::string_view line = bytes.substr(0, bytes.find_first_of("\r\n"));
  if (shop::read_csv_line(line, fields)) {
    std::vector<std::string> again;
    if (!shop::read_csv_line(shop::csv_line(fields), again) || again != fields) {
      return "csv_line() does not read back to the same fields";
    }
  }
  return {};
}

std::string vocabulary(std::string_view bytes) {
  shop::Vocabulary vocabulary;
  shop::read_vocabulary(shop::Document::parse(std::string(bytes)), "vocabulary/x.md", vocabulary);
  if (!clear(vocabulary.findings, bytes)) return "a finding of the vocabulary is not clear";
  for (const shop::Model& model : vocabulary.models) {
    if (model.name.empty()) return "a model without a name";
    if (model.last_year != 0 && model.last_year < model.first_year) return "years turned round";
  }
  for (const auto& group : vocabulary.synonyms) {
    if (group.size() < 2) return "a group of one word";
  }
  // Whatever a vocabulary holds, a line can be understood with it.
  (void)search::understand("2014 corvane hauler 3.6 heater cold P0128", vocabulary);
  return {};
}

namespace {

// A shop of some words, each in so many tips.
class FewWords : public search::Lexicon {
 public:
  [[nodiscard]] std::uint32_t tips() const override { return 40; }
  [[nodiscard]] std::uint32_t tips_with(std::string_view word) const override {
    const auto found = words_.find(word);
    return found == words_.end() ? 0 : found->second;
  }
  void each(const std::function<void(std::string_view, std::uint32_t)>& visit) const override {
    for (const auto& [word, tips] : words_) visit(word, tips);
  }
  [[nodiscard]] std::uint64_t stamp() const override { return 1; }
  [[nodiscard]] std::uint32_t together(std::string_view a, std::string_view b) const override {
    return std::min(tips_with(a), tips_with(b)) / 2;
  }

 private:
  std::map<std::string, std::uint32_t, std::less<>> words_ = {
      {"belt", 9},    {"tensioner", 12}, {"tension", 3}, {"heater", 8}, {"water", 9},
      {"pump", 14},   {"alternator", 6}, {"brake", 20},  {"brakes", 4}, {"no", 30},
      {"kites", 1},   {"stops", 5},      {"a", 40},      {"x", 1},      {"rattle", 3},
      {"coolant", 9}, {"lost", 2},       {"cold", 18}};
};

// The line with its slips put right: as good as one that was typed so.
std::string slips_of(std::string_view bytes, const search::Language& language,
                     const search::Understood& typed) {
  static const FewWords kWords;
  static search::Slips slips;
  const search::KnownPart part = [](std::string_view joined) {
    return joined == "88214" ? std::string("88-214") : std::string();
  };
  const search::Understood all =
      search::understand_with_slips(bytes, language, kWords, slips, true, {}, part);
  if (all.line_without_vin != typed.line_without_vin) return "a correction is in the line kept";
  if (trade::find_vin(all.words_typed)) return "a VIN is left in the words that may be kept";
  std::vector<std::string> refused;
  for (const search::Slip& slip : all.slips) {
    if (slip.words.empty() || slip.count == 0) return "a slip for nothing";
    if (trade::find_vin(slip.said())) return "a VIN in what is said";
    refused.push_back(slip.key);
  }
  for (const search::Token& token : all.tokens) {
    if (trade::find_vin(token.from) || trade::find_vin(token.shown)) return "a VIN in a token";
    if (token.at > bytes.size()) return "a token outside of the line";
    for (const std::string& choice : token.choices) {
      const search::Understood chosen =
          search::understand(search::completed(bytes, token, choice), language, {}, part);
      if (bytes.size() < 4000 && !chosen.vin_seen &&
          std::find(chosen.codes.begin(), chosen.codes.end(), choice) == chosen.codes.end()) {
        return "a choice that was taken is not understood";
      }
    }
  }
  const search::Understood as_typed =
      search::understand_with_slips(bytes, language, kWords, slips, true, refused, part);
  const search::Understood plain = search::understand(bytes, language, {}, part);
  for (const search::Slip& slip : as_typed.slips) {
    if (std::find(refused.begin(), refused.end(), slip.key) != refused.end()) {
      return "a slip refused stays";
    }
  }
  if (as_typed.slips.empty() && as_typed.words != plain.words) return "a correction nobody says";
  return {};
}

}  // namespace

std::string query(std::string_view bytes) {
  static const search::Language kLanguage = [] {
    shop::Vocabulary made;
    made.models = {{"Corvane", "Hauler", 2012, 2022, {"3.6 V6", "5.3 V8"}},
                   {"Corvane", "Pallet", 2015, 2023, {"2.2 diesel"}},
                   {"Merrin", "Kite", 2014, 2023, {"1.4 turbo I4", "1.8 hybrid"}},
                   {"Merrin", "F-9", 1988, 0, {}}};
    made.synonyms = {{"heater", "cabin heat"}, {"kite", "diamond"}};
    made.components = {{"coolant pump", "cooling", {"water pump"}}};
    return search::Language(made);
  }();
  const search::Understood all = search::understand(bytes, kLanguage);
  if (trade::find_vin(all.line_without_vin)) return "a VIN is left in the line that may be kept";
  if (trade::find_vin(all.words_typed)) return "a VIN is left in the words that may be kept";
  std::vector<std::string> keys;
  for (const search::Token& token : all.tokens) {
    if (token.key.empty() || token.shown.empty()) return "a token that cannot be shown or dropped";
    if (trade::find_vin(token.from) || trade::find_vin(token.shown)) return "a VIN in a token";
    keys.push_back(token.key);
  }
  if (all.vehicle.last_year != 0 && all.vehicle.last_year <= all.vehicle.year) {
    return "years turned round";
  }
  const search::Understood none = search::understand(bytes, kLanguage, keys);
  for (const search::Token& token : none.tokens) {
    if (std::find(keys.begin(), keys.end(), token.key) != keys.end())
      return "a token dropped stays";
  }
  return slips_of(bytes, kLanguage, all);
}

// What is cut out of a picture's file leaves a file of the same kind that has nothing more to tell,
// stands as before, and is hardly longer.
std::string intake(std::string_view bytes) {
  const shop::PictureFile file = shop::read_picture_file(bytes);
  if (file.orientation < 1 || file.orientation > 8) return "an orientation that is none";
  if (!file.whole) return file.plain.empty() && !file.tells_more ? "" : "half a file is told of";
  if (file.kind == shop::PictureFile::Kind::neither) return "whole, and nothing";
  if (file.plain.size() > bytes.size() + shop::kMostAdded) return "what is left is longer";
  const shop::PictureFile again = shop::read_picture_file(file.plain);
  if (!again.whole || again.kind != file.kind) return "what is left is no picture's file";
  if (again.tells_more) return "what is left tells more";
  if (again.orientation != file.orientation) return "what is left stands otherwise";
  if (again.plain != file.plain) return "what is left changes again";
  return {};
}

}  // namespace baylore::fuzz
