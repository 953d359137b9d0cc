#include "store/spread.h"

#include <algorithm>

#include "shop/fold.h"
#include "store/leb128.h"

namespace baylore::store {
namespace {

// --- the words of each area --------------------------------------------------------------------

void add(std::string& area, std::string_view text) {
  if (text.empty()) return;
  if (!area.empty()) area += '\n';
  area += text;
}

// Markdown as words: the target of a link or picture is a file's name, not something the author
// said.
std::string prose_words(std::string_view markdown) {
  std::string out;
  out.reserve(markdown.size());
  while (!markdown.empty()) {
    const std::size_t at = markdown.find("](");
    const std::size_t end = at == std::string_view::npos ? at : markdown.find_first_of(")\n", at);
    if (end == std::string_view::npos || markdown[end] != ')') {
      const std::size_t take = at == std::string_view::npos ? markdown.size() : at + 2;
      out += markdown.substr(0, take);
      markdown.remove_prefix(take);
      continue;
    }
    out += markdown.substr(0, at + 1);
    markdown.remove_prefix(end + 1);
  }
  return out;
}

// Location prose without its `- mark` lines: their coordinates are no words, their labels come with
// the pictures.
std::string without_marks(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size() - 1) + 1;
    if (!text.starts_with("- mark ")) out += text.substr(0, end);
    text.remove_prefix(end);
  }
  return out;
}

// A number as people type it, without separators: "88-214" gives "88214". Empty when there is
// nothing to join.
std::string joined_number(std::string_view word) {
  std::string out;
  bool digit = false;
  bool cut = false;
  for (const char c : word) {
    const bool number = c >= '0' && c <= '9';
    const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    digit = digit || number;
    if (number || letter) {
      out += c;
    } else {
      cut = true;
    }
  }
  return digit && cut && out.size() > 2 ? out : std::string();
}

void add_joined_numbers(std::string& area, std::string_view text) {
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    add(area, joined_number(text.substr(0, end)));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
}

std::string_view base_of(std::string_view code) { return code.substr(0, code.find('-')); }

void add_sections(const shop::Tip& tip, const auto& area) {
  for (const shop::Prose& section : tip.sections) {
    if (section.key == "symptom") {
      add(area(Area::symptom), prose_words(section.body));
    } else if (section.key == "checks") {
      add(area(Area::checks), prose_words(section.text));
    } else if (section.key == "location") {
      add(area(Area::location), prose_words(without_marks(section.text)));
    } else if (section.key == "repair") {
      add(area(Area::repair), prose_words(section.body));
    } else if (section.key == "fasteners") {
      add(area(Area::repair), prose_words(section.text));
    } else if (section.key == "parts") {
      add(area(Area::parts), prose_words(section.text));
    } else if (section.key == "finish") {
      add(area(Area::finish), prose_words(section.body));
    } else if (section.key == "verify") {
      add(area(Area::finish), prose_words(section.text));
    } else {
      add(area(Area::background), section.heading);
      add(area(Area::background), prose_words(section.body));
    }
  }
}

void add_entries(const shop::Tip& tip, const auto& area) {
  for (const shop::Check& check : tip.checks) {
    for (const std::string* text : {&check.name, &check.tools, &check.valid, &check.expect_text}) {
      add(area(Area::checks), *text);
    }
    add(area(Area::checks), prose_words(check.text));
  }
  for (const shop::Picture& picture : tip.pictures) {
    add(area(Area::location), picture.caption);
    for (const shop::Mark& mark : picture.marks) add(area(Area::location), mark.text);
  }
  for (const shop::Fastener& fastener : tip.fasteners) {
    for (const std::string* text : {&fastener.name, &fastener.thread, &fastener.property_class}) {
      add(area(Area::repair), *text);
    }
    add(area(Area::repair), prose_words(fastener.text));
  }
  for (const shop::PartRef& part : tip.parts) {
    add(area(Area::parts), part.name);
    add_joined_numbers(area(Area::parts), part.name);
    add(area(Area::parts), part.family);
    add(area(Area::parts), prose_words(part.text));
  }
  for (const shop::Verification& verification : tip.verify) {
    add(area(Area::finish), verification.name);
    add(area(Area::finish), prose_words(verification.text));
  }
}

// --- bytes ---------------------------------------------------------------------------------------

void put_text(std::string& out, std::string_view text) {
  put_number(out, text.size());
  out += text;
}

struct Reader {
  std::string_view rest;
  bool good = true;

  std::uint64_t number() {
    std::uint64_t value = 0;
    for (unsigned shift = 0; shift < 64; shift += 7) {
      if (rest.empty()) break;
      const auto byte = static_cast<unsigned char>(rest.front());
      rest.remove_prefix(1);
      value |= std::uint64_t{byte & 0x7FU} << shift;
      if (byte < 0x80) return value;
    }
    good = false;
    return 0;
  }
  std::string_view text() {
    const std::uint64_t size = number();
    if (size > rest.size()) {
      good = false;
      return {};
    }
    const std::string_view text = rest.substr(0, size);
    rest.remove_prefix(size);
    return text;
  }
  // A count of things that take a byte each at least.
  std::size_t count() {
    const std::uint64_t value = number();
    if (value > rest.size()) good = false;
    return good ? static_cast<std::size_t>(value) : 0;
  }
};

// Not within a character.
std::string_view cut(std::string_view word) {
  if (word.size() <= kLongestWord) return word;
  std::size_t end = kLongestWord;
  while (end > 0 && (static_cast<unsigned char>(word[end]) & 0xC0U) == 0x80U) --end;
  return word.substr(0, end);
}

}  // namespace

std::string base_key(std::string_view code) { return std::string(base_of(code)) + '*'; }

AreaTexts areas_of_tip(const shop::Tip& tip) {
  AreaTexts areas;
  const auto area = [&](Area which) -> std::string& {
    return areas[static_cast<std::size_t>(which)];
  };
  add(area(Area::title), tip.title);
  add_sections(tip, area);
  add_entries(tip, area);
  for (const std::string& code : tip.codes) {
    add(area(Area::code), code);
    if (base_of(code) != code) add(area(Area::code), base_of(code));
  }
  for (const shop::Fit& fit : tip.fits) {
    for (const std::string* text : {&fit.make, &fit.model, &fit.engine}) {
      add(area(Area::vehicle), *text);
    }
  }
  add(area(Area::component), tip.component);
  add(area(Area::system), tip.system);
  for (const std::string& when : tip.when) add(area(Area::when), when);
  for (const shop::MistakenFor& link : tip.mistaken_for) add(area(Area::background), link.note);
  add(area(Area::author), tip.author);
  add(area(Area::file_name), tip.slug);
  for (std::string& text : areas) text = shop::fold(text);
  return areas;
}

std::string spread_bytes(const shop::Tip& tip, const AreaTexts& areas) {
  std::string out;
  std::size_t size = 256;
  for (const std::string& text : areas) size += text.size();
  out.reserve(size);
  put_text(out, tip.id);
  put_text(out, tip.path);
  put_number(out, tip.status == "withdrawn" ? 1 : 0);
  put_number(out, static_cast<std::uint64_t>(language_of(tip.lang)));
  put_number(out, tip.fits.size());
  for (const shop::Fit& fit : tip.fits) {
    put_text(out, fit.make);
    put_text(out, fit.model);
    put_number(out, static_cast<std::uint64_t>(std::clamp(fit.first_year, 0, 9999)));
    put_number(out, static_cast<std::uint64_t>(std::clamp(fit.last_year, 0, 9999)));
    put_text(out, fit.engine);
  }
  put_number(out, tip.codes.size());
  for (const std::string& code : tip.codes) put_text(out, code);
  put_number(out, tip.when.size());
  for (const std::string& when : tip.when) {
    put_number(out, std::min(shop::words_of(when).size(), kMostWords));
  }
  for (const std::string& text : areas) {
    const std::vector<std::string_view> words = shop::words_in(text);
    const std::size_t count = std::min(words.size(), kMostWords);
    put_number(out, count);
    for (std::size_t i = 0; i < count; ++i) put_text(out, cut(words[i]));
  }
  return out;
}

bool read_spread(std::string_view bytes, Spread& into) {
  Reader reader{bytes};
  into.id = reader.text();
  into.path = reader.text();
  into.withdrawn = reader.number() != 0;
  const std::uint64_t language = reader.number();
  if (language >= kLanguages) return false;
  into.language = static_cast<Language>(language);
  into.fits.clear();
  for (std::size_t left = reader.count(); left > 0 && reader.good; --left) {
    SpreadFit& fit = into.fits.emplace_back();
    fit.make = reader.text();
    fit.model = reader.text();
    fit.first_year = static_cast<std::int32_t>(reader.number());
    fit.last_year = static_cast<std::int32_t>(reader.number());
    fit.engine = reader.text();
  }
  into.codes.clear();
  for (std::size_t left = reader.count(); left > 0 && reader.good; --left) {
    into.codes.push_back(reader.text());
  }
  into.whens.clear();
  for (std::size_t left = reader.count(); left > 0 && reader.good; --left) {
    into.whens.push_back(static_cast<std::uint16_t>(reader.number()));
  }
  for (std::vector<std::string_view>& words : into.words) {
    words.clear();
    for (std::size_t left = reader.count(); left > 0 && reader.good; --left) {
      words.push_back(reader.text());
    }
  }
  return reader.good && reader.rest.empty();
}

}  // namespace baylore::store
