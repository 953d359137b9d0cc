#include <algorithm>
#include <map>

#include <fmt/format.h>

#include "shop/check/cross.h"
#include "shop/part_book.h"

namespace baylore::shop::checking {
namespace {

using Place = PartBook::Place;

class PartChecks {
 public:
  PartChecks(const ShopFacts& facts, Findings& into) : facts_(facts), into_(into) {
    // A copy is told by its id; its numbers are no news.
    for (PartFamily& family : without_copies(facts.families)) book_.add(std::move(family));
  }

  void all() {
    std::map<std::string, std::vector<Place>> same, alike, codes;
    for_each_number([&](const Place& place, const PartNumber& number) {
      if (!number.gtin.empty()) codes[number.gtin].push_back(place);
      if (number.key.plain.empty()) return;
      const trade::PartKey brand =
          trade::taken(trade::part_key(number.brand)).value_or(trade::PartKey{});
      same[brand.plain + ' ' + number.key.plain].push_back(place);
      alike[brand.plain + ' ' + number.key.folded].push_back(place);
    });
    for (const auto& [key, places] : same) tell_same(places);
    for (const auto& [key, places] : alike) tell_alike(places);
    for (const auto& [key, places] : codes) tell_codes(places);
    for_each_number([&](const Place& place, const PartNumber&) { tell_ring(place); });
    for (const PartFamily& family : book_.families()) {
      tell_name(family);
      tell_family_ring(family);
      tell_component(family);
    }
  }

 private:
  template <class Work>
  void for_each_number(const Work& work) {
    for (std::size_t f = 0; f < book_.families().size(); ++f) {
      for (std::size_t n = 0; n < book_.families()[f].numbers.size(); ++n)
        work(Place{f, n}, book_.families()[f].numbers[n]);
    }
  }
  void add(const Place& place, Level level, const char* rule, std::string message,
           std::string remedy) {
    into_.push_back({book_.family(place).path, std::max(book_.number(place).line, 1), 1, level,
                     rule, std::move(message), std::move(remedy)});
  }
  std::string where(const Place& place) const {
    return fmt::format("{}:{}", book_.family(place).path, book_.number(place).line);
  }

  void tell_same(const std::vector<Place>& places) {
    for (std::size_t i = 1; i < places.size(); ++i) {
      add(places[i], Level::warning, "duplicate-number",
          fmt::format("`{}` is listed at {} already", book_.number(places[i]).name,
                      where(places.front())),
          "keep one entry, with all the vehicles it fits");
    }
  }
  // Two numbers of one brand that differ only in what a reader mistakes: one may be a slip.
  void tell_alike(const std::vector<Place>& places) {
    for (std::size_t i = 1; i < places.size(); ++i) {
      const PartNumber& here = book_.number(places[i]);
      const PartNumber& other = book_.number(places.front());
      if (here.key.plain == other.key.plain) continue;
      add(places[i], Level::note, "alike-number",
          fmt::format("`{}` reads like `{}` at {}", here.name, other.name, where(places.front())),
          "compare both with the boxes; if both are right, nothing is to be done");
    }
  }
  void tell_codes(const std::vector<Place>& places) {
    for (std::size_t i = 1; i < places.size(); ++i) {
      add(places[i], Level::error, "duplicate-gtin",
          fmt::format("the barcode {} is that of `{}` at {} too", book_.number(places[i]).gtin,
                      book_.number(places.front()).name, where(places.front())),
          "scan both boxes again");
    }
  }
  void tell_ring(const Place& place) {
    const PartNumber& number = book_.number(place);
    if (number.superseded_by.empty() && number.supersedes.empty()) return;
    const PartBook::Chain chain = book_.superseded(place);
    if (!chain.ring) return;
    std::string way = number.name;
    for (const Place& later : chain.later) way += " -> " + book_.number(later).name;
    add(place, Level::error, "supersession",
        fmt::format("the numbers that take its place lead in a ring: {}", way),
        "find out which is the newest, and take its `superseded-by` out");
  }
  void tell_family_ring(const PartFamily& family) {
    const PartFamily* at = &family;
    for (std::size_t steps = 0; steps <= book_.families().size(); ++steps) {
      if (at->superseded_by.empty()) return;
      at = book_.family(at->superseded_by);
      if (at == nullptr) return;
      if (at != &family) continue;
      into_.push_back({family.path, 1, 1, Level::error, "supersession",
                       "the families that take its place lead back to it",
                       "name the family that holds now"});
      return;
    }
  }
  // A tip names a family by its id or its file: one name for two leads to the one that is read
  // first. Two ids that were written alike are told with the other ids.
  void tell_name(const PartFamily& family) {
    for (const std::string& name : {family.id, family.slug}) {
      const PartFamily* first = book_.family(name);
      if (first == nullptr || first == &family) continue;
      if (first->id == family.id && first->id != first->slug && family.id != family.slug) continue;
      into_.push_back({family.path, 1, 1, Level::warning, "duplicate-id",
                       fmt::format("`{}` names {} too", name, first->path),
                       "give one of them another id, and its file another name"});
      return;
    }
  }
  void tell_component(const PartFamily& family) {
    const auto& components = facts_.vocabulary.components;
    if (family.component.empty() || components.empty()) return;
    const bool known = std::any_of(components.begin(), components.end(), [&](const Component& c) {
      const auto same = [&](const std::string& name) {
        return squeezed(name) == squeezed(family.component);
      };
      return same(c.name) || std::any_of(c.also.begin(), c.also.end(), same);
    });
    if (known) return;
    into_.push_back({family.path, 1, 1, Level::warning, "component",
                     fmt::format("the vocabulary has no component `{}`", family.component),
                     "use its name, or add it to vocabulary/"});
  }

  const ShopFacts& facts_;
  Findings& into_;
  PartBook book_;
};

}  // namespace

void check_parts(const ShopFacts& facts, Findings& into) { PartChecks(facts, into).all(); }

}  // namespace baylore::shop::checking
