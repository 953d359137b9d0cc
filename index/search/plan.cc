#include "search/plan.h"

#include <algorithm>
#include <cmath>
#include <span>

#include "search/evidence.h"
#include "search/rank.h"

namespace baylore::search {
namespace {

using TipLanguage = store::Language;
using store::Words;

// Words remembered at most; then all are forgotten.
constexpr std::size_t kMostPlanned = 4096;

// The ways of one term or word, each dictionary entry once.
class Ways {
 public:
  Ways(const Words& words, std::vector<Way>& into) : words_(words), into_(into) {}

  // `number` of `piece`, found in the other pieces too.
  void add(std::size_t piece, std::uint32_t number, double weight) {
    for (Way& way : into_) {
      if (way.numbers[piece] != number) continue;
      way.weight = std::max(way.weight, weight);
      return;
    }
    const auto& pieces = words_.pieces();
    Way way;
    way.weight = weight;
    way.numbers.assign(pieces.size(), Way::kAbsent);
    way.numbers[piece] = number;
    way.key = piece << 32U | number;
    way.tips = pieces[piece].count(number);
    if (pieces.size() > 1) {
      const std::string_view text = pieces[piece].part.text(number);
      const TipLanguage language = pieces[piece].part.language(number);
      for (std::size_t i = 0; i < pieces.size(); ++i) {
        if (i == piece) continue;
        const auto found = pieces[i].part.find(text, language);
        if (!found) continue;
        way.numbers[i] = *found;
        if (i < piece) way.key = std::min<std::uint64_t>(way.key, i << 32U | *found);
        way.tips += pieces[i].count(*found);
      }
    }
    into_.push_back(std::move(way));
  }

 private:
  const Words& words_;
  std::vector<Way>& into_;
};

// How many tips have one of them at least, were the words spread independently: exact for one word,
// and a function of the counts alone, whatever parts the tips lie in.
double having_of(std::span<const Answering> ways, double tips) {
  std::vector<std::uint32_t> counts;  // in order, so that rounding is always the same
  for (const Answering& each : ways) {
    if (each.way->tips > 0) counts.push_back(each.way->tips);
  }
  if (counts.empty()) return 0;
  if (counts.size() == 1) return counts.front();
  std::sort(counts.begin(), counts.end());
  double none = 1;
  for (const std::uint32_t count : counts) none *= 1 - std::min(1.0, count / tips);
  return tips * (1 - none);
}

}  // namespace

void Planner::forget_old(const Words& words) {
  if (version_ == words.version() && ways_.size() + completions_.size() < kMostPlanned) return;
  // Phrases are fewer than words, and cost more to make.
  if (version_ != words.version() || phrases_.size() >= kMostPlanned) {
    if (main_version_ != words.main_version() || earlier_phrases_.size() >= kMostPlanned)
      earlier_phrases_.clear();
    if (main_version_ == words.main_version()) {
      for (auto& [text, made] : phrases_) earlier_phrases_[text] = std::move(made);
    }
    main_version_ = words.main_version();
    phrases_.clear();
    function_numbers_.clear();
  }
  version_ = words.version();
  ways_.clear();
  completions_.clear();
}

// The word as it is in every language, then its other forms in those that have stems.
const std::vector<Way>& Planner::ways_of(const Words& words, const std::string& word) {
  const auto known = ways_.find(word);
  if (known != ways_.end()) return known->second;
  std::vector<Way> found;
  Ways ways(words, found);
  const auto& pieces = words.pieces();
  for (std::size_t piece = 0; piece < pieces.size(); ++piece) {
    const store::Part& part = pieces[piece].part;
    for (const TipLanguage language : store::kSpoken) {
      if (const auto number = part.find(word, language)) ways.add(piece, *number, 1);
    }
  }
  for (const TipLanguage language : {TipLanguage::english, TipLanguage::spanish}) {
    const std::string stem(stemmer_.stem(word, language));
    for (std::size_t piece = 0; piece < pieces.size(); ++piece) {
      for (const std::uint32_t number : pieces[piece].part.of_stem(stem, language)) {
        ways.add(piece, number, kStem);
      }
    }
  }
  return ways_.emplace(word, std::move(found)).first->second;
}

// The words that begin with `prefix`, those that most tips have; words that as many have, by text.
const std::vector<Way>& Planner::completions(const Words& words, const std::string& prefix) {
  const auto known = completions_.find(prefix);
  if (known != completions_.end()) return known->second;
  struct Completion {
    std::size_t piece;
    std::uint32_t number;
    std::uint32_t tips;
  };
  const auto& pieces = words.pieces();
  std::vector<Completion> all;
  for (const std::uint32_t number : pieces[0].part.beginning(prefix)) {
    all.push_back({0, number, pieces[0].count(number)});
  }
  if (pieces.size() > 1) {
    // What the tail has of them is added to their counts, and what only the tail has joins them.
    std::unordered_map<std::uint32_t, std::uint32_t> more;
    std::vector<std::pair<std::string_view, TipLanguage>> fresh;
    for (std::size_t piece = 1; piece < pieces.size(); ++piece) {
      const store::Part& part = pieces[piece].part;
      for (const std::uint32_t number : part.beginning(prefix)) {
        const std::string_view text = part.text(number);
        const TipLanguage language = part.language(number);
        if (const auto in_main = pieces[0].part.find(text, language)) {
          more[*in_main] += pieces[piece].count(number);
          continue;
        }
        const auto same = [&](const Completion& each) {
          return each.piece > 0 && pieces[each.piece].part.text(each.number) == text &&
                 pieces[each.piece].part.language(each.number) == language;
        };
        const auto there = std::find_if(all.begin(), all.end(), same);
        if (there == all.end()) {
          all.push_back({piece, number, pieces[piece].count(number)});
        } else {
          there->tips += pieces[piece].count(number);
        }
      }
    }
    for (Completion& each : all) {
      if (each.piece > 0) continue;
      if (const auto found = more.find(each.number); found != more.end())
        each.tips += found->second;
    }
  }
  const auto likelier = [&](const Completion& a, const Completion& b) {
    if (a.tips != b.tips) return a.tips > b.tips;
    const store::Part& one = pieces[a.piece].part;
    const store::Part& other = pieces[b.piece].part;
    const int order = one.text(a.number).compare(other.text(b.number));
    return order != 0 ? order < 0 : one.language(a.number) < other.language(b.number);
  };
  if (all.size() > kMostCompletions) {
    std::nth_element(all.begin(), all.begin() + kMostCompletions, all.end(), likelier);
    all.resize(kMostCompletions);
  }
  std::vector<Way> found;
  Ways ways(words, found);
  for (const Completion& each : all) {
    if (each.tips > 0) ways.add(each.piece, each.number, 1);
  }
  return completions_.emplace(prefix, std::move(found)).first->second;
}

std::shared_ptr<const PhrasePostings> Planner::postings_of(const Words& words,
                                                           const PlannedPhrase& phrase,
                                                           const std::vector<std::string>& text) {
  std::string key;
  for (const std::string& word : text) key += word + ' ';
  const auto known = phrases_.find(key);
  if (known != phrases_.end()) return known->second;
  const auto earlier = earlier_phrases_.find(key);
  auto made = std::make_shared<const PhrasePostings>(phrase_postings(
      words, phrase, earlier == earlier_phrases_.end() ? nullptr : earlier->second.get()));
  phrases_.emplace(std::move(key), made);
  return made;
}

Plan Planner::plan(const Words& words, const Terms& terms, const std::vector<std::string>& codes) {
  forget_old(words);
  Plan plan;
  if (words.pieces().empty()) return plan;
  const double tips = words.tips();
  for (const Term& term : terms.terms) {
    PlannedTerm& planned = plan.terms.emplace_back();
    planned.required = term.required;
    std::size_t own = 0;  // ways of the word itself come before those of other wordings
    double phrases_having = 0;
    for (const Phrase& phrase : term.phrases) {
      if (phrase.words.size() == 1) {
        for (const Way& way : phrase.prefix ? completions(words, phrase.words[0])
                                            : ways_of(words, phrase.words[0])) {
          const double weight = way.weight * phrase.weight;
          const auto there =
              std::find_if(planned.ways.begin(), planned.ways.end(),
                           [&](const Answering& known) { return known.way->key == way.key; });
          if (there == planned.ways.end()) {
            planned.ways.push_back({&way, weight});
          } else {
            there->weight = std::max(there->weight, weight);
          }
        }
      } else {
        PlannedPhrase& several = planned.phrases.emplace_back();
        several.weight = phrase.weight;
        for (const std::string& word : phrase.words) several.words.push_back(&ways_of(words, word));
        several.postings = postings_of(words, several, phrase.words);
        phrases_having = std::max(phrases_having, static_cast<double>(several.postings->tips));
      }
      if (!phrase.other) own = planned.ways.size();
    }
    const std::span<const Answering> ways(planned.ways);
    double having = having_of(ways.first(own), tips);
    // A word no tip has is as rare as its other wordings, not as rare as can be.
    if (having == 0) having = std::max(having_of(ways.subspan(own), tips), phrases_having);
    planned.rarity = having > 0 ? rarity(having, tips) : 0;
    planned.worth = term.count * planned.rarity * (term.says_little ? kSaysLittle : 1);
    plan.required += term.required ? 1U : 0U;
  }
  for (const std::string& code : codes) {
    PlannedCode& planned = plan.codes.emplace_back();
    const std::string base = store::base_key(code);
    for (const Words::Piece& piece : words.pieces()) {
      planned.exact.push_back(piece.part.find(code, TipLanguage::code).value_or(Way::kAbsent));
      planned.base.push_back(piece.part.find(base, TipLanguage::code).value_or(Way::kAbsent));
      std::vector<std::uint32_t>& near = planned.near.emplace_back();
      for (const std::uint32_t number : piece.part.beginning(base.substr(0, kCodeFamily))) {
        if (piece.part.language(number) != TipLanguage::code) continue;
        const std::string_view text = piece.part.text(number);
        if (store::is_base_key(text) && text != base) near.push_back(number);
      }
    }
    const std::uint32_t having = words.tips_with_code(code);
    planned.listed = having > 0;
    planned.rarity = rarity(having, tips);
  }
  return plan;
}

const std::vector<std::uint32_t>& Planner::function_numbers(const Words& words, std::size_t piece) {
  forget_old(words);
  if (function_numbers_.empty()) {
    for (const Words::Piece& each : words.pieces()) {
      std::vector<std::uint32_t>& numbers = function_numbers_.emplace_back();
      for (const std::string_view word : function_words()) {
        for (const TipLanguage language : store::kSpoken) {
          if (const auto number = each.part.find(word, language)) numbers.push_back(*number);
        }
      }
      std::sort(numbers.begin(), numbers.end());
    }
  }
  return function_numbers_[piece];
}

}  // namespace baylore::search
