// The vehicles that a generated shop works on.
#pragma once

#include <string>
#include <vector>

#include "files/result.h"
#include "random.h"

namespace baylore::benchmark {

struct Model {
  std::string make;
  std::string name;
  int first_year = 0;
  int last_year = 0;
  std::vector<std::string> engines;  // "2.0 I4"
  double weight = 0;                 // how often it comes to the shop, up to a common factor
};

// From a CSV with the columns make, model, year, cyl and displ, such as the fuel economy data of
// the US Environmental Protection Agency. A model with more rows, that is years, engines and gears,
// counts as one that comes oftener. Which way the cylinders stand is not in the data: six and eight
// are taken for a V, fewer for a row.
files::Result<std::vector<Model>> read_vehicles(const std::string& csv);

// Sixty makes and what they sell, all of it made up; a few of them are common, most are not.
std::vector<Model> invented_vehicles();

// Chooses models by their weights.
class Fleet {
 public:
  explicit Fleet(std::vector<Model> models);
  [[nodiscard]] const Model& draw(Random& random) const;
  [[nodiscard]] const std::vector<Model>& models() const { return models_; }

 private:
  std::vector<Model> models_;
  std::vector<double> up_to_;  // sums of the weights
};

}  // namespace baylore::benchmark
