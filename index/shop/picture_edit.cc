#include "shop/picture_edit.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <set>
#include <utility>

#include "shop/notes.h"
#include "shop/prose.h"
#include "shop/scan.h"

namespace baylore::shop {
namespace {

std::string on_one_line(std::string_view text) {
  std::string out(scan::trimmed(text));
  std::replace_if(
      out.begin(), out.end(), [](char c) { return c == '\n' || c == '\r'; }, ' ');
  return out;
}

// `](` ends a caption.
std::string caption_of(std::string_view caption) {
  std::string out = on_one_line(caption);
  for (std::size_t at = 0; (at = out.find("](", at)) != std::string::npos; at += 2)
    out.insert(at + 1, 1, ' ');
  if (out.ends_with(']')) out += ' ';
  return out;
}

std::string name_of_file(std::string_view file) {
  static constexpr std::string_view kEscaped = " %()<>\"\r\n\t";
  std::string out;
  for (const char c : file) {
    if (kEscaped.find(c) == std::string_view::npos) {
      out += c;
    } else {
      out += fmt::format("%{:02X}", static_cast<unsigned char>(c));
    }
  }
  return out;
}

std::vector<std::string> mark_lines(const Picture& picture) {
  std::vector<std::string> lines;
  for (const Mark& mark : picture.marks) {
    std::string label = on_one_line(mark.label);
    std::replace(label.begin(), label.end(), ':', ' ');
    std::string line = fmt::format("- mark {}: {:.3f} {:.3f}", label, mark.x, mark.y);
    if (const std::string text = on_one_line(mark.text); !text.empty()) line += ' ' + text;
    lines.push_back(std::move(line));
  }
  return lines;
}

std::string picture_line(const Picture& picture) {
  return "![" + caption_of(picture.caption) + "](" + name_of_file(picture.file) + ")";
}

// The bytes without the lines in `dropped`, the line `line` replaced (nothing: it stays), and lines
// put after it.
std::string edited(const Document& document, const std::set<int>& dropped, int line,
                   const std::optional<std::string>& instead,
                   const std::vector<std::string>& after) {
  const std::string& bytes = document.bytes();
  const scan::Lines lines(bytes);
  const std::string_view usual = lines.usual_ending();
  std::string out = bytes.substr(0, lines.start(1));  // the byte-order mark
  for (int at = 1; at <= lines.count(); ++at) {
    if (dropped.contains(at)) continue;
    out += at == line && instead ? std::string_view(*instead) : lines.text(at);
    out += lines.ending(at);
    if (at != line) continue;
    for (const std::string& one : after) {
      if (!out.empty() && out.back() != '\n') out += usual;
      out += one;
      out += usual;
    }
  }
  return out;
}

// Whether nothing but one picture is on that line.
bool stands_alone(const Document& document, const std::vector<PlacedPicture>& all, int line) {
  const auto on_line = std::count_if(
      all.begin(), all.end(), [&](const PlacedPicture& one) { return one.picture.line == line; });
  const std::string_view bare = scan::trimmed(scan::Lines(document.bytes()).text(line));
  return on_line == 1 && bare.starts_with("![") && bare.ends_with(')');
}

}  // namespace

std::vector<PlacedPicture> placed_pictures(const Document& document) {
  std::vector<PlacedPicture> out;
  Findings findings;
  Notes notes({}, findings);
  const auto read = [&](std::string_view body, int line, const std::string& section) {
    std::vector<Picture> found;
    read_pictures(body, line, notes, found);
    for (Picture& picture : found) out.push_back({std::move(picture), section});
  };
  if (document.preamble_line() > 0) read(document.preamble(), document.preamble_line(), {});
  for (const Section& section : document.sections()) {
    if (section.body_line > 0) read(section.body, section.body_line, section.key);
  }
  return out;
}

std::string picture_lines(const Picture& picture) {
  std::string out = picture_line(picture);
  for (const std::string& line : mark_lines(picture)) out += '\n' + line;
  return out;
}

void add_picture(Document& document, std::string_view heading, const Picture& picture) {
  const Section* section = document.section(scan::lower(heading));
  std::string body = section != nullptr ? section->body : std::string();
  if (!body.empty()) body += "\n\n";
  document.set_section(heading, body + picture_lines(picture));
}

bool change_picture(Document& document, std::size_t which, const Picture& picture) {
  const std::vector<PlacedPicture> all = placed_pictures(document);
  if (which >= all.size()) return false;
  const Picture& old = all[which].picture;
  std::set<int> dropped;
  for (const Mark& mark : old.marks) dropped.insert(mark.line);
  std::optional<std::string> instead;
  if (stands_alone(document, all, old.line)) {
    const scan::Lines lines(document.bytes());
    const std::string_view text = lines.text(old.line);
    instead = std::string(text.substr(0, text.find('!'))) + picture_line(picture);
  }
  document = Document::parse(edited(document, dropped, old.line, instead, mark_lines(picture)));
  return true;
}

bool remove_picture(Document& document, std::size_t which) {
  const std::vector<PlacedPicture> all = placed_pictures(document);
  if (which >= all.size()) return false;
  const Picture& old = all[which].picture;
  if (!stands_alone(document, all, old.line)) return false;
  std::set<int> dropped{old.line};
  for (const Mark& mark : old.marks) dropped.insert(mark.line);
  document = Document::parse(edited(document, dropped, 0, std::nullopt, {}));
  const Section* section = document.section(all[which].section);
  if (section != nullptr && section->body.empty())
    document.set_section(std::string(section->heading), {});
  return true;
}

}  // namespace baylore::shop
