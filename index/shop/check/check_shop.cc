#include <algorithm>
#include <atomic>
#include <thread>
#include <tuple>
#include <utility>

#include "files/names.h"
#include "shop/check/check.h"
#include "shop/check/cross.h"
#include "shop/check/facts.h"
#include "shop/check/text_checks.h"
#include "shop/check/tip_checks.h"
#include "shop/check/translation.h"
#include "shop/notes.h"
#include "shop/part.h"
#include "shop/shop.h"

namespace baylore::shop {
namespace {

using namespace checking;

// Runs `work(i)` for each i below `count` on several threads, until it is stopped. `work` must
// touch only what belongs to its i.
template <class Work>
void for_each(std::size_t count, const CheckOptions& options, const Work& work) {
  int threads = options.threads;
  if (threads <= 0)
    threads = static_cast<int>(std::clamp(std::thread::hardware_concurrency(), 1U, 8U));
  std::atomic<std::size_t> next{0};
  const auto run = [&] {
    for (std::size_t i = next++; i < count; i = next++) {
      if (options.stop != nullptr && *options.stop) return;
      work(i);
    }
  };
  std::vector<std::thread> others;
  for (int i = 1; i < threads && static_cast<std::size_t>(i) < count; ++i) others.emplace_back(run);
  run();
  for (std::thread& other : others) other.join();
}

Finding unreadable(const std::string& path, const files::Failure& failure) {
  return {path, 1, 1, Level::error, "file", failure.what, failure.remedy};
}

// What one text of the shop gives.
struct Looked {
  Findings findings;
  TipFacts tip;
  PartFacts part;
  PartFamily family;
};

// A vocabulary file's sections are its own.
const std::vector<std::string>& no_sections() {
  static const std::vector<std::string> kNone;
  return kNone;
}

void take(Findings more, Findings& into) {
  std::move(more.begin(), more.end(), std::back_inserter(into));
}

Looked look(files::Disk& disk, const std::string& folder, const std::string& path, Kind kind,
            const CheckOptions& options) {
  Looked looked;
  const auto text = read_text(disk, folder, path);
  if (!text) {
    looked.findings.push_back(unreadable(path, text.failure()));
    return looked;
  }
  const Document document = Document::parse(*text);
  if (kind == Kind::tip) {
    const Tip tip = read_tip(document, path);
    looked.findings = check_tip(document, tip, options);
    looked.tip = facts_of(document, tip);
    return looked;
  }
  Notes notes(path, looked.findings);
  if (kind == Kind::vocabulary) check_model_years(document, options, notes);
  if (kind == Kind::part) {
    looked.family = read_part(document, path);
    take(std::move(looked.family.findings), looked.findings);
    looked.family.sections.clear();
    looked.part = part_facts_of(document, path);
  }
  check_lines(document, notes);
  check_sections(document, kind == Kind::part ? part_sections() : no_sections(), notes);
  return looked;
}

// Reads both sides of each translation again: their numbers are not kept for all tips.
void compare_translations(files::Disk& disk, const std::string& folder, const ShopFacts& facts,
                          const CheckOptions& options, Findings& into) {
  const TipNames names(facts.tips);
  std::vector<std::pair<std::size_t, std::size_t>> pairs;
  for (std::size_t i = 0; i < facts.tips.size(); ++i) {
    const std::string& of = facts.tips[i].translation_of.to;
    if (of.empty()) continue;
    const std::vector<std::size_t> found = names.find(of);
    if (!found.empty() && found.front() != i) pairs.emplace_back(found.front(), i);
  }
  std::vector<Findings> each(pairs.size());
  for_each(pairs.size(), options, [&](std::size_t i) {
    const auto original = read_text(disk, folder, facts.tips[pairs[i].first].path);
    const auto translation = read_text(disk, folder, facts.tips[pairs[i].second].path);
    if (!original || !translation) return;  // told when it was read the first time
    const Document a = Document::parse(*original);
    const Document b = Document::parse(*translation);
    const Tip tip_a = read_tip(a, facts.tips[pairs[i].first].path);
    const Tip tip_b = read_tip(b, facts.tips[pairs[i].second].path);
    check_translation({a, tip_a}, {b, tip_b}, each[i]);
  });
  for (Findings& findings : each)
    std::move(findings.begin(), findings.end(), std::back_inserter(into));
}

}  // namespace

// 1. One list of the shop's folder: which texts there are, and which pictures.
// 2. Each text is read, judged alone and boiled down to facts, on all threads.
// 3. Facts are compared, on one thread: that is short.
files::Result<ShopReport> check_shop(files::Disk& disk, const std::string& shop_folder,
                                     const CheckOptions& asked) {
  CheckOptions options = asked;
  // One day for the whole run, and read from the clock once.
  if (options.today.empty()) options.today = files::now_text().substr(0, 10);
  const auto settings = read_settings(disk, shop_folder);
  if (!settings) return settings.failure();
  const auto listed = disk.list(shop_folder);
  if (!listed) return listed.failure();

  ShopReport report;
  take(settings->findings, report.findings);
  ShopFacts facts;
  facts.latest_year = today_of(options).year + 1;
  std::vector<std::pair<std::string, Kind>> texts;
  for (const files::Listed& one : *listed) {
    facts.files.emplace(one.path, one.status.folder ? 1 : one.status.size);
    if (one.status.unreadable) {
      report.findings.push_back({one.path, 1, 1, Level::error, "file",
                                 "a folder that cannot be read", "give yourself the right to it"});
    }
    if (one.status.folder) continue;
    const Kind kind = kind_of(one.path);
    if (kind != Kind::other) {
      texts.emplace_back(one.path, kind);
    } else if (kind_of(original_of(one.path)) != Kind::other) {
      report.findings.push_back({one.path, 1, 1, Level::warning, "conflict-copy",
                                 "a file sync left it when two terminals changed one file",
                                 "bring both together with `baylore copies`"});
    }
  }

  std::vector<Looked> looked(texts.size());
  for_each(texts.size(), options, [&](std::size_t i) {
    looked[i] = look(disk, shop_folder, texts[i].first, texts[i].second, options);
  });
  facts.vocabulary = read_vocabulary(disk, shop_folder);
  take(std::move(facts.vocabulary.findings), report.findings);
  for (std::size_t i = 0; i < texts.size(); ++i) {
    take(std::move(looked[i].findings), report.findings);
    if (texts[i].second == Kind::tip) {
      ++report.tips;
      if (!looked[i].tip.path.empty()) facts.tips.push_back(std::move(looked[i].tip));
    } else if (texts[i].second == Kind::part && !looked[i].part.path.empty()) {
      facts.parts.push_back(std::move(looked[i].part));
      facts.families.push_back(std::move(looked[i].family));
    }
  }
  looked.clear();
  looked.shrink_to_fit();

  check_links(facts, report.across);
  check_words(facts, report.across);
  check_parts(facts, report.across);
  check_repeats(facts, report.across);
  check_agreement(facts, report.across);
  compare_translations(disk, shop_folder, facts, options, report.across);

  const auto in_order = [](const Finding& a, const Finding& b) {
    return std::tie(a.file, a.line, a.column) < std::tie(b.file, b.line, b.column);
  };
  std::stable_sort(report.across.begin(), report.across.end(), in_order);
  take(report.across, report.findings);
  std::stable_sort(report.findings.begin(), report.findings.end(), in_order);
  return report;
}

}  // namespace baylore::shop
