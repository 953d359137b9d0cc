#include "viewer/services/sources.h"

#include "pack/accept.h"
#include "pack/preview.h"
#include "pack/received.h"

namespace baylore::viewer {

Sources read_sources(files::Disk& disk, const std::string& shop_folder) {
  Sources sources;
  const auto received = pack::read_received(disk, shop_folder);
  if (!received) return sources;
  for (auto& [key, came] : pack::origins(*received)) sources.texts[key].came = std::move(came);
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
