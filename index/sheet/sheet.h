// What a tip's working sheet says: all a technician needs at the car, in working order, as clean
// text. Made once; the PDF and the codes for a telephone are two ways to show it.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sheet/words.h"
#include "shop/finding.h"
#include "shop/part_book.h"
#include "shop/records.h"
#include "shop/shop.h"
#include "shop/tip.h"

namespace baylore::sheet {

// What a check should find, taken apart so that the number can stand large and the unit small.
struct Expected {
  std::string before;  // "95", "13.5 to 14.8", "more than 5"; the whole of a plain answer
  std::string unit;    // "kPa"; empty for a plain answer
  std::string after;   // "or more"
  std::string second;  // "13.8 psi or more"; empty when the trade has one unit only
  [[nodiscard]] bool none() const { return before.empty(); }
  // "95 kPa or more (13.8 psi or more)".
  [[nodiscard]] std::string text() const;
};

struct SheetCheck {
  std::string name;
  Expected expected;
  double minutes = 0;  // with what has to come off first; 0: not said
  std::string valid;   // when the check holds
  std::string tools;   // and what has to come off
  std::string how;
  std::string why;
  std::string outside;  // strength words
  std::string inside;
};

struct SheetFastener {
  std::string name;
  std::string bolt;    // "5 × M6x1.0, 8.8"
  std::string torque;  // as authored, all stages: "5 N·m; 10 N·m"
  std::string second;  // the same in the other unit; empty when it cannot be read
  std::optional<trade::TorqueSpec> spec;
  std::string sequence;  // "1 4 2 5 3"
  std::string reuse;     // "yes", "no", or words
  std::string text;
  std::string doubt;  // what `baylore check` says of its figures; empty: nothing
};

struct SheetPart {
  std::string name;
  std::string text;
  std::vector<SheetCheck> acceptance;  // of its family, with the last part of that family
};

struct SheetPicture {
  std::string file;  // as the tip names it
  std::string caption;
  std::vector<shop::Mark> marks;
};

struct Sheet {
  std::string title;
  std::string about;              // "cooling, coolant pump"
  std::vector<std::string> fits;  // "Corvane Hauler 2014–2018, 3.6 V6"
  std::vector<std::string> codes;
  // What stands above everything: demo values, a withdrawn tip, a doubt no lead has settled.
  std::vector<std::string> warnings;
  struct Caution {
    std::string lead;  // must be read
    std::string more;
  };
  std::vector<Caution> cautions;  // of the vehicle system, then the author's own: all of them
  std::vector<Paragraph> symptom;
  std::vector<SheetCheck> checks;
  std::vector<Paragraph> location;
  std::vector<SheetPicture> pictures;
  std::vector<Paragraph> repair;  // steps with their numbers
  double repair_minutes = 0;
  std::vector<SheetFastener> fasteners;
  std::vector<SheetPart> parts;
  std::vector<Paragraph> finish;
  std::vector<SheetCheck> verify;
  std::string author;
  std::string written;
  std::string shop;     // its name
  bool safety = false;  // a safety-critical system
};

// Where it comes from; all but the tip may be missing. Only read during the call.
struct From {
  const shop::Tip& tip;
  const shop::Settings* settings = nullptr;
  const shop::PartBook* parts = nullptr;
  const shop::Findings* findings = nullptr;             // of the tip, for doubtful figures
  const std::vector<shop::Question>* doubts = nullptr;  // open questions of any tips
};
Sheet sheet_of(const From& from);

// That values are notes and who decides; on every sheet and in every code's text.
std::string who_decides();

// "heater-cold-at-idle-sheet.pdf" of the tip's slug.
std::string file_name(const shop::Tip& tip);

}  // namespace baylore::sheet
