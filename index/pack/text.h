// Texts as they travel: tips and part families, known by the id that is written in them.
#pragma once

#include <cstdint>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "files/disk.h"
#include "files/result.h"
#include "pack/reason.h"
#include "shop/shop.h"

namespace baylore::pack {

// A tip and a part family may have one id.
using TextKey = std::pair<shop::Kind, std::string>;

// "tip" or "part"; only these travel.
std::string_view kind_word(shop::Kind kind);
bool read_kind(std::string_view word, shop::Kind& into);

// The id written in a text; empty when there is none, or what is written cannot be one.
std::string written_id(std::string_view bytes, shop::Kind kind);
std::string written_title(std::string_view bytes);

// Why a text cannot travel, in either direction; an empty rule when it can. `path` is relative to
// the shop. What is merely wrong in it (`baylore check` tells) is no hindrance.
Reason text_fault(const std::string& path, std::string_view bytes);
// Of one text. Long before these it is none that a person wrote, and what shows and merges it has
// to hold every line several times.
inline constexpr std::uint64_t kTextInPack = std::uint64_t{256} << 10U;  // bytes
inline constexpr std::size_t kLinesOfText = 10000;

// A text of the shop as it is on disk.
struct ShopText {
  std::string path;  // relative to the shop
  std::string hash;  // files::hash_hex of its bytes, as in history/
};

// All tips and part families with an id. An id that several files have names all of them: which
// one is meant is for a person to say.
struct ShopTexts {
  std::map<TextKey, std::vector<ShopText>> by_id;
  std::vector<std::pair<shop::Kind, std::string>> nameless;  // kind and path of those without an id
};
files::Result<ShopTexts> read_shop_texts(files::Disk& disk, const std::string& shop_folder);

// The hashes of the earlier versions that history/ID/ holds: of everything that a person here has
// seen and changed since.
files::Result<std::set<std::string>> earlier_versions(files::Disk& disk,
                                                      const std::string& shop_folder,
                                                      const std::string& id);
std::string history_path(const std::string& id, const std::string& hash);

}  // namespace baylore::pack
