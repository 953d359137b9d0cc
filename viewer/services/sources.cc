#include "viewer/services/sources.h"

#include <algorithm>

#include "pack/accept.h"
#include "pack/preview.h"
#include "pack/received.h"

namespace baylore::viewer {

Sources read_sources(files::Disk& disk, const std::string& shop_folder) {
  Sources sources;
  const auto received = pack::read_received(disk, shop_folder);
  if (!received) return sources;
  for (const pack::ReceivedPack& pack : received->packs) {
    const pack::Decision& last = pack.last();
    if (!last.accepted) continue;
    for (const pack::AcceptedText& text : last.texts)
      sources.texts[text.key].came.push_back({last.location, last.name, last.when, last.who});
  }
  for (auto& [key, source] : sources.texts) {
    std::sort(source.came.begin(), source.came.end(),
              [](const pack::Origin& a, const pack::Origin& b) { return a.when < b.when; });
  }
  for (const pack::LocationCounts& counts : pack::latest_counts(*received)) {
    for (const pack::Count& count : counts.counts) {
      if (count.kind == "part") {
        sources.parts[count.name].emplace_back(counts.location, count);
        continue;
      }
      const auto source = sources.texts.find({shop::Kind::tip, count.name});
      if (source != sources.texts.end()) source->second.told.emplace_back(counts.location, count);
    }
  }
  if (const auto open = pack::open_conflicts(disk, shop_folder)) {
    for (const pack::OpenConflict& one : *open) sources.texts[one.key].waits = true;
  }
  return sources;
}

}  // namespace baylore::viewer
