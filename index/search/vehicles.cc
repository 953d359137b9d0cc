#include "search/vehicles.h"

#include <algorithm>

#include "search/fit_rules.h"

namespace baylore::search {
namespace {

// The names of a part that are the vehicle's make, model or engine, each looked at when first met.
class Names {
 public:
  using Same = bool (*)(std::string_view fit, std::string_view asked);

  Names(const store::Part& part, Same rule, std::string_view asked)
      : part_(part), rule_(rule), asked_(asked), known_(part.names(), kUnknown) {}

  bool same(std::uint32_t name) {
    if (name >= known_.size()) return false;
    std::uint8_t& known = known_[name];
    if (known == kUnknown) known = rule_(part_.name(name), asked_) ? 1 : 0;
    return known == 1;
  }

 private:
  static constexpr std::uint8_t kUnknown = 2;
  const store::Part& part_;
  Same rule_;
  std::string_view asked_;
  std::vector<std::uint8_t> known_;
};

std::vector<std::uint8_t> verdicts_of(const store::Part& part, const Vehicle& vehicle) {
  Names makes(part, same_name, vehicle.make);
  Names models(part, same_name, vehicle.model);
  Names engines(part, same_engine, vehicle.engine);
  std::vector<std::uint8_t> lines;
  lines.reserve(part.fit_lines().size());
  for (const store::FitLine& line : part.fit_lines()) {
    FitVerdict verdict = FitVerdict::fits;
    if (!makes.same(line.make) || !models.same(line.model)) {
      verdict = FitVerdict::other_model;
    } else if (years_apart(line.first_year, line.last_year, vehicle) != 0) {
      verdict = FitVerdict::other_year;
    } else if (!engines.same(line.engine)) {
      verdict = FitVerdict::other_engine;
    }
    lines.push_back(static_cast<std::uint8_t>(verdict));
  }
  // The line that comes nearest speaks for the tip.
  std::vector<std::uint8_t> verdicts(part.tips(), static_cast<std::uint8_t>(FitVerdict::fits_all));
  part.each_fit([&](std::uint32_t tip, std::span<const std::uint32_t> fits) {
    if (fits.empty()) return;
    auto best = static_cast<std::uint8_t>(FitVerdict::other_model);
    for (const std::uint32_t line : fits) {
      if (line < lines.size()) best = std::min(best, lines[line]);
    }
    verdicts[tip] = best;
  });
  return verdicts;
}

}  // namespace

void Standings::take(const store::Words& words, const Vehicle& vehicle) {
  if (version_ == words.version() && vehicle_ == vehicle) return;
  version_ = words.version();
  vehicle_ = vehicle;
  verdicts_.clear();
  if (vehicle.empty()) return;
  for (const store::Words::Piece& piece : words.pieces()) {
    verdicts_.push_back(verdicts_of(piece.part, vehicle));
  }
}

}  // namespace baylore::search
