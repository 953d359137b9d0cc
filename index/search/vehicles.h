// How every tip stands to one vehicle: asked of each different fit line once, kept while the
// vehicle is the same.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "search/search.h"
#include "store/words.h"

namespace baylore::search {

class Standings {
 public:
  // Answers are for this vehicle and these words from now on; nothing is done when they are as
  // before. An empty vehicle has no standings.
  void take(const store::Words& words, const Vehicle& vehicle);

  // FitVerdict of each tip of a piece; empty without a vehicle.
  [[nodiscard]] std::span<const std::uint8_t> of(std::size_t piece) const {
    return piece < verdicts_.size() ? std::span<const std::uint8_t>(verdicts_[piece])
                                    : std::span<const std::uint8_t>();
  }

 private:
  Vehicle vehicle_;
  std::uint64_t version_ = 0;
  std::vector<std::vector<std::uint8_t>> verdicts_;
};

}  // namespace baylore::search
