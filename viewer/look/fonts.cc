#include "viewer/look/fonts.h"

#include <imgui.h>

#include <algorithm>

#include "files/disk.h"

namespace baylore::viewer {
namespace {

bool is_bold(Type type) {
  return type != Type::small && type != Type::text && type != Type::title_regular &&
         type != Type::line;
}

// From 10 mm up only figures and the letters of the verdict words are baked at first: the texture
// would grow past its use otherwise.
constexpr const char* kTyped = "0123456789 .,-–";  // all a reading is made of
constexpr const char* kFigures = "0123456789 .,-+°−–/±%()[]abcdefghijklmnopqrstuvwxyzáéíóúüñ";
// Beside Latin-1: the marks of the trade and of good typesetting that most texts use.
constexpr const char* kCommon = "–—‘’“”…·×°µΩ→←≤≥±−½¼¾⌀′″•√✓✗▲▼";

}  // namespace

Type bold_of(Type type) {
  switch (type) {
    case Type::small:
      return Type::small_bold;
    case Type::text:
      return Type::text_bold;
    case Type::title_regular:
      return Type::title;
    case Type::line:
      return Type::line_bold;
    default:
      return type;
  }
}

void FontShelf::build(ImFontAtlas& atlas, const Metrics& metrics) {
  constexpr std::array<const char*, 4> kFiles{BAYLORE_FONT_REGULAR, BAYLORE_FONT_FALLBACK,
                                              BAYLORE_FONT_BOLD, BAYLORE_FONT_FALLBACK_BOLD};
  constexpr std::uint64_t kFileLimit = 8U << 20U;
  for (std::size_t i = 0; i < kFiles.size(); ++i) {
    if (!faces_.at(i).empty()) continue;
    if (auto bytes = files::real_disk().read(kFiles.at(i), kFileLimit))
      faces_.at(i) = std::move(bytes.value());
  }
  wants_rebuild_ = false;
  atlas.Clear();
  // Every row that is not there need not be cleared, turned into colours and handed to the
  // graphics.
  atlas.Flags |= ImFontAtlasFlags_NoPowerOfTwoHeight | ImFontAtlasFlags_NoMouseCursors;
  // Glyphs are drawn at whole pixels, so horizontal oversampling would only blur and cost texture.
  ImFontConfig config;
  config.OversampleH = 1;
  config.OversampleV = 1;
  config.PixelSnapH = true;
  config.FontDataOwnedByAtlas = false;

  // The ranges must outlive Build().
  std::array<ImVector<ImWchar>, kTypes> ranges;
  for (int i = 0; i < kTypes; ++i) {
    const auto type = static_cast<Type>(i);
    const auto slot = static_cast<std::size_t>(i);
    ImFontGlyphRangesBuilder builder;
    if (type >= Type::bay) {
      builder.AddText(type == Type::reading ? kTyped : kFigures);
    } else {
      builder.AddRanges(atlas.GetGlyphRangesDefault());
      builder.AddText(kCommon);
    }
    for (const char32_t c : wanted_.at(slot)) builder.AddChar(static_cast<ImWchar>(c));
    builder.BuildRanges(&ranges.at(slot));

    const auto px = static_cast<float>(metrics.font_px(type));
    const std::size_t face = is_bold(type) ? 2 : 0;
    const auto add = [&](std::string& bytes) {
      return atlas.AddFontFromMemoryTTF(bytes.data(), static_cast<int>(bytes.size()), px, &config,
                                        ranges.at(slot).Data);
    };
    config.MergeMode = false;
    if (faces_.at(face).empty()) {
      ImFontConfig plain;
      plain.SizePixels = px;
      fonts_.at(slot) = atlas.AddFontDefault(&plain);
    } else {
      fonts_.at(slot) = add(faces_.at(face));
    }
    config.MergeMode = true;
    if (!faces_.at(face + 1).empty()) add(faces_.at(face + 1));
  }
  atlas.Build();
}

bool FontShelf::want(Type type, char32_t code_point) {
  // ImGui 1.86 is built with 16-bit characters: nothing beyond the basic plane can be drawn.
  if (code_point > 0xFFFF || code_point < 0x20) return false;
  const bool is_new = wanted_.at(static_cast<std::size_t>(type)).insert(code_point).second;
  // A page in another script comes glyph by glyph; asking for its neighbours at once saves
  // rebuilds.
  if (is_new) wants_rebuild_ = true;
  return is_new;
}

}  // namespace baylore::viewer
