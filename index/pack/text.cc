#include "pack/text.h"

#include <fmt/format.h>

#include <algorithm>

#include "files/names.h"
#include "pack/name.h"
#include "shop/document.h"

namespace baylore::pack {

using files::Result;
using shop::Kind;

std::string_view kind_word(Kind kind) { return kind == Kind::part ? "part" : "tip"; }

bool read_kind(std::string_view word, Kind& into) {
  if (word != "tip" && word != "part") return false;
  into = word == "tip" ? Kind::tip : Kind::part;
  return true;
}

std::string written_id(std::string_view bytes, Kind kind) {
  const shop::Document document = shop::Document::parse(std::string(bytes));
  std::string id = document.value("id");
  if (id.empty() && kind == Kind::part) id = document.value("family");
  return files::is_id(id) ? id : std::string();
}

std::string written_title(std::string_view bytes) {
  const shop::Document document = shop::Document::parse(std::string(bytes));
  std::string title = document.value("title");
  return title.empty() ? document.heading() : title;
}

Reason text_fault(const std::string& path, std::string_view bytes) {
  const Kind kind = shop::kind_of(path);
  if (kind != Kind::tip && kind != Kind::part)
    return {"not-taken", path, "is neither a tip nor a part family"};
  if (const std::string fault = name_fault(path); !fault.empty()) return {"name", path, fault};
  if (bytes.size() > kTextInPack) return {"size", path, "is too large for a text"};
  if (static_cast<std::size_t>(std::count(bytes.begin(), bytes.end(), '\n')) > kLinesOfText)
    return {"size", path, fmt::format("has more than {} lines", kLinesOfText)};
  if (!is_utf8(bytes)) return {"utf-8", path, "is not UTF-8"};
  const bool control = std::any_of(bytes.begin(), bytes.end(), [](char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte == 0x7F || (byte < 0x20 && c != '\n' && c != '\r' && c != '\t');
  });
  if (control) return {"control", path, "has control characters in it"};
  const shop::Document document = shop::Document::parse(std::string(bytes));
  for (const shop::Problem& problem : document.problems()) {
    if (problem.level == shop::Level::error)
      return {"text", path, fmt::format("line {}: {}", problem.line, problem.what)};
  }
  const std::string id = written_id(bytes, kind);
  if (id.empty()) return {"id", path, "has no id that can be one"};
  // An id is a folder's name below history/ and tips/received/.
  if (const std::string fault = name_fault(id); !fault.empty())
    return {"id", path, fmt::format("its id {}", fault)};
  return {};
}

Result<ShopTexts> read_shop_texts(files::Disk& disk, const std::string& shop_folder) {
  ShopTexts texts;
  for (const char* top : {"tips", "parts"}) {
    const auto listed = disk.list(files::join(shop_folder, top));
    if (!listed) {
      if (listed.failure().kind == files::Failure::Kind::missing) continue;
      return listed.failure();
    }
    for (const files::Listed& one : *listed) {
      const std::string path = files::join(top, one.path);
      const Kind kind = shop::kind_of(path);
      if (one.status.folder || (kind != Kind::tip && kind != Kind::part)) continue;
      const auto bytes = shop::read_text(disk, shop_folder, path);
      if (!bytes) {
        if (bytes.failure().kind == files::Failure::Kind::missing) continue;  // removed since
        return bytes.failure();
      }
      std::string id = written_id(*bytes, kind);
      if (id.empty()) {
        texts.nameless.emplace_back(kind, path);
      } else {
        texts.by_id[{kind, std::move(id)}].push_back({path, files::hash_hex(*bytes)});
      }
    }
  }
  return texts;
}

Result<std::set<std::string>> earlier_versions(files::Disk& disk, const std::string& shop_folder,
                                               const std::string& id) {
  std::set<std::string> hashes;
  const auto listed = disk.list(files::join(files::join(shop_folder, "history"), id));
  if (!listed) {
    if (listed.failure().kind == files::Failure::Kind::missing) return hashes;
    return listed.failure();
  }
  constexpr std::size_t kDigits = 64;
  for (const files::Listed& one : *listed) {
    if (one.status.folder || one.path.size() != kDigits + 3 || !one.path.ends_with(".md")) continue;
    hashes.insert(one.path.substr(0, kDigits));
  }
  return hashes;
}

std::string history_path(const std::string& id, const std::string& hash) {
  return files::join(files::join("history", id), hash + ".md");
}

}  // namespace baylore::pack
