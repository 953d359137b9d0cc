#include "search/evidence.h"

#include <algorithm>

namespace baylore::search {
namespace {

constexpr std::size_t kWhen = static_cast<std::size_t>(store::Area::when);

// Several phrases of one term may meet at a place; the best one counts. A phrase of several words
// is known at its last, so its place may lie before others.
void note(std::vector<Place>& places, const Place& place) {
  auto after = places.end();
  while (after != places.begin() && (after - 1)->at > place.at) --after;
  if (after == places.begin() || (after - 1)->at != place.at) {
    places.insert(after, place);
  } else if (place.weight > (after - 1)->weight) {
    *(after - 1) = place;
  }
}

}  // namespace

// Place 0 is no mark; the escape always has one, because two halves follow it that are no numbers.
EvidenceReader::EvidenceReader() : places_(0x10000, 0), marks_(1) {}

void EvidenceReader::clear() {
  for (const std::uint16_t number : set_) places_[number] = 0;
  set_.clear();
  marks_.resize(1);
  rare_.clear();
  met_.clear();
}

void EvidenceReader::mark(const Mark& mark) {
  if (mark.number >= store::kEscape) {
    rare_[mark.number].push_back(mark);
    return;
  }
  std::uint8_t& place = places_[mark.number];
  if (place == 0) {
    const std::size_t next = marks_.size() < 0xFF ? marks_.size() : 1 + mark.number % 0xFE;
    if (next == marks_.size()) marks_.emplace_back();
    place = static_cast<std::uint8_t>(next);
    set_.push_back(static_cast<std::uint16_t>(mark.number));
  }
  marks_[place].push_back(mark);
}

void EvidenceReader::take(const Plan& plan, std::size_t number,
                          const std::vector<std::uint32_t>& function_numbers) {
  clear();
  terms_ = plan.terms.size();
  function_numbers_ = &function_numbers;
  places_[store::kEscape] = 0xFF;
  for (std::size_t term = 0; term < plan.terms.size(); ++term) {
    const PlannedTerm& planned = plan.terms[term];
    for (const Answering& each : planned.ways) {
      const std::uint32_t word = each.way->numbers[number];
      if (word == Way::kAbsent) continue;
      mark({word, static_cast<std::uint16_t>(term), kNone, 0, 1, static_cast<float>(each.weight)});
    }
    for (const PlannedPhrase& phrase : planned.phrases) {
      const auto size = static_cast<std::uint16_t>(phrase.words.size());
      const auto id = static_cast<std::uint16_t>(met_.size());
      met_.emplace_back(size, -Place::kAreaStep);
      // The last word first: a word that stands twice in the phrase is not counted on from itself.
      for (std::uint16_t at = size; at-- > 0;) {
        for (const Way& way : *phrase.words[at]) {
          if (way.numbers[number] == Way::kAbsent) continue;
          mark({way.numbers[number], static_cast<std::uint16_t>(term), id, at, size,
                static_cast<float>(way.weight * phrase.weight)});
        }
      }
    }
  }
}

void EvidenceReader::meet(std::uint32_t number, std::int32_t at, Found& found) {
  const std::vector<Mark>* marks = nullptr;
  if (number < store::kEscape) {
    marks = &marks_[places_[number]];
  } else if (const auto rare = rare_.find(number); rare != rare_.end()) {
    marks = &rare->second;
  }
  if (marks == nullptr) return;
  for (const Mark& mark : *marks) {
    if (mark.number != number) continue;
    if (mark.phrase == kNone) {
      note(found.places[mark.term], {at, mark.weight, 1});
      continue;
    }
    std::vector<std::int32_t>& met = met_[mark.phrase];
    if (mark.at > 0 && met[mark.at - 1U] != at - 1) continue;
    met[mark.at] = at;
    if (mark.at + 1 == mark.words) {
      note(found.places[mark.term], {at - mark.at, mark.weight, mark.words});
    }
  }
}

// A condition is named when every word of it is a word of the line, or one that carries no fault
// (`towing a trailer`), and at least one is of the line.
void EvidenceReader::find_conditions(const store::Forward& forward, Found& found) const {
  std::size_t skip = 0;  // words before the area
  for (std::size_t area = 0; area < kWhen; ++area) skip += forward.sizes[area];
  std::vector<std::uint32_t> numbers;
  for (std::size_t i = 0; i < forward.words.size() && numbers.size() < forward.sizes[kWhen]; ++i) {
    std::uint32_t number = forward.words[i];
    if (number == store::kEscape && i + 2 < forward.words.size()) {
      number = forward.words[i + 1] | static_cast<std::uint32_t>(forward.words[i + 2]) << 16U;
      i += 2;
    }
    if (skip > 0) {
      --skip;
    } else {
      numbers.push_back(number);
    }
  }
  std::size_t from = 0;
  for (const std::uint16_t size : forward.whens) {
    std::vector<std::size_t> terms;
    bool whole = true;
    for (std::size_t at = from; at < from + size && at < numbers.size(); ++at) {
      const std::size_t before = terms.size();
      const auto here = static_cast<std::int32_t>(kWhen) * Place::kAreaStep + static_cast<int>(at);
      for (std::size_t term = 0; term < found.places.size(); ++term) {
        const auto& places = found.places[term];
        const bool there = std::any_of(places.begin(), places.end(), [&](const Place& place) {
          return place.at <= here && here < place.at + place.words;
        });
        if (there) terms.push_back(term);
      }
      whole = whole &&
              (terms.size() > before || std::binary_search(function_numbers_->begin(),
                                                           function_numbers_->end(), numbers[at]));
    }
    if (whole) found.conditions.insert(found.conditions.end(), terms.begin(), terms.end());
    from += size;
  }
  std::sort(found.conditions.begin(), found.conditions.end());
  found.conditions.erase(std::unique(found.conditions.begin(), found.conditions.end()),
                         found.conditions.end());
}

void EvidenceReader::read(const store::Forward& tip, Found& found) {
  found.places.resize(terms_);
  for (std::vector<Place>& places : found.places) places.clear();
  found.conditions.clear();
  found.sizes.fill(0);
  for (std::vector<std::int32_t>& met : met_) {
    std::fill(met.begin(), met.end(), -Place::kAreaStep);
  }
  bool when = false;
  const std::uint16_t* at = tip.words.data();
  const std::uint16_t* const end = at + tip.words.size();
  const std::uint8_t* const places = places_.data();
  for (std::size_t area = 0; area < tip.sizes.size(); ++area) {
    const auto size = static_cast<std::int32_t>(tip.sizes[area]);
    found.sizes[static_cast<std::size_t>(store::kColumnOfArea[area])] += size;
    const std::int32_t first = static_cast<std::int32_t>(area) * Place::kAreaStep;
    for (std::int32_t position = 0; position < size && at < end; ++position) {
      const std::uint16_t number = *at++;
      if (places[number] == 0) continue;  // nearly all of them
      if (number != store::kEscape) {
        meet(number, first + position, found);
        when = when || area == kWhen;
      } else if (end - at >= 2) {
        meet(at[0] | static_cast<std::uint32_t>(at[1]) << 16U, first + position, found);
        at += 2;
      }
    }
  }
  if (when) find_conditions(tip, found);
}

// Tips that have all the words, found by counting through the postings of each from the rarest on;
// then the tips themselves say where the words stand next to each other.
// In the main part, which is nearly all, they are made once: a save changes which of them are dead.
PhrasePostings phrase_postings(const store::Words& words, const PlannedPhrase& phrase,
                               const PhrasePostings* earlier) {
  PhrasePostings made;
  Plan plan;
  PlannedTerm& term = plan.terms.emplace_back();
  term.phrases.push_back({phrase.words, nullptr, 1});
  const std::vector<std::uint32_t> no_function_words;
  EvidenceReader reader;
  Found found;
  for (std::size_t number = 0; number < words.pieces().size(); ++number) {
    const store::Words::Piece& piece = words.pieces()[number];
    std::string& bytes = made.bytes.emplace_back();
    if (number == 0 && earlier != nullptr && !earlier->bytes.empty()) {
      bytes = earlier->bytes.front();
      made.main = earlier->main;
      for (const std::uint32_t tip : made.main) made.tips += piece.is_dead(tip) ? 0U : 1U;
      continue;
    }
    std::vector<std::size_t> order(phrase.words.size());
    std::vector<std::uint64_t> tips(phrase.words.size(), 0);
    for (std::size_t i = 0; i < order.size(); ++i) {
      order[i] = i;
      for (const Way& way : *phrase.words[i]) tips[i] += way.tips;
    }
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return tips[a] < tips[b] || (tips[a] == tips[b] && a < b);
    });
    std::vector<std::uint8_t> has(piece.part.tips(), 0);
    const auto count_on = [&](std::size_t step) {
      for (const Way& way : *phrase.words[order[step]]) {
        if (way.numbers[number] == Way::kAbsent) continue;
        store::Postings postings = piece.part.postings(way.numbers[number]);
        for (; postings.more() && postings.tip() < has.size(); postings.next()) {
          std::uint8_t& count = has[postings.tip()];
          if (count == step) count = static_cast<std::uint8_t>(step + 1);
        }
      }
    };
    for (std::size_t step = 0; step < order.size() && step < 255; ++step) count_on(step);
    const auto all = static_cast<std::uint8_t>(std::min<std::size_t>(order.size(), 255));
    bool taken = false;
    std::uint32_t next = 0;
    for (std::uint32_t tip = 0; tip < has.size(); ++tip) {
      if (has[tip] != all) continue;
      if (!taken) reader.take(plan, number, no_function_words);
      taken = true;
      reader.read(piece.part.forward(tip), found);
      double sum = 0;
      for (const Place& place : found.places[0]) {
        const auto column = static_cast<std::size_t>(store::kColumnOfArea[place.area()]);
        sum += static_cast<double>(place.weight) *
               store::occurrence_weight(column, found.sizes[column]);
      }
      if (sum <= 0) continue;
      store::put_posting(bytes, tip - next, store::posting_weight(sum));
      next = tip + 1;
      if (number == 0) made.main.push_back(tip);
      if (!piece.is_dead(tip)) ++made.tips;
    }
  }
  return made;
}

}  // namespace baylore::search
