#include "viewer/state/packs.h"
#include "words/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <set>

namespace baylore::viewer {

bool can_be_taken(const pack::PreviewItem& item) {
  return item.change != pack::Change::same && item.change != pack::Change::blocked;
}

std::string why_not(const OpenedPack& opened) {
  if (opened.failure) return opened.failure->text();
  if (!opened.pack) return tr("It could not be read");
  if (!opened.pack->reasons.empty()) return opened.pack->reasons.front().text();
  switch (opened.pack->signature.signer) {
    case pack::Signer::trusted:
    case pack::Signer::unknown:
      return {};
    case pack::Signer::nobody:
      return tr("Nobody signed it: it can be looked at, not taken in");
    case pack::Signer::altered:
      break;
  }
  return tr("It was altered after it was signed");
}

bool needs_trust(const OpenedPack& opened) {
  return opened.pack && opened.pack->signature.signer == pack::Signer::unknown;
}

std::string_view work_word(PackWork work) {
  switch (work) {
    case PackWork::none:
      break;
    case PackWork::reading:
      return tr("Reading");
    case PackWork::choosing:
      return tr("Choosing");
    case PackWork::taking_in:
      return tr("Taking in");
    case PackWork::taking_out:
      return tr("Taking out");
    case PackWork::sealing:
      return tr("Sealing");
    case PackWork::settling:
      return tr("Settling");
  }
  return {};
}

std::string size_words(std::uint64_t bytes) {
  if (bytes < 1000) return say("{0} bytes", bytes);
  const double kilo = static_cast<double>(bytes) / 1000;
  if (kilo < 999.5) return in_figures(fmt::format("{:.0f} kB", kilo));
  const double mega = kilo / 1000;
  return in_figures(mega < 999.5 ? fmt::format("{:.1f} MB", mega)
                                 : fmt::format("{:.2f} GB", mega / 1000));
}

std::string location_words(std::string_view location) {
  std::string words;
  bool first = true;
  for (const char c : location) {
    const bool gap = c == '-' || c == '_';
    words += gap ? ' ' : first ? static_cast<char>(std::toupper(static_cast<unsigned char>(c))) : c;
    first = gap;
  }
  return words;
}

std::vector<std::string> tips_that_go(const PacksView& view) {
  std::vector<std::string> ids;
  if (!view.offer) return ids;
  for (const pack::SealText& text : view.offer->plan.texts) {
    if (text.kind == shop::Kind::tip && !view.left_out.contains(text.id)) ids.push_back(text.id);
  }
  return ids;
}

std::string Source::from() const {
  std::set<std::string> told_of;
  std::string words;
  for (const pack::Origin& one : came) {
    if (told_of.insert(one.location).second)
      words += (words.empty() ? "" : ", ") + location_words(one.location);
  }
  return words;
}

}  // namespace baylore::viewer
