#include "sheet/codes.h"

#include <qrencode.h>

#include <algorithm>
#include <memory>

namespace baylore::sheet {
namespace {

constexpr std::string_view kGoesOn = "... ";
constexpr std::size_t kHead = 8;  // "123/456\n": room for the line that numbers a code
constexpr unsigned kUtf8 = 26;    // ECI assignment of UTF-8 (AIM ITS/04-023)

struct Free {
  void operator()(QRcode* code) const { QRcode_free(code); }
  void operator()(QRinput* input) const { QRinput_free(input); }
};

bool is_ascii(std::string_view text) {
  return std::all_of(text.begin(), text.end(),
                     [](char c) { return static_cast<unsigned char>(c) < 0x80; });
}

// The end of what fits into `room` bytes: behind a blank, or else between two characters.
std::size_t cut_at(std::string_view line, std::size_t room) {
  const std::size_t blank = line.rfind(' ', room - 1);
  if (blank != std::string_view::npos && blank > room / 2) return blank + 1;
  std::size_t at = room;
  while (at > 1 && (static_cast<unsigned char>(line[at]) & 0xC0U) == 0x80U) --at;
  return at;
}

std::vector<std::string> lines_of(std::string_view text, std::size_t room) {
  std::vector<std::string> out;
  while (true) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    std::string line(text.substr(0, end));
    while (line.size() > room) {
      const std::size_t at = cut_at(line, room);
      out.push_back(line.substr(0, at));
      line = std::string(kGoesOn) + line.substr(at);
    }
    out.push_back(std::move(line));
    if (end == text.size()) return out;
    text.remove_prefix(end + 1);
  }
}

// As many lines a part as fit into `room`.
std::vector<std::string> filled(const std::vector<std::string>& lines, std::size_t room) {
  std::vector<std::string> parts(1);
  bool first = true;
  for (const std::string& line : lines) {
    if (!first && parts.back().size() + 1 + line.size() > room) {
      parts.emplace_back();
      first = true;
    }
    if (!first) parts.back() += '\n';
    parts.back() += line;
    first = false;
  }
  return parts;
}

}  // namespace

Code code_of(std::string_view text, Spare spare) {
  Code out;
  const QRecLevel level = spare == Spare::quarter ? QR_ECLEVEL_Q : QR_ECLEVEL_M;
  const std::unique_ptr<QRinput, Free> input(QRinput_new2(0, level));
  if (input == nullptr) return out;
  if (!is_ascii(text) && QRinput_appendECIheader(input.get(), kUtf8) != 0) return out;
  const std::string bytes(text);
  if (QRinput_append(input.get(), QR_MODE_8, static_cast<int>(bytes.size()),
                     reinterpret_cast<const unsigned char*>(bytes.data())) != 0)
    return out;
  const std::unique_ptr<QRcode, Free> code(QRcode_encodeInput(input.get()));
  if (code == nullptr) return out;
  out.side = code->width;
  const auto count = static_cast<std::size_t>(code->width) * static_cast<std::size_t>(code->width);
  out.dark.reserve(count);
  for (std::size_t i = 0; i < count; ++i) out.dark.push_back(code->data[i] & 1U);
  return out;
}

// Lines are filled into parts of the full size, which gives the count; then the smallest size that
// needs no more parts is looked for, so that no code is denser than another.
std::vector<std::string> cut_for_codes(std::string_view text, std::size_t most) {
  if (text.size() <= most) return {std::string(text)};
  const std::size_t room = most - kHead;
  const std::vector<std::string> lines = lines_of(text, room);
  std::vector<std::string> parts = filled(lines, room);
  const std::size_t count = parts.size();
  std::size_t low = text.size() / count;  // too small, or just enough
  std::size_t high = room;                // enough
  while (low < high) {
    const std::size_t middle = low + (high - low) / 2;
    std::vector<std::string> tried = filled(lines, middle);
    if (tried.size() <= count) {
      high = middle;
      parts = std::move(tried);
    } else {
      low = middle + 1;
    }
  }
  for (std::size_t i = 0; i < parts.size(); ++i) {
    parts[i].insert(0, std::to_string(i + 1) + "/" + std::to_string(parts.size()) + "\n");
  }
  return parts;
}

}  // namespace baylore::sheet
