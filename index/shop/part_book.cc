#include "shop/part_book.h"

#include <algorithm>

#include "files/names.h"
#include "shop/scan.h"
#include "shop/shop.h"
#include "trade/gtin.h"

namespace baylore::shop {
namespace {

trade::PartKey key_of(std::string_view text) {
  return trade::taken(trade::part_key(text)).value_or(trade::PartKey{});
}

template <class Map>
std::vector<PartBook::Place> at(const Map& map, const std::string& key) {
  const auto found = map.find(key);
  return found == map.end() || key.empty() ? std::vector<PartBook::Place>() : found->second;
}

}  // namespace

std::string lot_mark(std::string_view text) {
  std::string mark(text);
  for (char& c : mark) c = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
  return mark;
}

NamedPart named_part(std::string_view text) {
  NamedPart named;
  text = scan::trimmed(text.substr(0, text.find(',')));
  // Small letters of ASCII only: positions stay. A blank behind, for a mark that was left out.
  const std::string low = scan::lower(text) + " ";
  for (const std::string_view word : {" lot ", " batch "}) {
    const std::size_t found = low.find(word);
    if (found == std::string::npos) continue;
    named.lot = lot_mark(scan::trimmed(text.substr(std::min(found + word.size(), text.size()))));
    text = scan::trimmed(text.substr(0, found));
    break;
  }
  named.name = std::string(text);
  return named;
}

std::vector<NamedPart> named_parts(std::string_view text) {
  std::vector<NamedPart> parts;
  std::size_t start = 0;
  while (start <= text.size()) {
    const std::size_t end = std::min(text.find(';', start), text.size());
    NamedPart one = named_part(text.substr(start, end - start));
    if (!one.name.empty()) parts.push_back(std::move(one));
    start = end + 1;
  }
  return parts;
}

void PartBook::add(PartFamily family) {
  const std::size_t here = families_.size();
  by_family_.emplace(family.slug, here);
  by_family_.emplace(family.id, here);
  for (std::size_t i = 0; i < family.numbers.size(); ++i) {
    const PartNumber& number = family.numbers[i];
    const Place place{here, i};
    if (!number.gtin.empty()) gtin_[number.gtin].push_back(place);
    if (number.key.plain.empty()) continue;
    const trade::PartKey brand = key_of(number.brand);
    if (!brand.plain.empty() &&
        std::find(brands_.begin(), brands_.end(), brand.plain) == brands_.end()) {
      brands_.push_back(brand.plain);
    }
    full_plain_[brand.plain + number.key.plain].push_back(place);
    full_folded_[brand.folded + number.key.folded].push_back(place);
    number_plain_[number.key.plain].push_back(place);
    number_folded_[number.key.folded].push_back(place);
    for (const std::string& old : number.supersedes) {
      const std::string key = key_of(old).plain;
      if (key.empty()) continue;
      const bool with_brand = !brand.plain.empty() && key.rfind(brand.plain, 0) == 0;
      older_[with_brand ? key : brand.plain + key].push_back(place);
      if (!with_brand) older_[key].push_back(place);
    }
  }
  families_.push_back(std::move(family));
}

const PartFamily* PartBook::family(std::string_view name) const {
  const auto found = by_family_.find(std::string(name));
  return found == by_family_.end() ? nullptr : &families_[found->second];
}

// The longest known brand that the text begins with; a number must follow it.
std::string PartBook::brand_in(const std::string& plain) const {
  std::string best;
  for (const std::string& brand : brands_) {
    if (brand.size() > best.size() && plain.size() > brand.size() && plain.rfind(brand, 0) == 0)
      best = brand;
  }
  return best;
}

namespace {

// Whether something stands between the first letters and digits of a text, so many, and the rest:
// "A 12-7" begins with a brand A, "A12-7" may be a number of its own.
bool stands_apart(std::string_view text, std::size_t letters) {
  const auto is_key = [](char c) {
    return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
  };
  std::size_t at = 0;
  for (std::size_t seen = 0; at < text.size() && seen < letters; ++at) seen += is_key(text[at]);
  return at >= text.size() || !is_key(text[at]);
}

}  // namespace

PartBook::Found PartBook::find(std::string_view text) const {
  Found found;
  // A barcode first: thirteen digits are nobody's number by chance, and the check digit agrees.
  if (const auto gtin = trade::taken(trade::read_gtin(scan::trimmed(text)))) {
    found.places = at(gtin_, gtin->digits);
    found.lot = gtin->lot;
    if (!found.places.empty()) {
      found.how = How::barcode;
      return found;
    }
  }
  const NamedPart named = named_part(text);
  found.lot = found.lot.empty() ? named.lot : found.lot;
  const trade::PartKey key = key_of(named.name);
  if (key.plain.empty()) return found;
  found.brand = brand_in(key.plain);
  const auto take = [&](How how, std::vector<Place> places) {
    if (places.empty()) return false;
    found.how = how;
    found.places = std::move(places);
    return true;
  };
  if (take(How::exact, at(full_plain_, key.plain))) return found;
  const bool binding = !found.brand.empty() && stands_apart(named.name, found.brand.size());
  if (!binding && take(How::exact, at(number_plain_, key.plain))) {
    found.brand.clear();
    return found;
  }
  if (take(How::superseded, at(older_, key.plain))) return found;
  if (take(How::folded, at(full_folded_, key.folded))) return found;
  if (found.brand.empty()) {
    take(How::folded, at(number_folded_, key.folded));
  } else {
    found.elsewhere = at(number_plain_, key.plain.substr(found.brand.size()));
  }
  return found;
}

// What a number of this brand names: its own brand's first, else whatever the words say.
std::vector<PartBook::Place> PartBook::named(const std::string& brand,
                                             std::string_view number) const {
  const trade::PartKey key = key_of(number);
  std::vector<Place> places = at(full_plain_, key_of(brand).plain + key.plain);
  return places.empty() ? at(full_plain_, key.plain) : places;
}

PartBook::Chain PartBook::superseded(const Place& place) const {
  Chain chain;
  Place at_now = place;
  while (true) {
    const PartNumber& now = number(at_now);
    std::vector<Place> next;
    if (!now.superseded_by.empty()) {
      next = named(now.brand, now.superseded_by);
      if (next.empty()) chain.not_listed = now.superseded_by;
    } else {
      // A newer number may say it from its side.
      next = at(older_, key_of(now.brand).plain + now.key.plain);
    }
    if (next.empty()) return chain;
    at_now = next.front();
    if (at_now == place ||
        std::find(chain.later.begin(), chain.later.end(), at_now) != chain.later.end()) {
      chain.ring = true;
      return chain;
    }
    chain.later.push_back(at_now);
  }
}

std::vector<PartFamily> without_copies(std::vector<PartFamily> families) {
  std::unordered_map<std::string, std::string> counts;  // id -> path
  for (const PartFamily& family : families) {
    if (!family.id_written) continue;
    std::string& path = counts.emplace(family.id, family.path).first->second;
    if (comes_first(family.path, path)) path = family.path;
  }
  std::erase_if(families, [&](const PartFamily& family) {
    return family.id_written && counts[family.id] != family.path;
  });
  return families;
}

PartBook read_parts(files::Disk& disk, const std::string& shop_folder, Findings& findings) {
  PartBook book;
  std::vector<PartFamily> families;
  const auto listed = disk.list(files::join(shop_folder, "parts"));
  if (!listed) {
    if (listed.failure().kind != files::Failure::Kind::missing) {
      findings.push_back(
          {"parts", 1, 1, Level::error, "file", listed.failure().what, listed.failure().remedy});
    }
    return book;
  }
  for (const files::Listed& one : *listed) {
    const std::string path = files::join("parts", one.path);
    if (one.status.folder || kind_of(path) != Kind::part) continue;
    const auto text = read_text(disk, shop_folder, path);
    if (text) {
      families.push_back(read_part(Document::parse(*text), path));
    } else {
      findings.push_back(
          {path, 1, 1, Level::error, "file", text.failure().what, text.failure().remedy});
    }
  }
  for (PartFamily& family : without_copies(std::move(families))) book.add(std::move(family));
  return book;
}

}  // namespace baylore::shop
