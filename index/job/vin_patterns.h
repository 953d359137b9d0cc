// What vehicles the VINs of this terminal turned out to be: learned from what people choose, so
// that the next car of its kind is suggested. No outside table stands behind it, and it never
// decides anything.
//
// Only places 1 to 8 and 10 of a VIN are kept: the maker, the vehicle's attributes, the model year,
// all shared by thousands of cars. Never kept are places 12 to 17, the serial number, which is the
// customer's car; nor place 11, the plant, which tells nothing of the model and narrows the cars
// down; nor place 9, the check digit, which is worked out from all the others and so tells
// something of the serial (49 CFR 565.15).
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "files/disk.h"
#include "search/understand.h"

namespace baylore::job {

// A vehicle this VIN may be. After an exact pattern it is as it was chosen; otherwise make and
// model are those of VINs with the same first five places, the year is this VIN's own and the
// engine open.
struct VinGuess {
  search::Vehicle vehicle;
  int chosen = 0;      // how often
  bool exact = false;  // places 1 to 8 and 10 are the same
};

// Not thread-safe; one for the viewer, which reads and writes the file rarely and small.
class VinPatterns {
 public:
  // Reads `state_folder`/vin-patterns.json. A damaged file is kept beside it as
  // vin-patterns.json.damaged and nothing is known; neither that nor a folder out of reach is worth
  // stopping for.
  VinPatterns(files::Disk& disk, const std::string& state_folder);

  // Remembers that a person chose this vehicle for this VIN (whole, or a part with places 1 to 8
  // and 10), and saves. Fails where the file was there and could not be read: saving would lose
  // what it holds. Nothing happens, and ok is returned, for a vehicle without make and model, and
  // for a VIN that cannot be read or has a slip: one from North America whose check digit does not
  // agree. A person's own second thought is a choice like any other.
  files::Result<void> learn(std::string_view vin, const search::Vehicle& chosen);

  // What it may be, most often chosen first, exact ones before others; at most kMostGuesses. Empty
  // for what is no VIN, or one never seen the like of.
  [[nodiscard]] std::vector<VinGuess> suggest(std::string_view vin) const;

  static constexpr std::size_t kMostGuesses = 5;
  // Limits of what is kept. A count that reaches its limit halves all of its pattern's, so that
  // what was right for years can still be outvoted.
  static constexpr std::size_t kMostPatterns = 4000;
  static constexpr std::size_t kMostVehicles = 8;
  static constexpr int kMostChosen = 100;

 private:
  struct Choice {
    search::Vehicle vehicle;
    int chosen = 0;
  };
  using Choices = std::vector<Choice>;

  bool take(std::string_view text);
  void make_room(const std::string& pattern);
  [[nodiscard]] files::Result<void> save() const;

  files::Disk& disk_;
  std::string path_;
  std::optional<files::Failure> out_of_reach_;
  std::map<std::string, Choices, std::less<>> patterns_;  // places 1 to 8 and 10
};

}  // namespace baylore::job
