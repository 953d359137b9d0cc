#include "pack/stand.h"

#include <algorithm>
#include <cstdint>
#include <map>

#include "files/names.h"
#include "pack/diff.h"
#include "pack/merge.h"
#include "pack/name.h"

namespace baylore::pack {
namespace {

bool descends(const Version& from, const Version& of) {
  // Two that name each other went round in a ring, and neither is the older one.
  return from.ancestry.count(of.hash) > 0 && of.ancestry.count(from.hash) == 0;
}

// Gives every version the ancestors of its ancestors too, so that a ring of any length is one in
// which all name each other: whoever sends a false ancestry cannot make an own version vanish.
void complete(std::map<std::string, Version>& all) {
  for (bool more = true; more;) {
    more = false;
    for (auto& [hash, version] : all) {
      const std::size_t before = version.ancestry.size();
      const std::set<std::string> known = version.ancestry;
      for (const std::string& ancestor : known) {
        const auto found = all.find(ancestor);
        if (found != all.end() && ancestor != hash)
          version.ancestry.insert(found->second.ancestry.begin(), found->second.ancestry.end());
      }
      more = more || version.ancestry.size() != before;
    }
  }
}

// The bytes of the nearest version that both were made from, or nullptr. None of the `heads` is
// one: those are not older than the others.
const std::string* base_of(const std::vector<const Version*>& heads,
                           const std::set<std::string>& ours_ancestry, const std::string& ours,
                           const Version& theirs, const FindBytes& find) {
  const std::string* best = nullptr;
  std::size_t least = SIZE_MAX;
  for (const std::string& hash : theirs.ancestry) {
    const bool head = std::any_of(heads.begin(), heads.end(),
                                  [&](const Version* one) { return one->hash == hash; });
    if (head || ours_ancestry.count(hash) == 0) continue;
    const std::string* bytes = find(hash);
    if (bytes == nullptr) continue;
    const std::size_t apart = distance(*bytes, ours) + distance(*bytes, theirs.bytes);
    // The hashes rise: of equals the first counts.
    if (apart < least) {
      least = apart;
      best = bytes;
    }
  }
  return best;
}

}  // namespace

Standing stand(const std::optional<Version>& own, const std::vector<Version>& received,
               const FindBytes& find) {
  // By hash: one version may have come several times, with more or less ancestry.
  std::map<std::string, Version> all;
  const auto add = [&](const Version& version) {
    const auto [known, fresh] = all.emplace(version.hash, version);
    if (!fresh) known->second.ancestry.insert(version.ancestry.begin(), version.ancestry.end());
  };
  for (const Version& version : received) add(version);
  if (own) add(*own);
  complete(all);
  Standing standing;
  std::vector<const Version*> heads;
  std::vector<const Version*> older;
  for (const auto& [hash, version] : all) {
    const bool done_with = std::any_of(
        all.begin(), all.end(),
        [&, one = &version](const auto& other) { return descends(other.second, *one); });
    (done_with ? older : heads).push_back(&version);
  }
  if (heads.empty()) return standing;
  if (own) {
    // The own one, or those made from it, before any that only have its id.
    const Version& ours = all.at(own->hash);
    std::stable_partition(heads.begin(), heads.end(),
                          [&](const Version* one) { return one == &ours || descends(*one, ours); });
  }
  std::vector<const Version*> parts = {heads.front()};
  const Version& first = *heads.front();
  standing.there = true;
  standing.hash = first.hash;
  standing.bytes = first.bytes;
  standing.taken.insert(first.hash);
  std::set<std::string> ancestry = first.ancestry;
  ancestry.insert(first.hash);
  for (std::size_t i = 1; i < heads.size(); ++i) {
    const Version& next = *heads[i];
    const std::string* base = base_of(heads, ancestry, standing.bytes, next, find);
    const bool text = is_utf8(standing.bytes) && is_utf8(next.bytes);
    std::optional<Merged> merged;
    if (base != nullptr && text) merged = merge_texts(*base, standing.bytes, next.bytes);
    if (!merged || !merged->conflicts.empty()) {
      standing.open.push_back(next.hash);
      continue;
    }
    standing.bytes = std::move(merged->text);
    standing.hash = files::hash_hex(standing.bytes);
    standing.merged = true;
    standing.taken.insert(next.hash);
    parts.push_back(&next);
    ancestry.insert(next.ancestry.begin(), next.ancestry.end());
    ancestry.insert(next.hash);
  }
  // What only a version beside the text was made from is no part of the text. Taken for one, it
  // would pass for what the next edit started from, and its words for words that were struck out.
  for (const Version* one : older) {
    const bool part = std::any_of(parts.begin(), parts.end(),
                                  [&](const Version* other) { return descends(*other, *one); });
    if (part) standing.taken.insert(one->hash);
  }
  return standing;
}

}  // namespace baylore::pack
