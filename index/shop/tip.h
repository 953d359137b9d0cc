// A tip: one cause of one complaint. Read from a Document; everything but the title is optional.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shop/document.h"
#include "shop/finding.h"
#include "trade/expectation.h"
#include "trade/torque_spec.h"

namespace baylore::shop {

// `Make | Model | years | engine`; an empty part means any.
struct Fit {
  std::string make;
  std::string model;
  int first_year = 0;  // 0: open
  int last_year = 0;
  std::string engine;
  int line = 0;
};

struct Access {
  std::string name;  // "undertray"
  double minutes = 0;
};

struct Check {
  std::string name;
  std::string id;    // `check:`, or a slug of the name
  std::string fact;  // empty: the id itself
  double minutes = 0;
  std::vector<Access> access;
  std::string tools;
  std::string valid;  // when the check holds: "engine below 30 °C"
  std::optional<trade::Expectation> expect;
  std::string expect_text;  // as authored
  std::string outside;      // strength words as authored
  std::string inside;
  std::string correct;
  std::string
      text;  // prose: how, and why; lines `- key: value` with a key of the author's own stay in it
  std::string why;  // the sentences after "Why:" of the text, empty when none
  int line = 0;
};

struct Mark {
  std::string label;  // "1", "w"
  double x = 0;       // 0 left .. 1 right
  double y = 0;       // 0 top .. 1 bottom
  std::string text;
  int line = 0;
};

struct Picture {
  std::string file;
  std::string caption;
  std::vector<Mark> marks;
  int line = 0;
};

struct Fastener {
  std::string name;
  int count = 0;  // 0: not said
  std::string thread;
  std::string property_class;  // class or grade, as authored
  std::optional<trade::TorqueSpec> torque;
  std::string torque_text;
  std::string sequence;
  std::string reuse;  // "yes", "no", or words
  std::string text;
  int line = 0;
};

struct PartRef {
  std::string name;    // "Halden 88-214"
  std::string family;  // id of a part family
  std::string text;
  int line = 0;
};

struct Verification {
  std::string name;
  std::string again;  // id of the check to repeat; empty when it has its own
  std::string check;  // `check:`, its own id, when it does not repeat one
  std::string valid;
  std::optional<trade::Expectation> expect;
  std::string expect_text;
  std::string text;
  int line = 0;
};

struct MistakenFor {
  std::string tip;   // id or slug of the other tip
  std::string note;  // how to tell them apart
  int line = 0;
};

// Any section as prose: the known ones too, for searching and showing.
struct Prose {
  std::string key;      // "symptom"
  std::string heading;  // as written
  std::string text;     // Markdown before the first entry
  std::string body;     // all of it
  int line = 0;
};

struct Tip {
  std::string path;             // relative to the shop: "tips/cooling/slug.md"
  std::string slug;             // the file's name without ".md"
  std::string id;               // written in the file, or provisional
  bool provisional_id = false;  // `p-` and a hash of the path: fit to show, not to be referred to
  std::string title;
  std::string status;  // "current" when not said; "draft", "withdrawn", or the author's word
  std::string replaced_by;
  std::string translation_of;
  std::string lang;  // "en" when not said
  std::vector<Fit> fits;
  std::vector<std::string> codes;  // normalised; what is no code is a finding
  std::string component;
  std::string system;
  std::vector<std::string> when;
  std::vector<std::string> often;
  std::vector<MistakenFor> mistaken_for;
  double repair_minutes = 0;
  std::string author;
  std::string written;
  std::vector<Check> checks;
  std::vector<Picture> pictures;  // of all sections, in order
  std::vector<Fastener> fasteners;
  std::vector<PartRef> parts;
  std::vector<Verification> verify;
  std::vector<std::string> steps;     // Repair: its numbered steps, Markdown
  std::vector<std::string> finish;    // Finish: its sentences or list items, one each
  std::vector<std::string> cautions;  // Cautions: the author's own, sentences or list items
  std::vector<Prose> sections;  // in file order; text before the first section is "symptom" when
                                // there is no such section, else "preamble"
  Findings findings;            // of this file, in line order
  bool broken = false;          // has an error among the findings

  [[nodiscard]] const Prose* section(std::string_view key) const;
};

// Never fails: a broken line costs itself, not the tip. `path` is relative to the shop.
Tip read_tip(const Document& document, std::string path);

// A fit as one line of the text form and for people: "Corvane Hauler 2014–2018, 3.6 V6".
std::string fit_line(const Fit& fit);
std::string fit_text(const Fit& fit);
// Reads the text form's line; years are `2014-2018`, `2014`, `2014-`, `-2018`.
Fit read_fit(std::string_view line);

// Section keys with meaning, in the usual order of a tip.
const std::vector<std::string>& known_sections();
// Front-matter keys with meaning.
const std::vector<std::string>& known_keys();

}  // namespace baylore::shop
