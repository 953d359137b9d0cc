#include "viewer/ui/prose.h"

#include <md4c.h>

#include <utility>

namespace baylore::viewer {
namespace {

struct Reader {
  std::vector<ProseBlock> blocks;
  struct List {
    bool numbered;
    unsigned next;
  };
  std::vector<List> lists;
  std::string marker;  // of the item just begun, until its first block takes it
  int bold = 0;
  int picture = 0;
  bool open = false;  // a block takes text

  void begin(ProseBlock::Kind kind) {
    ProseBlock block;
    block.kind = lists.empty() || kind == ProseBlock::Kind::code ? kind : ProseBlock::Kind::item;
    block.depth = static_cast<int>(lists.size());
    block.marker = std::exchange(marker, {});
    blocks.push_back(std::move(block));
    open = true;
  }
  void put(std::string_view text, bool strong) {
    if (picture > 0) return;
    if (!open) begin(ProseBlock::Kind::paragraph);  // a tight list item has no paragraph of its own
    std::vector<Run>& runs = blocks.back().runs;
    if (runs.empty() || runs.back().bold != strong) runs.push_back(Run{{}, strong});
    runs.back().text += text;
  }
};

int enter_block(MD_BLOCKTYPE type, void* detail, void* user) {
  auto& r = *static_cast<Reader*>(user);
  switch (type) {
    case MD_BLOCK_UL:
      r.lists.push_back({false, 0});
      break;
    case MD_BLOCK_OL:
      r.lists.push_back({true, static_cast<MD_BLOCK_OL_DETAIL*>(detail)->start});
      break;
    case MD_BLOCK_LI:
      r.marker = r.lists.back().numbered ? std::to_string(r.lists.back().next++) + "." : "•";
      r.open = false;
      break;
    case MD_BLOCK_P:
      r.begin(ProseBlock::Kind::paragraph);
      break;
    case MD_BLOCK_H:
      r.begin(ProseBlock::Kind::heading);
      ++r.bold;
      break;
    case MD_BLOCK_CODE:
      r.begin(ProseBlock::Kind::code);
      break;
    case MD_BLOCK_TR:
      r.begin(ProseBlock::Kind::row);
      break;
    case MD_BLOCK_TH:
      ++r.bold;
      break;
    default:
      break;
  }
  return 0;
}

int leave_block(MD_BLOCKTYPE type, void* /*detail*/, void* user) {
  auto& r = *static_cast<Reader*>(user);
  switch (type) {
    case MD_BLOCK_UL:
    case MD_BLOCK_OL:
      r.lists.pop_back();
      r.open = false;
      break;
    case MD_BLOCK_H:
      --r.bold;
      r.open = false;
      break;
    case MD_BLOCK_TH:
      r.put("   ", true);
      --r.bold;
      break;
    case MD_BLOCK_TD:
      r.put("   ", false);
      break;
    case MD_BLOCK_LI:
    case MD_BLOCK_P:
    case MD_BLOCK_CODE:
    case MD_BLOCK_TR:
      r.open = false;
      break;
    default:
      break;
  }
  return 0;
}

int enter_span(MD_SPANTYPE type, void* /*detail*/, void* user) {
  auto& r = *static_cast<Reader*>(user);
  if (type == MD_SPAN_STRONG || type == MD_SPAN_EM) ++r.bold;
  if (type == MD_SPAN_IMG) ++r.picture;
  return 0;
}

int leave_span(MD_SPANTYPE type, void* /*detail*/, void* user) {
  auto& r = *static_cast<Reader*>(user);
  if (type == MD_SPAN_STRONG || type == MD_SPAN_EM) --r.bold;
  if (type == MD_SPAN_IMG) --r.picture;
  return 0;
}

int on_text(MD_TEXTTYPE type, const MD_CHAR* text, MD_SIZE size, void* user) {
  auto& r = *static_cast<Reader*>(user);
  switch (type) {
    case MD_TEXT_BR:
      r.put("\n", r.bold > 0);
      break;
    case MD_TEXT_SOFTBR:
      r.put(" ", r.bold > 0);
      break;
    case MD_TEXT_NULLCHAR:
      r.put("\xEF\xBF\xBD", r.bold > 0);
      break;
    default:
      r.put(std::string_view(text, size), r.bold > 0);
      break;
  }
  return 0;
}

// `- mark 1: 0.42 0.61 weep hole` lines belong to the drawing.
std::string without_marks(std::string_view markdown) {
  std::string out;
  while (!markdown.empty()) {
    const std::size_t end = markdown.find('\n');
    const std::string_view line = markdown.substr(0, end);
    if (!line.starts_with("- mark ")) {
      out += line;
      out += '\n';
    }
    if (end == std::string_view::npos) break;
    markdown.remove_prefix(end + 1);
  }
  return out;
}

}  // namespace

std::vector<ProseBlock> prose_of(std::string_view markdown) {
  const std::string text = without_marks(markdown);
  Reader reader;
  MD_PARSER parser{};
  parser.abi_version = 0;
  // Entities stay as written and HTML is text: a tip is prose, not a page.
  parser.flags = MD_FLAG_TABLES | MD_FLAG_NOHTML | MD_FLAG_NOINDENTEDCODEBLOCKS;
  parser.enter_block = enter_block;
  parser.leave_block = leave_block;
  parser.enter_span = enter_span;
  parser.leave_span = leave_span;
  parser.text = on_text;
  md_parse(text.data(), static_cast<MD_SIZE>(text.size()), &parser, &reader);
  std::erase_if(reader.blocks, [](const ProseBlock& b) { return b.runs.empty(); });
  return std::move(reader.blocks);
}

std::vector<Run> runs_of(std::string_view markdown) {
  std::vector<Run> out;
  for (ProseBlock& block : prose_of(markdown)) {
    if (!out.empty()) out.push_back(Run{"\n", false});
    if (!block.marker.empty() && block.marker != "•") out.push_back(Run{block.marker + " ", false});
    for (Run& run : block.runs) out.push_back(std::move(run));
  }
  return out;
}

std::string plain_of(std::string_view markdown) {
  std::string out;
  for (const Run& run : runs_of(markdown)) {
    for (const char c : run.text) out.push_back(c == '\n' ? ' ' : c);
  }
  return out;
}

float draw_prose(Ui& ui, float x, float y, float w, Type type, Colour colour,
                 const std::vector<ProseBlock>& blocks) {
  float at = y;
  const float indent = ui.capitals(type) * 1.6F;
  for (const ProseBlock& block : blocks) {
    const float in = indent * static_cast<float>(block.depth);
    if (!block.marker.empty()) {
      ui.text(x + in - indent, at + ui.capitals(type), type, colour, block.marker);
    }
    // A code line and a table row keep their blanks; they are set in the same face, which has even
    // figures.
    at += ui.paragraph(x + in, at, w - in, type, colour, block.runs);
    at += block.kind == ProseBlock::Kind::row ? 0.4F : ui.capitals(type) * 0.45F;
  }
  return at - y;
}

}  // namespace baylore::viewer
