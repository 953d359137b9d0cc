#include "pack/counts.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <map>
#include <optional>

#include "quality/history.h"
#include "shop/outcome.h"
#include "shop/records.h"

namespace baylore::pack {
namespace {

constexpr std::string_view kHead = "kind,name,used,failed,dead";
constexpr std::size_t kMostLines = 200000;
constexpr std::size_t kLongestName = 200;

std::optional<std::uint32_t> number_of(const std::string& text) {
  constexpr std::uint32_t kMost = 100000000;
  std::uint32_t value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || value > kMost)
    return std::nullopt;
  return value;
}

void count_tips(const std::vector<shop::Record>& records, const std::set<std::string>& tips,
                std::vector<Count>& into) {
  std::map<std::string, Count> by_tip;
  shop::each_finished_job(records, [&](const shop::Finished& job) {
    const shop::Outcome& outcome = job.outcome;
    if (outcome.result != shop::Result::fixed || tips.count(outcome.right) == 0) return;
    Count& count = by_tip[outcome.right];
    ++count.used;
    // One job fails once, however often it came back.
    const bool failed = std::any_of(
        job.comebacks.begin(), job.comebacks.end(),
        [](const shop::Comeback& comeback) { return comeback.reason == shop::kNotTheCause; });
    if (failed) ++count.failed;
  });
  for (auto& [id, count] : by_tip) {
    count.kind = "tip";
    count.name = id;
    into.push_back(std::move(count));
  }
}

void count_parts(const quality::History& history, const std::set<std::string>& families,
                 std::vector<Count>& into) {
  std::map<std::string, Count> by_name;
  for (std::size_t family = 0; family < history.parts().families().size(); ++family) {
    if (families.count(history.parts().families()[family].id) == 0) continue;
    for (const quality::FittedPart& fitted : history.fitted(family)) {
      if (fitted.location != 0) continue;  // what came from elsewhere is theirs to tell
      Count& count = by_name[history.labels()[fitted.label].name];
      ++count.used;
      if (fitted.failed) ++count.failed;
    }
    for (const quality::FittedPart& dead : history.dead(family)) {
      if (dead.location == 0) ++by_name[history.labels()[dead.label].name].dead;
    }
  }
  for (auto& [name, count] : by_name) {
    count.kind = "part";
    count.name = name;
    into.push_back(std::move(count));
  }
}

}  // namespace

files::Result<std::vector<Count>> count_outcomes(files::Disk& disk, const std::string& shop_folder,
                                                 const std::set<std::string>& tips,
                                                 const std::set<std::string>& families,
                                                 std::int64_t today) {
  std::vector<Count> counts;
  shop::Findings findings;
  const shop::Records records = shop::read_records(disk, shop_folder);
  const quality::Counting counting{today, 12};
  const quality::History history(shop::read_parts(disk, shop_folder, findings),
                                 {{"", &records.records}}, counting);
  count_parts(history, families, counts);
  count_tips(records.records, tips, counts);
  return counts;
}

std::string counts_text(const std::vector<Count>& counts) {
  std::string text(kHead);
  text += '\n';
  for (const Count& count : counts) {
    text += shop::csv_line({count.kind, count.name, std::to_string(count.used),
                            std::to_string(count.failed), std::to_string(count.dead)});
    text += '\n';
  }
  return text;
}

std::vector<Count> read_counts(std::string_view bytes, int& refused) {
  std::vector<Count> counts;
  std::set<std::pair<std::string, std::string>> seen;
  bool head = true;
  while (!bytes.empty() && counts.size() < kMostLines) {
    const std::size_t end = std::min(bytes.find('\n'), bytes.size());
    std::string_view line = bytes.substr(0, end);
    bytes.remove_prefix(std::min(end + 1, bytes.size()));
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    if (head) {
      head = false;
      if (line == kHead) continue;
    }
    if (line.empty()) continue;
    std::vector<std::string> fields;
    Count count;
    bool good = shop::read_csv_line(line, fields) && fields.size() == 5;
    if (good) {
      const auto used = number_of(fields[2]);
      const auto failed = number_of(fields[3]);
      const auto dead = number_of(fields[4]);
      good = (fields[0] == "tip" || fields[0] == "part") && !fields[1].empty() &&
             fields[1].size() <= kLongestName && used && failed && dead && *failed <= *used &&
             seen.emplace(fields[0], fields[1]).second;
      if (good) count = {fields[0], fields[1], *used, *failed, *dead};
    }
    if (good) {
      counts.push_back(std::move(count));
    } else {
      ++refused;
    }
  }
  return counts;
}

}  // namespace baylore::pack
