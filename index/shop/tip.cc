#include "shop/tip.h"

#include <algorithm>
#include <unordered_set>

#include <fmt/format.h>

#include "files/names.h"
#include "shop/fit.h"
#include "shop/notes.h"
#include "shop/prose.h"
#include "shop/scan.h"
#include "shop/tip_entries.h"
#include "trade/code.h"

namespace baylore::shop {
namespace {

// Keys that take a list; the others take one value.
bool takes_list(std::string_view key) {
  return key == "fits" || key == "codes" || key == "when" || key == "often" ||
         key == "mistaken-for";
}

std::string slug_from(std::string_view path) {
  std::string name = files::name_of(path);
  if (name.size() > 3 && scan::lower(name).substr(name.size() - 3) == ".md")
    name.resize(name.size() - 3);
  return name;
}

// A path always has the same provisional id, so that a list keeps its places until the id is
// written.
std::string provisional_id(std::string_view path) {
  return "p-" + files::hash_hex(path).substr(0, 24);
}

std::string words_of_slug(std::string slug) {
  std::replace(slug.begin(), slug.end(), '-', ' ');
  return slug;
}

void note_unknown(const Document& document, Notes& notes) {
  for (const Field& field : document.front()) {
    const std::string_view meant = nearest(field.key, known_keys());
    if (!meant.empty()) {
      notes.add(Level::note, field.line, 1, "unknown-key",
                fmt::format("`{}` means nothing here", field.label),
                fmt::format("did you mean `{}`?", meant));
    }
    const bool known =
        std::find(known_keys().begin(), known_keys().end(), field.key) != known_keys().end();
    if (known && !takes_list(field.key) && !field.items.empty()) {
      notes.add(Level::warning, field.items.front().line, 1, "front-matter",
                fmt::format("`{}` takes one value, not a list", field.label),
                "write it on the line of the key");
    }
  }
  for (const Section& section : document.sections()) {
    const std::string_view meant = nearest(section.key, known_sections());
    if (meant.empty()) continue;
    notes.add(Level::note, section.line, 1, "unknown-section",
              fmt::format("the section `{}` has no meaning of its own", section.heading),
              fmt::format("did you mean `{}`?", meant));
  }
}

void read_identity(const Document& document, Notes& notes, Tip& tip) {
  tip.id = document.value("id");
  if (!files::is_id(tip.id)) {
    if (const Field* field = document.field("id"); field != nullptr && !tip.id.empty()) {
      notes.add(Level::error, field->line, field->column, "id",
                fmt::format("`{}` cannot be an id", tip.id),
                "use up to 64 letters, digits, dots, dashes and underscores, or take the line out");
    }
    tip.id = provisional_id(tip.path);
    tip.provisional_id = true;
  }
  tip.title = document.value("title");
  if (tip.title.empty()) tip.title = document.heading();
  if (tip.title.empty()) {
    tip.title = words_of_slug(tip.slug);
    const Field* field = document.field("title");
    notes.add(Level::error, field == nullptr ? 1 : field->line, 1, "title", "the tip has no title",
              "put `title: ...` between two lines --- at the top");
  }
}

void read_status(const Document& document, Notes& notes, Tip& tip) {
  static const std::vector<std::string> kWords = {"current", "draft", "withdrawn"};
  tip.status = scan::lower(document.value("status"));
  if (tip.status.empty()) {
    tip.status = "current";
  } else if (std::find(kWords.begin(), kWords.end(), tip.status) == kWords.end()) {
    const Field* field = document.field("status");
    const std::string_view meant = nearest(tip.status, kWords);
    notes.add(Level::warning, field->line, field->column, "status",
              fmt::format("`{}` is no status", field->value),
              meant.empty() ? "write current, draft or withdrawn"
                            : fmt::format("did you mean `{}`?", meant));
  }
  tip.replaced_by = document.value("replaced-by");
  tip.translation_of = document.value("translation-of");
  tip.lang = document.value("lang").empty() ? "en" : document.value("lang");
}

// Letters and digits only, in capitals: whether a code was written otherwise than by case, blanks
// and dashes.
std::string bare_code(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c >= 'a' && c <= 'z') out += static_cast<char>(c - 'a' + 'A');
    if ((c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9')) out += c;
  }
  return out;
}

void read_codes(const Document& document, Notes& notes, Tip& tip) {
  std::unordered_set<std::string> seen;
  for (const Item& item : items_of(document.field("codes"))) {
    const trade::CodeList list = trade::read_codes(item.value);
    for (const trade::Refusal& refusal : list.refused)
      notes.refused(Level::error, item, "code", refusal);
    for (const trade::ReadCode& read : list.codes) {
      const std::string code = trade::text(read.code);
      if (bare_code(item.value).find(bare_code(code)) == std::string::npos) {
        notes.add(
            Level::note, item.line, item.column, "code",
            fmt::format("`{}` is taken as {}: {}", item.value, code, fmt::join(read.repairs, ", ")),
            fmt::format("write {}", code));
      }
      if (seen.insert(code).second) tip.codes.push_back(code);
    }
  }
}

void read_mistaken(const Document& document, Tip& tip) {
  for (const Item& item : items_of(document.field("mistaken-for"))) {
    const std::size_t bar = std::min(item.value.find('|'), item.value.size());
    MistakenFor other;
    other.tip = std::string(scan::trimmed(std::string_view(item.value).substr(0, bar)));
    other.note = std::string(
        scan::trimmed(std::string_view(item.value).substr(std::min(bar + 1, item.value.size()))));
    other.line = item.line;
    tip.mistaken_for.push_back(std::move(other));
  }
}

void read_front(const Document& document, Notes& notes, Tip& tip) {
  read_identity(document, notes, tip);
  read_status(document, notes, tip);
  for (const Item& item : items_of(document.field("fits")))
    tip.fits.push_back(read_fit(item, notes));
  read_codes(document, notes, tip);
  tip.component = document.value("component");
  tip.system = document.value("system");
  tip.when = document.list("when");
  tip.often = document.list("often");
  read_mistaken(document, tip);
  const Field* minutes = document.field("repair-minutes");
  if (minutes != nullptr && !minutes->value.empty())
    tip.repair_minutes = read_minutes(item_of(*minutes), notes);
  tip.author = document.value("author");
  tip.written = document.value("written");
}

void read_sections(const Document& document, Notes& notes, Tip& tip) {
  if (!document.preamble().empty()) {
    const bool symptom = document.section("symptom") == nullptr;
    tip.sections.push_back({symptom ? "symptom" : "preamble", symptom ? "Symptom" : "",
                            document.preamble(), document.preamble(), document.preamble_line()});
    read_pictures(document.preamble(), document.preamble_line(), notes, tip.pictures);
  }
  const auto add = [](std::vector<std::string> more, std::vector<std::string>& into) {
    into.insert(into.end(), std::make_move_iterator(more.begin()),
                std::make_move_iterator(more.end()));
  };
  for (const Section& section : document.sections()) {
    tip.sections.push_back(
        {section.key, section.heading, section.text, section.body, section.line});
    if (section.key == "checks") read_checks(section, notes, tip);
    if (section.key == "fasteners") read_fasteners(section, notes, tip);
    if (section.key == "parts") read_parts(section, notes, tip);
    if (section.key == "verify") read_verify(section, notes, tip);
    if (section.key == "repair") add(steps_of(section.body), tip.steps);
    if (section.key == "finish") add(points_of(section.body), tip.finish);
    if (section.key == "cautions") add(points_of(section.body), tip.cautions);
    if (section.body_line > 0) read_pictures(section.body, section.body_line, notes, tip.pictures);
  }
}

// What only the whole tip shows: a verification that repeats a check which is not there.
void check_references(const Document& document, Notes& notes, const Tip& tip) {
  std::unordered_set<std::string> ids;
  for (const Check& check : tip.checks) ids.insert(check.id);
  for (const Section& section : document.sections()) {
    if (section.key != "verify") continue;
    for (const Entry& entry : section.entries) {
      const Field* again = entry.field("again");
      if (again == nullptr || again->value.empty() || ids.count(again->value) != 0) continue;
      notes.add(Level::warning, again->line, again->column, "again",
                fmt::format("`{}` is no check of this tip", again->value),
                "name the id of one of its checks, or give `- expect:`");
    }
  }
}

}  // namespace

const std::vector<std::string>& known_keys() {
  static const std::vector<std::string> kKeys = {
      "id",           "title",          "status",    "replaced-by", "translation-of", "lang",
      "fits",         "codes",          "component", "system",      "when",           "often",
      "mistaken-for", "repair-minutes", "author",    "written"};
  return kKeys;
}

const std::vector<std::string>& known_sections() {
  static const std::vector<std::string> kSections = {
      "symptom", "cautions", "checks", "location",   "repair",     "fasteners",
      "parts",   "finish",   "verify", "background", "corrections"};
  return kSections;
}

const Prose* Tip::section(std::string_view key) const {
  const auto at =
      std::find_if(sections.begin(), sections.end(), [&](const Prose& p) { return p.key == key; });
  return at == sections.end() ? nullptr : &*at;
}

Tip read_tip(const Document& document, std::string path) {
  Tip tip;
  tip.path = std::move(path);
  tip.slug = slug_from(tip.path);
  Notes notes(tip.path, tip.findings);
  notes.take(document);
  note_unknown(document, notes);
  read_front(document, notes, tip);
  read_sections(document, notes, tip);
  check_references(document, notes, tip);
  std::stable_sort(tip.findings.begin(), tip.findings.end(),
                   [](const Finding& a, const Finding& b) { return a.line < b.line; });
  tip.broken = std::any_of(tip.findings.begin(), tip.findings.end(),
                           [](const Finding& f) { return f.level == Level::error; });
  return tip;
}

}  // namespace baylore::shop
