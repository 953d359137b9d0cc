#include <algorithm>
#include <array>
#include <map>
#include <unordered_set>

#include <fmt/format.h>

#include "files/names.h"
#include "shop/check/cross.h"
#include "shop/notes.h"
#include "shop/scan.h"
#include "shop/shop.h"

namespace baylore::shop::checking {
namespace {

// Suggestions compare with every name of the shop: enough for a person, bounded for a wreck.
constexpr int kMostSuggestions = 50;

// Of files of one kind with one id the first in comes_first() counts; the others are not shown at
// the bay. A tip and a part family with one id are two texts all the same: their earlier versions
// would lie in one folder.
void check_ids(const ShopFacts& facts, Findings& into) {
  struct Holder {
    const std::string* path;
    Spot at;
    bool part;
  };
  std::map<std::string, std::vector<Holder>> holders;
  for (const TipFacts& tip : facts.tips) {
    if (!tip.id.empty()) holders[tip.id].push_back({&tip.path, tip.id_at, false});
  }
  for (const PartFacts& part : facts.parts) {
    if (!part.id.empty()) holders[part.id].push_back({&part.path, part.id_at, true});
  }
  for (auto& [id, held] : holders) {
    std::vector<Holder>& all = held;  // a lambda of clang 14 cannot take it by its own name
    if (all.size() < 2) continue;
    std::sort(all.begin(), all.end(), [](const Holder& a, const Holder& b) {
      return a.part != b.part ? b.part : comes_first(*a.path, *b.path);
    });
    for (std::size_t i = 0; i < all.size(); ++i) {
      const std::size_t first = static_cast<std::size_t>(
          std::find_if(all.begin(), all.end(),
                       [&](const Holder& other) { return other.part == all[i].part; }) -
          all.begin());
      if (first != i) {
        add(into, *all[i].path, all[i].at, Level::error, "duplicate-id",
            fmt::format("the id {} is also that of {}, which is the one that counts", id,
                        *all[first].path),
            "if this is a copy of it, bring both together with `baylore copies`; if it is another "
            "text, delete its id line");
      } else if (i + 1 < all.size() && all[i + 1].part == all[i].part) {
        add(into, *all[i].path, all[i].at, Level::error, "duplicate-id",
            fmt::format("the id {} is also that of {}, which does not count", id, *all[i + 1].path),
            "see there");
      } else {
        add(into, *all[i].path, all[i].at, Level::error, "duplicate-id",
            fmt::format("the id {} is also that of {}", id, *all[i == 0 ? 1 : 0].path),
            "give one of them another id");
      }
    }
  }
}

// A path relative to the shop from words in a text, `..` taken out; empty when it climbs out.
std::string resolved(const std::string& folder, std::string_view name) {
  std::vector<std::string> way;
  const std::string joined = files::join(folder, name);
  std::size_t start = 0;
  while (start <= joined.size()) {
    const std::size_t end = std::min(joined.find('/', start), joined.size());
    const std::string part = joined.substr(start, end - start);
    start = end + 1;
    if (part.empty() || part == ".") continue;
    if (part != "..") {
      way.push_back(part);
    } else if (way.empty()) {
      return {};
    } else {
      way.pop_back();
    }
  }
  std::string path;
  for (const std::string& part : way) path = files::join(path, part);
  return path;
}

class LinkChecks {
 public:
  LinkChecks(const ShopFacts& facts, Findings& into)
      : facts_(facts), into_(into), names_(facts.tips) {
    for (const TipFacts& tip : facts.tips) slugs_.push_back(tip.slug);
    for (const auto& [path, size] : facts.files) {
      const std::string name = files::name_of(path);
      if (is_picture(name)) pictures_.push_back(name);
    }
    std::sort(pictures_.begin(), pictures_.end());
    for (const PartFacts& part : facts.parts) {
      families_.push_back(part.slug);
      by_family_.emplace(part.slug, &part);
      if (!part.id.empty()) by_family_.emplace(part.id, &part);
      for (const NumberFact& number : part.numbers) {
        for (const std::string& name : number.names)
          superseded_.emplace(name, Superseded{number.superseded_by, part.path});
      }
    }
    families_are_kept_ = most_families_are_there();
  }

  void all() {
    for (std::size_t i = 0; i < facts_.tips.size(); ++i) {
      const TipFacts& tip = facts_.tips[i];
      for (const Reference& other : tip.mistaken_for) mistaken(i, other);
      replaced(i);
      translated(i);
      for (const TextLink& link : tip.links) text_link(tip, link);
      for (const PictureFact& picture : tip.pictures) photo(tip, picture);
      for (const PartFact& part : tip.parts) part_used(tip, part);
    }
    for (const PartFacts& part : facts_.parts) {
      if (part.superseded_by.empty() || by_family_.count(part.superseded_by) != 0 ||
          part.superseded_at.line <= 1 || !families_are_kept_ ||
          !files::is_id(part.superseded_by)) {
        continue;
      }
      add(into_, part.path, part.superseded_at, Level::warning, "dead-link",
          fmt::format("`{}` is no part family of this shop", part.superseded_by),
          "name the family that took its place, or write its file");
    }
  }

 private:
  static bool is_picture(std::string_view name) {
    const std::string low = scan::lower(name);
    static constexpr std::array<std::string_view, 3> kEnds = {".png", ".jpg", ".jpeg"};
    return std::any_of(kEnds.begin(), kEnds.end(), [&](std::string_view end) {
      return low.size() > end.size() && low.substr(low.size() - end.size()) == end;
    });
  }

  std::string suggestion(const std::string& name, const std::vector<std::string>& among,
                         std::string otherwise) {
    if (++suggested_ > kMostSuggestions) return otherwise;
    const std::string_view meant = nearest(name, among);
    return meant.empty() ? otherwise : fmt::format("did you mean `{}`?", meant);
  }

  // The tip a reference means; SIZE_MAX after saying why there is none.
  std::size_t target(const TipFacts& tip, const Reference& reference) {
    if (reference.to.empty()) {
      add(into_, tip.path, reference.at, Level::warning, "dead-link", "a link to no tip",
          "name the id or the file of the other tip, or take the line out");
      return SIZE_MAX;
    }
    const std::vector<std::size_t> found = names_.find(reference.to);
    if (found.size() > 1 && facts_.tips[found[0]].slug == reference.to) {
      add(into_, tip.path, reference.at, Level::warning, "ambiguous-link",
          fmt::format("`{}` may be {} or {}", reference.to, facts_.tips[found[0]].path,
                      facts_.tips[found[1]].path),
          "name the tip by its id");
    }
    if (!found.empty()) return found.front();
    add(into_, tip.path, reference.at, Level::warning, "dead-link",
        fmt::format("`{}` is no tip of this shop", reference.to),
        suggestion(reference.to, slugs_, "name the id or the file of a tip, or take the line out"));
    return SIZE_MAX;
  }

  void mistaken(std::size_t from, const Reference& reference) {
    const TipFacts& tip = facts_.tips[from];
    const std::size_t to = target(tip, reference);
    if (to == SIZE_MAX) return;
    const TipFacts& other = facts_.tips[to];
    if (to == from) {
      add(into_, tip.path, reference.at, Level::warning, "dead-link", "the tip names itself",
          "name the tip it is mistaken for");
    } else if (other.withdrawn && !tip.withdrawn) {
      add(into_, tip.path, reference.at, Level::note, "withdrawn-link",
          fmt::format("`{}` is withdrawn", reference.to),
          other.replaced_by.to.empty()
              ? std::string("name a tip that is current, or take the line out")
              : fmt::format("name `{}`, which took its place", other.replaced_by.to));
    }
  }

  void replaced(std::size_t from) {
    const TipFacts& tip = facts_.tips[from];
    if (tip.replaced_by.to.empty()) return;
    std::size_t to = target(tip, tip.replaced_by);
    // Follows the chain, at most once through all tips.
    for (std::size_t steps = 0; to != SIZE_MAX && steps <= facts_.tips.size(); ++steps) {
      if (to == from) {
        add(into_, tip.path, tip.replaced_by.at, Level::error, "dead-link",
            steps == 0 ? "the tip is replaced by itself"
                       : "the tips that replace it lead back to it",
            "name the tip that holds now");
        return;
      }
      const std::string& next = facts_.tips[to].replaced_by.to;
      const std::vector<std::size_t> found =
          next.empty() ? std::vector<std::size_t>() : names_.find(next);
      to = found.empty() || found.front() == to ? SIZE_MAX : found.front();
    }
  }

  void translated(std::size_t from) {
    const TipFacts& tip = facts_.tips[from];
    if (tip.translation_of.to.empty()) return;
    if (target(tip, tip.translation_of) != from) return;
    add(into_, tip.path, tip.translation_of.at, Level::warning, "dead-link",
        "the tip is a translation of itself", "name the tip it was translated from");
  }

  void text_link(const TipFacts& tip, const TextLink& link) {
    for (const std::string& folder : {files::folder_of(tip.path), std::string()}) {
      const std::string path = resolved(folder, link.target);
      if (!path.empty() && facts_.files.count(path) != 0) return;
    }
    if (!names_.find(link.target).empty()) return;
    add(into_, tip.path, {link.line, link.column}, Level::warning, "dead-link",
        fmt::format("`{}` is not in this shop", link.target),
        suggestion(link.target, slugs_, "mend the link, or take it out"));
  }

  void photo(const TipFacts& tip, const PictureFact& picture) {
    if (!is_picture(picture.file)) {
      add(into_, tip.path, picture.at, Level::warning, "photo",
          fmt::format("`{}` is no JPEG or PNG and cannot be shown", picture.file),
          "save the picture as JPEG or PNG");
      return;
    }
    if (picture.file.find("://") != std::string::npos) {
      add(into_, tip.path, picture.at, Level::warning, "photo",
          "the picture lies outside the shop and is not shown",
          "put it into photos/ and name it here");
      return;
    }
    for (const std::string& folder : {files::folder_of(tip.path), std::string("photos")}) {
      const auto found = facts_.files.find(resolved(folder, picture.file));
      if (found == facts_.files.end()) continue;
      if (found->second == 0) {
        add(into_, tip.path, picture.at, Level::warning, "photo",
            fmt::format("the picture `{}` is empty", picture.file), "copy it again");
      }
      return;
    }
    add(into_, tip.path, picture.at, Level::warning, "photo",
        fmt::format("the picture `{}` is not there", picture.file),
        suggestion(picture.file, pictures_,
                   "put it beside the tip or into photos/, or mend its name"));
  }

  // A shop that has only begun to write part files is not told of every family it lacks: families
  // are expected once at least half of those named are there.
  [[nodiscard]] bool most_families_are_there() const {
    std::unordered_set<std::string> named;
    for (const TipFacts& tip : facts_.tips) {
      for (const PartFact& part : tip.parts) {
        if (!part.family.empty()) named.insert(part.family);
      }
    }
    const auto there = std::count_if(named.begin(), named.end(), [&](const std::string& family) {
      return by_family_.count(family) != 0;
    });
    return !facts_.parts.empty() && 2 * static_cast<std::size_t>(there) >= named.size();
  }

  void part_used(const TipFacts& tip, const PartFact& part) {
    if (facts_.parts.empty()) return;
    if (const auto old = superseded_.find(squeezed(part.name)); old != superseded_.end()) {
      add(into_, tip.path, part.name_at, Level::warning, "superseded-part",
          fmt::format("`{}` has been superseded by {}", part.name, old->second.by),
          fmt::format("order {} (see {})", old->second.by, old->second.file));
      return;
    }
    if (part.family.empty()) return;
    const auto found = by_family_.find(part.family);
    if (found != by_family_.end()) {
      if (found->second->superseded_by.empty()) return;
      add(into_, tip.path, part.family_at, Level::warning, "superseded-part",
          fmt::format("the family `{}` has been superseded by {}", part.family,
                      found->second->superseded_by),
          fmt::format("see {}", found->second->path));
      return;
    }
    const std::string remedy = suggestion(part.family, families_, "");
    if (remedy.empty() && !families_are_kept_) return;
    add(into_, tip.path, part.family_at, Level::warning, "dead-link",
        fmt::format("`{}` is no part family of this shop", part.family),
        remedy.empty() ? "write its file under parts/, or mend the name" : remedy);
  }

  const ShopFacts& facts_;
  Findings& into_;
  TipNames names_;
  std::vector<std::string> slugs_;
  std::vector<std::string> pictures_;
  std::vector<std::string> families_;
  std::unordered_map<std::string, const PartFacts*> by_family_;
  struct Superseded {
    std::string by;
    std::string file;
  };
  std::unordered_map<std::string, Superseded> superseded_;  // by squeezed name
  bool families_are_kept_ = false;
  int suggested_ = 0;
};

}  // namespace

void add(Findings& into, const std::string& file, Spot at, Level level, const char* rule,
         std::string message, std::string remedy) {
  into.push_back({file, std::max(at.line, 1), std::max(at.column, 1), level, rule,
                  std::move(message), std::move(remedy)});
}

TipNames::TipNames(const std::vector<TipFacts>& tips) {
  for (std::size_t i = 0; i < tips.size(); ++i) {
    if (!tips[i].id.empty()) by_id_[tips[i].id].push_back(i);
    by_slug_[tips[i].slug].push_back(i);
  }
}

std::vector<std::size_t> TipNames::find(const std::string& name) const {
  if (const auto found = by_id_.find(name); found != by_id_.end()) return found->second;
  if (const auto found = by_slug_.find(name); found != by_slug_.end()) return found->second;
  const std::string file = files::name_of(name);
  if (file.size() <= 3 || file.substr(file.size() - 3) != ".md") return {};
  const auto found = by_slug_.find(file.substr(0, file.size() - 3));
  return found == by_slug_.end() ? std::vector<std::size_t>() : found->second;
}

void check_links(const ShopFacts& facts, Findings& into) {
  check_ids(facts, into);
  LinkChecks(facts, into).all();
}

// Withdrawn tips may look like what took their place, and translations like nothing else: neither
// takes part. Two files with one id are told so already.
void check_repeats(const ShopFacts& facts, Findings& into) {
  std::vector<const Sketch*> sketches;
  sketches.reserve(facts.tips.size());
  for (const TipFacts& tip : facts.tips) {
    const bool apart = tip.withdrawn || !tip.translation_of.to.empty();
    sketches.push_back(apart ? nullptr : &tip.sketch);
  }
  std::vector<char> told(facts.tips.size(), 0);
  const auto tell = [&](std::size_t here, std::size_t there, double likeness) {
    if (told[here] != 0) return;
    told[here] = 1;
    const TipFacts& tip = facts.tips[here];
    const TipFacts& other = facts.tips[there];
    const bool same_car =
        std::any_of(tip.vehicles.begin(), tip.vehicles.end(), [&](const Vehicle& vehicle) {
          return std::any_of(other.vehicles.begin(), other.vehicles.end(),
                             [&](const Vehicle& o) { return overlap(vehicle, o); });
        });
    add(into, tip.path, tip.title_at, same_car ? Level::warning : Level::note, "near-duplicate",
        fmt::format("says nearly the same as {} (about {:.0f} % alike)", other.path,
                    100 * likeness),
        same_car ? "make one of the two, and withdraw the other with `replaced-by:`"
                 : "one tip can fit several vehicles: bring them together");
  };
  for (const Alike& pair : alike(sketches)) {
    const TipFacts& one = facts.tips[pair.one];
    if (!one.id.empty() && one.id == facts.tips[pair.other].id) continue;
    tell(pair.one, pair.other, pair.likeness);
    tell(pair.other, pair.one, pair.likeness);
  }
}

}  // namespace baylore::shop::checking
