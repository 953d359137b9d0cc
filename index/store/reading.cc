#include "store/reading.h"

#include <algorithm>
#include <memory>
#include <utility>
#include <vector>

#include "files/names.h"
#include "shop/document.h"
#include "shop/fold.h"
#include "shop/vocabulary.h"

namespace baylore::store {
namespace {

// A disk that holds one file, to read settings from bytes that are no longer on the real one.
class OneFile : public files::Disk {
 public:
  explicit OneFile(std::string_view bytes) : bytes_(bytes) {}

  files::Result<std::unique_ptr<files::Output>> create(const std::string& path) override {
    return none(path);
  }
  files::Result<std::unique_ptr<files::Output>> append(const std::string& path) override {
    return none(path);
  }
  files::Result<void> rename(const std::string& from, const std::string& /*to*/) override {
    return none(from);
  }
  files::Result<void> link(const std::string& from, const std::string& /*to*/) override {
    return none(from);
  }
  files::Result<void> remove(const std::string& path) override { return none(path); }
  files::Result<void> make_folder(const std::string& path) override { return none(path); }
  files::Result<void> sync_folder(const std::string& folder) override { return none(folder); }
  files::Result<std::string> read(const std::string& path, std::uint64_t limit) override {
    if (files::name_of(path) != "shop.md" || bytes_.size() > limit) return none(path);
    return std::string(bytes_);
  }
  files::Result<std::string> read_end(const std::string& path, std::size_t /*count*/) override {
    return none(path);
  }
  files::Result<files::Status> status(const std::string& path) override {
    if (files::name_of(path) != "shop.md") return none(path);
    files::Status status;
    status.size = bytes_.size();
    return status;
  }
  files::Result<std::vector<files::Listed>> list(const std::string& folder) override {
    return none(folder);
  }

 private:
  static files::Failure none(const std::string& path) {
    return {files::Failure::Kind::missing, path, "there is no such file", ""};
  }
  std::string_view bytes_;
};

void add(std::string& column, std::string_view text) {
  if (text.empty()) return;
  if (!column.empty()) column += '\n';
  column += text;
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

void add_joined_numbers(std::string& column, std::string_view text) {
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    add(column, joined_number(text.substr(0, end)));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
}

std::string_view base_of(std::string_view code) { return code.substr(0, code.find('-')); }

}  // namespace

FtsTexts words_of_tip(const shop::Tip& tip) {
  FtsTexts words;
  const auto column = [&](FtsColumn which) -> std::string& {
    return words[static_cast<std::size_t>(which)];
  };
  add(column(FtsColumn::title), tip.title);

  for (const shop::Prose& section : tip.sections) {
    if (section.key == "symptom") {
      add(column(FtsColumn::symptom), prose_words(section.body));
    } else if (section.key == "checks") {
      add(column(FtsColumn::checks), prose_words(section.text));
    } else if (section.key == "location") {
      add(column(FtsColumn::location), prose_words(without_marks(section.text)));
    } else if (section.key == "repair") {
      add(column(FtsColumn::repair), prose_words(section.body));
    } else if (section.key == "fasteners") {
      add(column(FtsColumn::repair), prose_words(section.text));
    } else if (section.key == "parts") {
      add(column(FtsColumn::parts), prose_words(section.text));
    } else if (section.key == "finish") {
      add(column(FtsColumn::finish), prose_words(section.body));
    } else if (section.key == "verify") {
      add(column(FtsColumn::finish), prose_words(section.text));
    } else {
      add(column(FtsColumn::other), section.heading);
      add(column(FtsColumn::other), prose_words(section.body));
    }
  }
  for (const shop::Check& check : tip.checks) {
    for (const std::string* text : {&check.name, &check.tools, &check.valid, &check.expect_text}) {
      add(column(FtsColumn::checks), *text);
    }
    add(column(FtsColumn::checks), prose_words(check.text));
  }
  for (const shop::Picture& picture : tip.pictures) {
    add(column(FtsColumn::location), picture.caption);
    for (const shop::Mark& mark : picture.marks) add(column(FtsColumn::location), mark.text);
  }
  for (const shop::Fastener& fastener : tip.fasteners) {
    for (const std::string* text : {&fastener.name, &fastener.thread, &fastener.property_class}) {
      add(column(FtsColumn::repair), *text);
    }
    add(column(FtsColumn::repair), prose_words(fastener.text));
  }
  for (const shop::PartRef& part : tip.parts) {
    add(column(FtsColumn::parts), part.name);
    add_joined_numbers(column(FtsColumn::parts), part.name);
    add(column(FtsColumn::parts), part.family);
    add(column(FtsColumn::parts), prose_words(part.text));
  }
  for (const shop::Verification& verification : tip.verify) {
    add(column(FtsColumn::finish), verification.name);
    add(column(FtsColumn::finish), prose_words(verification.text));
  }

  for (const std::string& code : tip.codes) {
    add(column(FtsColumn::names), code);
    if (base_of(code) != code) add(column(FtsColumn::names), base_of(code));
  }
  for (const shop::Fit& fit : tip.fits) {
    for (const std::string* text : {&fit.make, &fit.model, &fit.engine}) {
      add(column(FtsColumn::names), *text);
    }
  }
  add(column(FtsColumn::names), tip.component);
  add(column(FtsColumn::names), tip.system);
  for (const std::string& when : tip.when) add(column(FtsColumn::names), when);

  for (const shop::MistakenFor& link : tip.mistaken_for) add(column(FtsColumn::other), link.note);
  add(column(FtsColumn::other), tip.author);
  add(column(FtsColumn::other), tip.slug);

  for (std::string& text : words) text = shop::fold(text);
  return words;
}

shop::Settings settings_of(std::string_view bytes) {
  OneFile disk(bytes);
  auto settings = shop::read_settings(disk, "");
  return settings ? std::move(*settings) : shop::Settings();
}

void understand_bytes(Reading& reading) {
  if (reading.kind == shop::Kind::shop) {
    reading.findings = settings_of(reading.bytes).findings;
  } else {
    const shop::Document document = shop::Document::parse(reading.bytes);
    if (reading.kind == shop::Kind::tip) {
      reading.tip = shop::read_tip(document, reading.path);
      reading.findings = std::move(reading.tip->findings);
      reading.words = words_of_tip(*reading.tip);
      if (const shop::Field* id = document.field("id"); id != nullptr) {
        reading.id_line = std::max(id->line, 1);
        reading.id_column = std::max(id->column, 1);
      }
    } else if (reading.kind == shop::Kind::vocabulary) {
      shop::Vocabulary vocabulary;
      shop::read_vocabulary(document, reading.path, vocabulary);
      reading.findings = std::move(vocabulary.findings);
    } else {
      for (const shop::Problem& problem : document.problems()) {
        reading.findings.push_back({reading.path, std::max(problem.line, 1),
                                    std::max(problem.column, 1), problem.level, problem.rule,
                                    problem.what, problem.remedy});
      }
    }
  }
  for (shop::Finding& finding : reading.findings) finding.file = reading.path;
}

}  // namespace baylore::store
