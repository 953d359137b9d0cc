#include "opened.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "files/disk.h"

namespace baylore::cli {

void complain(const std::string& line) { fmt::print(stderr, "{}\n", line); }

void complain(const files::Failure& failure) { complain(failure.text()); }

void complain(const std::string& option, const std::string& text, const trade::Refusal& refusal) {
  std::string shown = text;
  for (char& c : shown) {
    if (static_cast<unsigned char>(c) < ' ') c = ' ';
  }
  // Characters, not bytes: the bytes that continue one do not count.
  const std::string before = text.substr(0, refusal.at);
  const auto column = 1 + std::count_if(before.begin(), before.end(), [](char c) {
                        return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
                      });
  complain(fmt::format("{}{}{}:{}: {}: {}", option, option.empty() ? "" : " ", shown, column,
                       refusal.what, refusal.remedy));
}

int misused(const std::string& argument, const std::string& what) {
  complain(fmt::format("baylore: {}: {}: see baylore --help", argument, what));
  return kCouldNotRun;
}

std::optional<Opened> open(const Common& common, const store::Options& options) {
  files::Disk& disk = files::real_disk();
  const auto folder = disk.status(common.shop);
  if (!folder || !folder->folder) {
    complain(common.shop + ": no shop folder here: name one with --shop or BAYLORE_SHOP");
    return std::nullopt;
  }
  const store::Location location = store::locate(common.shop, common.store);
  const auto report = store::bring_up_to_date(disk, location, options);
  if (!report) {
    complain(report.failure());
    return std::nullopt;
  }
  auto opened = store::Store::open(location);
  if (!opened) {
    complain(opened.failure());
    return std::nullopt;
  }
  return Opened{std::move(*opened), *report};
}

nlohmann::json to_json(const shop::Finding& finding) {
  return {{"file", finding.file},     {"line", finding.line},
          {"column", finding.column}, {"level", std::string(shop::level_word(finding.level))},
          {"rule", finding.rule},     {"message", finding.message},
          {"remedy", finding.remedy}};
}

nlohmann::json to_json(const std::vector<shop::Fit>& fits) {
  nlohmann::json list = nlohmann::json::array();
  for (const shop::Fit& fit : fits) {
    list.push_back({{"make", fit.make},
                    {"model", fit.model},
                    {"first_year", fit.first_year},
                    {"last_year", fit.last_year},
                    {"engine", fit.engine}});
  }
  return list;
}

void print(const nlohmann::json& json) {
  fmt::print("{}\n", json.dump(2, ' ', false, nlohmann::json::error_handler_t::replace));
}

std::string counted(std::int64_t count, const std::string& one) {
  return fmt::format("{} {}{}", count, one, count == 1 ? "" : "s");
}

}  // namespace baylore::cli
