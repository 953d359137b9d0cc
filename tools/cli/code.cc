#include "trade/code.h"

#include <fmt/format.h>

#include <memory>
#include <nlohmann/json.hpp>

#include "opened.h"

namespace baylore::cli {
namespace {

int code(const std::vector<std::string>& words, bool json) {
  const std::string text = fmt::format("{}", fmt::join(words, " "));
  const trade::CodeList list = trade::read_codes(text);
  for (const trade::Refusal& refusal : list.refused) complain("", text, refusal);
  if (list.codes.empty() && list.refused.empty()) {
    complain("no code here: write one as in P0128 or U0100-87");
  }
  if (json) {
    nlohmann::json out = nlohmann::json::array();
    for (const trade::ReadCode& read : list.codes) {
      const trade::Code& one = read.code;
      nlohmann::json entry = {
          {"code", trade::text(one)},
          {"base", trade::base_text(one)},
          {"system", std::string(trade::system_name(trade::code_system(one)))},
          {"defined_by", std::string(trade::defined_by_name(trade::defined_by(one)))},
          {"hex", trade::hex(one)},
          {"repaired", !read.repairs.empty()},
          {"repairs", read.repairs},
          {"subsystem", nullptr},
          {"failure_type", nullptr}};
      if (const auto part = trade::subsystem(one)) entry["subsystem"] = std::string(*part);
      if (one.failure_type) {
        const auto name = trade::failure_type_name(*one.failure_type);
        entry["failure_type"] =
            name ? std::string(*name) : fmt::format("{:02X}", *one.failure_type);
      }
      out.push_back(std::move(entry));
    }
    print(out);
  } else {
    for (const trade::ReadCode& read : list.codes) {
      const trade::Code& one = read.code;
      std::string line =
          fmt::format("{}  {}, {}", trade::text(one), trade::system_name(trade::code_system(one)),
                      trade::defined_by_name(trade::defined_by(one)));
      if (const auto part = trade::subsystem(one)) line += fmt::format(", {}", *part);
      if (one.failure_type) {
        const auto name = trade::failure_type_name(*one.failure_type);
        line += name ? fmt::format("; {}", *name)
                     : fmt::format("; failure type {:02X}", *one.failure_type);
      }
      fmt::print("{}  ({})\n", line, trade::hex(one));
      for (const std::string& repair : read.repairs) fmt::print("       {}\n", repair);
    }
  }
  return list.refused.empty() && !list.codes.empty() ? kDone : kFindings;
}

}  // namespace

void add_code(Arguments& arguments) {
  Verb verb = arguments.verb("code", "Trouble codes read, repaired and taken apart");
  const auto words = std::make_shared<std::vector<std::string>>();
  verb.texts("TEXT", *words, "One code or more, as typed or scanned").required();
  verb.runs([words](const Common& common) { return code(*words, common.json); });
}

}  // namespace baylore::cli
