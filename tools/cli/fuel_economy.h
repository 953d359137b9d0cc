// The public fuel-economy file of the US EPA and DOE (fueleconomy.gov), as a vocabulary of makes,
// models, years and engines.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "shop/finding.h"
#include "shop/vocabulary.h"

namespace baylore::cli {

// One model over years without a gap.
struct FuelEconomy {
  std::vector<shop::Model> models;  // by make, model, first year
  int rows = 0;                     // read
  shop::Findings findings;          // lines left out, and why
};

// Reads CSV with a line of column names, in any order: `make`, `model`, `year`, and if there
// `displ` and `fuel` (or `fuelType`). `file` names it in findings. What the file says of the drive
// (2WD, AWD ...) is left off the model's name, and two names in one (`Osier/Grand Osier`) become
// two models. Engines are litres with one decimal and, where it is not petrol, the fuel: the file
// counts cylinders but does not say how they stand.
FuelEconomy read_fuel_economy(std::string_view bytes, const std::string& file);

// The models as a vocabulary file, without those of `known` (make and model, however written).
std::string vocabulary_text(const std::vector<shop::Model>& models,
                            const std::vector<shop::Model>& known);

// Whether a vocabulary file is one that vocabulary_text() wrote, so that it may be replaced.
bool made_from_fuel_economy(std::string_view bytes);

}  // namespace baylore::cli
