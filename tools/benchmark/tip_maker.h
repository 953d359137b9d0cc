// Writes the tips of a generated shop.
//
// What is modelled, and on what it is measured:
//   - The words: on the tips of the demo shop (language.h), sentence by sentence and part by part;
//   a
//     vocabulary that goes on growing as theirs does (rare_words.h).
//   - The shape: each tip has that of a tip of the demo shop: which sections, how many sentences,
//     checks, steps, fasteners, parts, codes and pictures. So lengths are theirs. `brief` leaves
//     the tip's head, two sentences of symptom, one check, two steps and a part: about a seventh,
//     which is what gets written between two jobs.
//   - The subject: a component with its system from the shop's vocabulary, the more common ones
//     oftener (Zipf's law, exponent 1: no source, a guess). Two of three sentences begin as one of
//     a tip of the same system.
//   - Vehicles: a fleet (vehicles.h), as many lines as the demo's tip has; one symptom in six and
//     one title in ten names the model (a guess).
//   - Codes, checks, brands and part numbers: from endless lists in which few are common.
//   - Tips that meet: about one in a hundred contradicts another, repeats another, links nowhere or
//     is a translation, as `baylore check` is there to find.
// Tip number i is the same in a shop of any size.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "language.h"
#include "shop/tip.h"
#include "shop/vocabulary.h"
#include "vehicles.h"

namespace baylore::benchmark {

class TipMaker {
 public:
  // `like`: the tips of the demo shop, at least one; `vocabulary`: its components; `dictionary`:
  // words of the language, may be empty.
  TipMaker(std::vector<shop::Tip> like, const shop::Vocabulary& vocabulary, Fleet fleet,
           std::vector<std::string> dictionary, bool brief);

  [[nodiscard]] std::string tip(std::uint64_t number) const;
  [[nodiscard]] const Fleet& fleet() const { return fleet_; }

  static std::string slug(std::uint64_t number);
  // The names of the pictures: photo0.png ... photo199.png.
  static constexpr std::size_t kPhotos = 200;

 private:
  struct Subject;

  void head(std::string& out, const Subject& subject, Random& random) const;
  void checks(std::string& out, const Subject& subject, Random& random) const;
  void location(std::string& out, const Subject& subject, Random& random) const;
  void fasteners(std::string& out, const Subject& subject, Random& random) const;
  void parts(std::string& out, const Subject& subject, Random& random) const;
  [[nodiscard]] std::string original(std::uint64_t number) const;

  std::vector<shop::Tip> like_;
  std::vector<shop::Component> components_;
  Fleet fleet_;
  Language language_;
  bool brief_;
};

}  // namespace baylore::benchmark
