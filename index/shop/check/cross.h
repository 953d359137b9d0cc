// What only the whole shop can show.
#pragma once

#include <cstdint>
#include <string>
#include <unordered_map>
#include <vector>

#include "shop/check/facts.h"
#include "shop/finding.h"
#include "shop/part.h"
#include "shop/vocabulary.h"

namespace baylore::shop::checking {

struct ShopFacts {
  std::vector<TipFacts> tips;  // by path
  std::vector<PartFacts> parts;
  std::vector<PartFamily> families;  // by path; without their prose
  Vocabulary vocabulary;
  int latest_year = 0;  // model years beyond it are told as such already
  std::unordered_map<std::string, std::uint64_t> files;  // every file and folder, with its size
};

// A finding in `file` at `at`, which is its first line where no place is known.
void add(Findings& into, const std::string& file, Spot at, Level level, const char* rule,
         std::string message, std::string remedy);

// Ids given twice; links, pictures and part families that lead nowhere, or to something withdrawn
// or superseded.
void check_links(const ShopFacts& facts, Findings& into);
// Systems, components, makes, models, years and engines against the vocabulary; silent for each
// that the vocabulary says nothing of.
void check_words(const ShopFacts& facts, Findings& into);
// Numbers and barcodes given twice or mistaken for each other; supersession that leads in a ring;
// components the vocabulary does not know.
void check_parts(const ShopFacts& facts, Findings& into);
// Tips that nearly repeat each other.
void check_repeats(const ShopFacts& facts, Findings& into);
// One fastener with two torques on one car; one check with two expectations.
void check_agreement(const ShopFacts& facts, Findings& into);

// Finds a tip by id, or by its file's name. More than one: the name is ambiguous.
class TipNames {
 public:
  explicit TipNames(const std::vector<TipFacts>& tips);
  [[nodiscard]] std::vector<std::size_t> find(const std::string& name) const;

 private:
  std::unordered_map<std::string, std::vector<std::size_t>> by_id_;
  std::unordered_map<std::string, std::vector<std::size_t>> by_slug_;
};

}  // namespace baylore::shop::checking
