#include "diagnosis_words.h"

#include <algorithm>

#include "opened.h"
#include "shop/document.h"
#include "shop/tip.h"
#include "trade/code.h"

namespace baylore::cli {

std::optional<search::Vehicle> read_vehicle(const std::string& text,
                                            const shop::Vocabulary& vocabulary) {
  const search::Understood understood = search::understand(text, vocabulary);
  if (understood.words.empty() && understood.codes.empty()) return understood.vehicle;
  std::string left;
  for (const std::string& word : understood.words) left += (left.empty() ? "" : " ") + word;
  complain("--vehicle " + text + ": " + (left.empty() ? "a code" : "`" + left + "`") +
           " is no make, model, year or engine: add it to the shop's vocabulary, or take it out");
  return std::nullopt;
}

std::optional<std::map<std::string, std::string>> read_car_codes(
    const std::vector<std::string>& texts) {
  std::map<std::string, std::string> codes;
  for (const std::string& text : texts) {
    std::size_t at = 0;
    while (at <= text.size()) {
      const std::size_t end = std::min(text.find(',', at), text.size());
      std::string one = text.substr(at, end - at);
      at = end + 1;
      std::string state;
      if (const std::size_t colon = one.find(':'); colon != std::string::npos) {
        state = one.substr(colon + 1);
        one.resize(colon);
      }
      const auto read = trade::parse_code(one);
      if (const trade::Refusal* refusal = trade::refusal_in(read)) {
        complain("--codes", one, *refusal);
        return std::nullopt;
      }
      if (!state.empty() && state != "stored" && state != "pending" && state != "permanent") {
        complain("--codes " + one + ":" + state +
                 ": no state of a code: write stored, pending or permanent");
        return std::nullopt;
      }
      if (const trade::ReadCode* code = trade::value_in(read))
        codes[trade::text(code->code)] = state;
    }
  }
  return codes;
}

std::optional<std::string> read_tip_id(const std::string& text, const store::Store& store) {
  const auto row = store.find(text);
  if (!row) {
    complain(text + ": no tip has this id, slug or path: baylore search finds it by its words");
    return std::nullopt;
  }
  const auto bytes = store.bytes(row->doc);
  if (bytes && shop::read_tip(shop::Document::parse(*bytes), row->path).provisional_id) {
    complain(row->path + ": has no id, and a record needs one to name it by: write `id:` into it");
    return std::nullopt;
  }
  return row->id;
}

bool split_pair(const std::string& text, std::string& before, std::string& after) {
  const std::size_t at = text.find('=');
  if (at == std::string::npos || at == 0 || at + 1 == text.size()) return false;
  before = text.substr(0, at);
  after = text.substr(at + 1);
  return true;
}

}  // namespace baylore::cli
