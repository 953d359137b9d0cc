// What is kept of a file while the others are read: enough to compare, no more.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "shop/check/check.h"
#include "shop/check/similar.h"
#include "shop/check/text_checks.h"
#include "shop/check/vehicles.h"
#include "shop/document.h"
#include "shop/tip.h"
#include "trade/expectation.h"
#include "trade/unit.h"

namespace baylore::shop::checking {

struct Spot {
  int line = 1;
  int column = 1;
};

// A name that must lead somewhere.
struct Reference {
  std::string to;
  Spot at;
};

struct FastenerFact {
  std::string key;     // folded name without plurals, and the thread
  bool vague = false;  // `Mounting bolts`: the same name on another component is another fastener
  std::string said;    // the torque as authored
  const trade::Unit* unit = nullptr;  // of the last torque
  double low_nm = 0;
  double high_nm = 0;
  double degrees = 0;  // turned after the last torque, all together
  Spot at;
};

struct ReadingFact {
  std::string check;                  // the check's id
  bool own_id = false;                // written, not made from the name
  std::string said;                   // as authored
  const trade::Unit* unit = nullptr;  // nullptr for a plain answer
  double low = 0, high = 0;           // in the dimension's base unit; infinite where open
  Spot at;
};

struct PictureFact {
  std::string file;
  Spot at;
};

struct PartFact {
  std::string name;
  std::string family;
  Spot name_at;
  Spot family_at;
};

struct TipFacts {
  std::string path;
  std::string slug;
  std::string id;  // empty when the file has none
  Spot id_at;
  Spot title_at;
  std::string lang;
  bool withdrawn = false;
  std::string system;
  Spot system_at;
  std::string component;
  Spot component_at;
  Reference replaced_by;  // empty `to` when not said
  Reference translation_of;
  std::vector<Reference> mistaken_for;
  std::vector<TextLink> links;
  std::vector<Vehicle> vehicles;  // one that is any vehicle when the tip names none
  std::vector<Fit> fits;          // those with a make and years that could be read
  std::vector<Spot> fits_at;
  std::vector<FastenerFact> fasteners;
  std::vector<ReadingFact> readings;
  std::vector<PictureFact> pictures;
  std::vector<PartFact> parts;
  Sketch sketch;
};

TipFacts facts_of(const Document& document, const Tip& tip);

// A part family and its numbers, as far as supersession goes.
struct NumberFact {
  std::vector<std::string> names;  // squeezed: every way a tip may write it
  std::string shown;
  std::string superseded_by;
};

struct PartFacts {
  std::string path;
  std::string slug;
  std::string id;
  Spot id_at;
  std::string superseded_by;
  Spot superseded_at;
  std::vector<NumberFact> numbers;
};

PartFacts part_facts_of(const Document& document, const std::string& path);

// Letters and digits in lower case, nothing else: `Halden 88-214` and `HALDEN 88 214` are one.
std::string squeezed(const std::string& text);

// The expected range in the base unit of its dimension; nothing when the check has none.
ReadingFact reading_of(const std::optional<trade::Expectation>& expect, const std::string& said,
                       const Field* field, int entry_line);

// The entries of all sections with this key, in order: parallel to what read_tip() made of them.
std::vector<const Entry*> entries_of(const Document& document, const std::string& section);

// Where a field's value stands; the line of the entry when there is no field.
Spot spot_of(const Field* field, int otherwise = 1);

}  // namespace baylore::shop::checking
