// Puts together what the screens show of parts. Everything here may take some milliseconds and runs
// off the drawing thread.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "files/disk.h"
#include "quality/history.h"
#include "shop/records.h"
#include "shop/shop.h"
#include "store/store.h"
#include "viewer/state/part_page.h"

namespace baylore::viewer {

// How the families have lasted, worked out once for one history. One thread at a time.
class Standings {
 public:
  explicit Standings(std::shared_ptr<const quality::History> history)
      : history_(std::move(history)) {}
  [[nodiscard]] const quality::History& history() const { return *history_; }
  // By number, all locations together. The reference stays good.
  const quality::Standing& of(std::size_t family);

 private:
  std::shared_ptr<const quality::History> history_;
  std::map<std::size_t, quality::Standing> by_number_;
};

// The page of one number; `at` is one of the places that history().parts().find(asked.name) gives.
// `store` finds the tips that list the family; nullptr: none are named.
PartPage part_page(Standings& standings, const PartAsked& asked, const shop::PartBook::Place& at,
                   const shop::Settings& settings, store::Store* store);

// One entry for each of the tip's parts.
std::vector<PartEvidence> evidence_of(Standings& standings, const std::vector<shop::PartRef>& parts,
                                      const search::Vehicle& vehicle);

// The jobs behind a rival's figures, those that came back first, then the newest still in service.
// `lot`: of that one alone; empty: of all. `own` are this shop's records; other locations' are read
// from received/.
std::vector<PartRecord> records_behind(const quality::History& history,
                                       const shop::PartBook::Place& place, const std::string& lot,
                                       const std::vector<shop::Record>& own, files::Disk& disk,
                                       const std::string& shop_folder);

}  // namespace baylore::viewer
