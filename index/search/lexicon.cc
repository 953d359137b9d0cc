#include "search/lexicon.h"

#include <algorithm>
#include <string>
#include <unordered_map>
#include <vector>

namespace baylore::search {
namespace {

// The tips alive of a piece that hold the word, ascending.
std::vector<std::uint32_t> tips_of(const store::Words::Piece& piece, std::string_view word) {
  std::vector<std::uint32_t> tips;
  for (const store::Language language : store::kSpoken) {
    const auto number = piece.part.find(word, language);
    if (!number) continue;
    // A tip has one language: no tip comes twice.
    for (store::Postings at = piece.part.postings(*number); at.more(); at.next()) {
      if (!piece.is_dead(at.tip())) tips.push_back(at.tip());
    }
  }
  std::sort(tips.begin(), tips.end());
  return tips;
}

// Its words, whether tips alive hold them or not; codes are none.
void visit_words(const store::Part& part, const Lexicon::Visit& visit) {
  std::string_view last;
  for (const std::uint32_t number : part.by_text()) {
    // One text in several languages stands side by side.
    const std::string_view text = part.text(number);
    if (part.language(number) == store::Language::code || text == last) continue;
    visit(text);
    last = text;
  }
}

}  // namespace

std::uint32_t ShopLexicon::tips() const { return words_.tips(); }
std::uint32_t ShopLexicon::tips_with(std::string_view word) const { return words_.tips_with(word); }
std::uint64_t ShopLexicon::stamp() const { return words_.version(); }
std::uint64_t ShopLexicon::base() const { return words_.main_version(); }

void ShopLexicon::each(
    const std::function<void(std::string_view word, std::uint32_t tips)>& visit) const {
  const auto& pieces = words_.pieces();
  const auto spoken = [](const store::Part& part, std::uint32_t number) {
    return part.language(number) != store::Language::code;
  };
  // What the parts after the first have, by word: few.
  std::unordered_map<std::string, std::uint32_t> more;
  for (std::size_t i = 1; i < pieces.size(); ++i) {
    for (const std::uint32_t number : pieces[i].part.by_text()) {
      if (spoken(pieces[i].part, number)) {
        more[std::string(pieces[i].part.text(number))] += pieces[i].count(number);
      }
    }
  }
  if (pieces.empty()) return;
  const store::Part& part = pieces[0].part;
  const auto by_text = part.by_text();
  for (std::size_t i = 0; i < by_text.size();) {
    // One text in several languages stands side by side.
    const std::string_view text = part.text(by_text[i]);
    std::uint32_t tips = 0;
    bool word = false;
    for (; i < by_text.size() && part.text(by_text[i]) == text; ++i) {
      if (!spoken(part, by_text[i])) continue;
      word = true;
      tips += pieces[0].count(by_text[i]);
    }
    if (!more.empty()) {
      if (const auto found = more.find(std::string(text)); found != more.end()) {
        tips += found->second;
        more.erase(found);
      }
    }
    if (word && tips > 0) visit(text, tips);
  }
  for (const auto& [text, tips] : more) {
    if (tips > 0) visit(text, tips);
  }
}

void ShopLexicon::each_of_base(const Visit& visit) const {
  if (!words_.pieces().empty()) visit_words(words_.pieces().front().part, visit);
}

void ShopLexicon::each_since(const Visit& visit) const {
  const auto& pieces = words_.pieces();
  for (std::size_t i = 1; i < pieces.size(); ++i) visit_words(pieces[i].part, visit);
}

std::uint32_t ShopLexicon::together(std::string_view a, std::string_view b) const {
  std::uint32_t both = 0;
  for (const store::Words::Piece& piece : words_.pieces()) {
    const std::vector<std::uint32_t> one = tips_of(piece, a);
    if (one.empty()) continue;
    const std::vector<std::uint32_t> other = tips_of(piece, b);
    auto at = other.begin();
    for (const std::uint32_t tip : one) {
      at = std::lower_bound(at, other.end(), tip);
      both += at != other.end() && *at == tip ? 1U : 0U;
    }
  }
  return both;
}

}  // namespace baylore::search
