// All part families of a shop, found by number, barcode or family.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "files/disk.h"
#include "shop/part.h"

namespace baylore::shop {

// A part as a record or a person names it: `Halden 88-214, new`, `Halden 88-214 lot 2433`.
struct NamedPart {
  std::string name;  // brand and number, without the rest
  std::string lot;   // the lot's mark after the word `lot` or `batch`, in capitals; or empty
};
NamedPart named_part(std::string_view text);
// A lot's mark as it is compared: in capitals.
std::string lot_mark(std::string_view text);
// Several parts in one field have `;` between them.
std::vector<NamedPart> named_parts(std::string_view text);

// Reading is thread-safe, adding is not.
class PartBook {
 public:
  struct Place {
    std::size_t family = 0;  // into families()
    std::size_t number = 0;  // into its numbers
    bool operator==(const Place&) const = default;
  };
  enum class How {
    nothing,     // no such number
    exact,       // but for dashes, blanks and case
    folded,      // some letter was taken for a digit, or the other way round
    barcode,     // by its GTIN
    superseded,  // an older number that a listed one takes the place of
  };
  struct Found {
    How how = How::nothing;
    std::vector<Place> places;  // more than one: ask which
    std::string brand;          // the known brand that the text begins with, or empty
    // With a brand that has no such number: the same number of other brands. Never an answer.
    std::vector<Place> elsewhere;
    std::string lot;
  };

  void add(PartFamily family);
  [[nodiscard]] const std::vector<PartFamily>& families() const { return families_; }
  [[nodiscard]] const PartFamily& family(const Place& place) const {
    return families_[place.family];
  }
  [[nodiscard]] const PartNumber& number(const Place& place) const {
    return families_[place.family].numbers[place.number];
  }
  // By id or by the file's name; nullptr when there is none.
  [[nodiscard]] const PartFamily* family(std::string_view name) const;

  // What a typed line, a scan or a record's field means. A brand in front is binding: the number is
  // then never looked for among other brands. Without a brand every brand's is found. What runs on
  // without a gap may be a number that only begins like a brand.
  [[nodiscard]] Found find(std::string_view text) const;

  // The numbers that took the place of this one, the newest last; itself not included.
  struct Chain {
    std::vector<Place> later;
    bool ring = false;       // it leads back to a number of its own
    std::string not_listed;  // the newest number named, when no file lists it
  };
  [[nodiscard]] Chain superseded(const Place& place) const;

 private:
  using Places = std::unordered_map<std::string, std::vector<Place>>;
  [[nodiscard]] std::string brand_in(const std::string& plain) const;
  [[nodiscard]] std::vector<Place> named(const std::string& brand, std::string_view number) const;

  std::vector<PartFamily> families_;
  std::unordered_map<std::string, std::size_t> by_family_;
  std::vector<std::string> brands_;  // keys of brands, plain, each once
  Places full_plain_;                // brand and number
  Places full_folded_;
  Places number_plain_;
  Places number_folded_;
  Places gtin_;
  Places older_;  // brand and number of what is superseded and has no entry of its own
};

// Of families with one written id the one that counts (comes_first()), in the order they came.
std::vector<PartFamily> without_copies(std::vector<PartFamily> families);

// All part files of the shop but copies; what cannot be read is a finding of its own.
PartBook read_parts(files::Disk& disk, const std::string& shop_folder, Findings& findings);

}  // namespace baylore::shop
