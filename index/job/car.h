// The same car again, inside the shop and without its VIN. A VIN gives one mark a terminal's key:
// `TERMINAL:HASH`, a hash keyed with random bytes of the shop. Two jobs that share a mark are of
// one car. Each terminal makes its own key and marks with all that are there, so that no file has
// two writers and no bay waits for another: marks made before two bays knew of each other still
// meet, because the later job carries both.
//
// The keys lie in the shop's folder, beside the jobs. They keep VINs out of every file, and out of
// what leaves the shop; who holds the whole folder could try VINs one after another.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "files/disk.h"

namespace baylore::job {

// Marks of a whole VIN of 17 characters, one a key; empty for anything else. The terminal's own key
// is made when there is none.
files::Result<std::vector<std::string>> car_marks(files::Disk& disk, const std::string& shop_folder,
                                                  const std::string& terminal,
                                                  std::string_view vin);

// Whether two jobs' marks are of one car; none have nothing in common.
bool same_car(const std::vector<std::string>& one, const std::vector<std::string>& other);

}  // namespace baylore::job
