// How the words of a line are gone through, from left to right:
//   1. two words that are one, or are parted at the wrong letter (`alter nator`, `wate rpump`)
//   2. one word that nobody has: the words near it, and the two words it may be run together from
//   3. one word that hardly any tip has, beside one that very many have
// Of several candidates the one is taken that costs least for how many tips have it and how well it
// goes with the line's other words.
#include "search/slips.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <optional>
#include <unordered_map>

#include "search/everyday.h"
#include "search/slip_cost.h"
#include "search/slip_index.h"

namespace baylore::search {
namespace {

constexpr const char* kKey = "slip:";

// --- what is worth what ------------------------------------------------------------------------

// How much one tenth of a wrong letter weighs against the logarithm of how many tips have the word.
constexpr double kPerTenth = 0.6;
constexpr double kPerTips = 0.6;
// How far what the line's other words say may lift or lower a candidate.
constexpr double kContextUp = 3.0;
constexpr double kContextDown = 1.0;
// Candidates that far behind the best one cannot be lifted past it.
constexpr double kNoChance = kContextUp + kContextDown;
constexpr std::size_t kMostInContext = 5;
constexpr std::size_t kContextWords = 3;
// A letter of a completion that was not typed yet.
constexpr double kPerLetterToCome = 0.05;
// How many of the tips an everyday word counts as if it stood in.
constexpr double kSaidShare = 0.3;
// Short words are near to too many others: the best must lead by so much.
constexpr std::size_t kShort = 4;
constexpr double kShortLead = 1.0;
// In tenths of a wrong letter: a blank too many or too few, a blank at the wrong letter.
constexpr int kBlank = 5;
constexpr int kBlankMoved = 8;
constexpr int kBlankForgotten = 9;  // between two words that the vocabulary has in no phrase
constexpr std::size_t kMostSplits = 4;

// A word that one tip in so many has may be a slip of its author's, if another has so many more.
constexpr std::uint32_t kRare = 20000;
constexpr std::uint32_t kTimesMore = 50;
constexpr std::uint32_t kEnoughTips = 200;
constexpr std::size_t kRareShortest = 5;
constexpr int kRareCost = 10;

constexpr std::size_t kShortestOpen = 4;
constexpr std::size_t kMostSlipsRemembered = 512;

int edits_for(std::size_t size, bool open) {
  if (open) return size < 8 ? 1 : 2;
  return size < 6 ? 1 : size < 12 ? 2 : 3;
}

int most_cost_for(std::size_t size, bool open) {
  if (size <= 3) return 6;
  if (size <= 5 && open) return 7;  // more and surer letters are to come
  if (size == 4) return 10;
  if (size == 5) return 11;
  if (size <= 7) return 17;
  if (size <= 9) return 19;
  return 24;
}

bool plain(std::string_view word) {
  return !word.empty() && word.size() <= kLongestSlip &&
         std::all_of(word.begin(), word.end(), [](char c) { return c >= 'a' && c <= 'z'; });
}

bool ends_in(std::string_view word, std::initializer_list<std::string_view> endings) {
  return std::any_of(endings.begin(), endings.end(), [&](std::string_view ending) {
    return word.size() >= ending.size() && word.substr(word.size() - ending.size()) == ending;
  });
}

// The words that `word` may be with a regular ending, English or Spanish, itself among them:
// `stopped` is `stopp` or `stop`, `rattling` is `rattl` or `rattle`.
std::vector<std::string> bases_of(std::string_view word) {
  std::vector<std::string> bases{std::string(word)};
  const auto cut = [&](std::size_t letters) { return word.substr(0, word.size() - letters); };
  const auto vowel_last = [](std::string_view text) { return ends_in(text, {"a", "e", "i", "u"}); };
  if (word.size() < 4) return bases;
  if (ends_in(word, {"s"}) && !ends_in(cut(1), {"s", "x", "z", "ch", "sh"})) {
    bases.emplace_back(cut(1));
  }
  if (word.size() < 5) return bases;
  if (ends_in(word, {"ies", "ied"})) bases.push_back(std::string(cut(3)) + "y");
  if (ends_in(word, {"es"}) && !vowel_last(cut(2)) &&
      (ends_in(cut(2), {"ss"}) || !ends_in(cut(2), {"s"}))) {
    bases.emplace_back(cut(2));
  }
  const std::size_t ending = ends_in(word, {"ed"}) ? 2 : ends_in(word, {"ing"}) ? 3 : 0;
  if (ending == 0 || word.size() < ending + 3) return bases;
  const std::string_view stem = cut(ending);
  const char last = stem.back();
  const auto vowel = [](char c) { return std::string_view("aeiou").find(c) != std::string::npos; };
  bases.push_back(std::string(stem) + "e");
  if (last == stem[stem.size() - 2]) {
    // The stemmer leaves these three as they are: `selling`, `passing`.
    const bool twice = std::string_view("lsz").find(last) == std::string_view::npos;
    if (!twice) bases.emplace_back(stem);
    if (twice && stem.size() > 3 && stem[stem.size() - 3] != last) {
      bases.emplace_back(cut(ending + 1));
    }
    return bases;
  }
  // A short word such as `fit` doubles its last letter: `fited` is none of its forms.
  const bool doubles = !vowel(last) && last != 'w' && last != 'x' && last != 'y' &&
                       vowel(stem[stem.size() - 2]) &&
                       (stem.size() < 3 || !vowel(stem[stem.size() - 3])) &&
                       std::count_if(stem.begin(), stem.end(), vowel) == 1;
  if (!doubles && last != 'e') bases.emplace_back(stem);
  return bases;
}

// The words that are `base` with a regular ending.
std::vector<std::string> forms_of(const std::string& base) {
  std::vector<std::string> forms{base, base + "s", base + "es", base + "ed", base + "ing"};
  if (base.back() == 'e') {
    forms.push_back(base + "d");
    forms.push_back(base.substr(0, base.size() - 1) + "ing");
  } else if (base.back() == 'y') {
    forms.push_back(base.substr(0, base.size() - 1) + "ies");
    forms.push_back(base.substr(0, base.size() - 1) + "ied");
  } else {
    forms.push_back(base + base.back() + "ed");
    forms.push_back(base + base.back() + "ing");
  }
  return forms;
}

std::string spaced(const std::vector<std::string>& words, std::size_t first, std::size_t count) {
  std::string text;
  for (std::size_t i = first; i < first + count; ++i) text += (i == first ? "" : " ") + words[i];
  return text;
}

// One way to read some words.
struct WordReading {
  std::vector<std::string> words;
  int cost = 0;
  double tips = 0;
  double score = 0;
};

}  // namespace

std::string Slip::said() const {
  return (keeps ? "also showing " : "showing ") + shown + " for " + typed;
}

namespace {

// The index of a lexicon. Most of it stays while tips are saved, so it is in two: of a hundred
// thousand words laid out anew at every save nobody could search meanwhile. How many tips have a
// word is asked when it is met, and one that none has any more is passed over.
struct Book {
  SlipIndex base;
  SlipIndex since;
  store::Stemmer stemmer;
  std::uint64_t stamp = 0;
  std::uint64_t base_stamp = 0;
  std::uint64_t serial = 0;
  bool made = false;
  // What was found near a word, while the index stays the same: the words before the one that is
  // being typed are asked for again at every key.
  std::unordered_map<std::string, std::vector<SlipIndex::Near>> remembered;

  void follow(const Lexicon& lexicon, const Language& language) {
    if (made && stamp == lexicon.stamp() && serial == language.serial()) return;
    remembered.clear();
    if (!made || base_stamp != lexicon.base() || serial != language.serial()) {
      base = {};
      lexicon.each_of_base([this](std::string_view word) { base.add(word, 0); });
      for (const std::string& word : language.words()) base.add(word, 0);
      for (const std::string_view word : everyday_words()) base.add(word, 0);
      base.finish();
    }
    since = {};
    lexicon.each_since([this](std::string_view word) { since.add(word, 0); });
    since.finish();
    stamp = lexicon.stamp();
    base_stamp = lexicon.base();
    serial = language.serial();
    made = true;
  }

  // How many tips have the word; nothing when it is none of the lexicon's, the vocabulary's or
  // everyday speech.
  static std::optional<std::uint32_t> count(std::string_view word, const Lexicon& lexicon,
                                            const Language& language) {
    const std::uint32_t tips = lexicon.tips_with(word);
    // So that `realy` is no `relay`: people say such words, whether tips have them or not.
    if (everyday(word))
      return std::max(tips, static_cast<std::uint32_t>(kSaidShare * lexicon.tips()) + 1);
    if (tips == 0 && !language.has_word(word)) return std::nullopt;
    return tips;
  }

  const std::vector<SlipIndex::Near>& near(const std::string& word, int edits, int most,
                                           bool beginning, const Lexicon& lexicon,
                                           const Language& language) {
    if (remembered.size() >= kMostSlipsRemembered) remembered.clear();
    const std::string key = word + static_cast<char>('0' + edits) + (beginning ? '*' : '.');
    const auto known = remembered.find(key);
    if (known != remembered.end()) return known->second;
    std::vector<SlipIndex::Near> found;
    for (const SlipIndex* index : {&base, &since}) {
      for (SlipIndex::Near& one :
           beginning ? index->near_beginning(word, edits, most) : index->near(word, edits, most)) {
        const auto tips = count(one.word, lexicon, language);
        if (!tips) continue;
        one.tips = *tips;
        found.push_back(one);
      }
    }
    // A word that came since may be one of the base too.
    std::sort(found.begin(), found.end(),
              [](const auto& a, const auto& b) { return a.word < b.word; });
    found.erase(std::unique(found.begin(), found.end(),
                            [](const auto& a, const auto& b) { return a.word == b.word; }),
                found.end());
    return remembered.emplace(key, std::move(found)).first->second;
  }

  [[nodiscard]] bool begins(std::string_view start, const Lexicon& lexicon,
                            const Language& language) const {
    const auto counts = [&](std::string_view word) {
      return count(word, lexicon, language).has_value();
    };
    return since.begins(start, counts) || base.begins(start, counts);
  }
};

// One line being gone through.
class Finder {
 public:
  Finder(Book& book, const std::vector<std::string>& words, bool last_open, const Lexicon& lexicon,
         const Language& language)
      : book_(book), words_(words), last_open_(last_open), lexicon_(lexicon), language_(language) {
    for (const std::string& word : words) tips_.push_back(lexicon.tips_with(word));
  }

  // Whether any word asks for a look at the index at all.
  [[nodiscard]] bool quiet() const {
    for (std::size_t i = 0; i < words_.size(); ++i) {
      if (strange(i) || rare(i)) return false;
    }
    return true;
  }

  std::vector<Slip> run(const std::vector<std::string>& dropped) {
    std::vector<Slip> slips;
    const auto take = [&](std::size_t first, std::size_t count, const WordReading& reading,
                          bool keeps) {
      Slip slip;
      slip.typed = spaced(words_, first, count);
      slip.shown = spaced(reading.words, 0, reading.words.size());
      slip.key = kKey + slip.typed;
      slip.first = first;
      slip.count = count;
      slip.words = reading.words;
      slip.keeps = keeps;
      if (std::find(dropped.begin(), dropped.end(), slip.key) != dropped.end()) return false;
      slips.push_back(std::move(slip));
      return true;
    };
    for (std::size_t i = 0; i < words_.size(); ++i) {
      if (const auto reading = two_words(i); reading && take(i, 2, *reading, false)) {
        ++i;
        continue;
      }
      if (strange(i)) {
        if (const auto reading = one_word(i)) take(i, 1, *reading, false);
      } else if (rare(i)) {
        if (const auto reading = commoner_word(i)) take(i, 1, *reading, true);
      }
    }
    return slips;
  }

 private:
  [[nodiscard]] bool open(std::size_t i) const { return last_open_ && i + 1 == words_.size(); }

  [[nodiscard]] bool begins(std::string_view start) const {
    return book_.begins(start, lexicon_, language_);
  }

  [[nodiscard]] bool known(std::string_view word) const {
    return lexicon_.tips_with(word) > 0 || language_.has_word(word);
  }

  // Whether tips have the word with another regular ending: the stemmed search finds it by that,
  // and nothing needs to be said.
  [[nodiscard]] bool known_by_stem(const std::string& word) const {
    for (const std::string& base : bases_of(word)) {
      for (const std::string& form : forms_of(base)) {
        if (form == word || lexicon_.tips_with(form) == 0) continue;
        for (const store::Language language :
             {store::Language::english, store::Language::spanish}) {
          const std::string stem(book_.stemmer.stem(word, language));
          if (stem == book_.stemmer.stem(form, language)) return true;
        }
      }
    }
    return false;
  }

  // A word nobody has: no tip, no vocabulary, no everyday speech.
  [[nodiscard]] bool strange(std::size_t i) const {
    const std::string& word = words_[i];
    return tips_[i] == 0 && word.size() >= 3 && plain(word) && !language_.has_word(word) &&
           !everyday(word);
  }

  // As above, for a word that may still grow into one somebody has.
  [[nodiscard]] bool strange_so_far(std::size_t i) const {
    return strange(i) && !(open(i) && begins(words_[i]));
  }

  [[nodiscard]] bool rare(std::size_t i) const {
    const std::string& word = words_[i];
    return tips_[i] > 0 && tips_[i] <= 1 + lexicon_.tips() / kRare && !open(i) &&
           lexicon_.tips() >= kEnoughTips && word.size() >= kRareShortest && plain(word) &&
           !language_.has_word(word) && !everyday(word);
  }

  [[nodiscard]] static double worth(double tips, int cost) {
    return kPerTips * std::log(tips + 0.5) - kPerTenth * cost;
  }
  static void weigh(WordReading& reading) { reading.score = worth(reading.tips, reading.cost); }

  // The candidates that the line's other words could still lift to the top.
  [[nodiscard]] std::vector<WordReading> likeliest(std::size_t at,
                                                   const std::vector<SlipIndex::Near>& all) const {
    struct Scored {
      double score;
      const SlipIndex::Near* near;
    };
    std::vector<Scored> scored;
    scored.reserve(all.size());
    for (const SlipIndex::Near& near : all) {
      double score = worth(near.tips, near.cost);
      if (open(at) && near.word.size() > words_[at].size()) {
        score -= kPerLetterToCome * static_cast<double>(near.word.size() - words_[at].size());
      }
      scored.push_back({score, &near});
    }
    const auto most = static_cast<std::ptrdiff_t>(std::min(scored.size(), kMostInContext));
    std::partial_sort(scored.begin(), scored.begin() + most, scored.end(),
                      [](const Scored& a, const Scored& b) {
                        return a.score != b.score ? a.score > b.score : a.near->word < b.near->word;
                      });
    std::vector<WordReading> readings;
    for (auto each = scored.begin(); each != scored.begin() + most; ++each) {
      readings.push_back({{std::string(each->near->word)},
                          each->near->cost,
                          static_cast<double>(each->near->tips),
                          each->score});
    }
    return readings;
  }

  // What the line's other words say of a candidate: how much oftener than by chance they stand in
  // one tip.
  [[nodiscard]] double context(std::size_t at, const std::string& candidate) const {
    const double tips = std::max<double>(1, lexicon_.tips());
    const double having = lexicon_.tips_with(candidate);
    if (having == 0) return 0;
    double sum = 0;
    std::size_t asked = 0;
    for (std::size_t i = 0; i < words_.size() && asked < kContextWords; ++i) {
      if (i == at || tips_[i] == 0 || words_[i].size() < 3 || everyday(words_[i])) continue;
      ++asked;
      const double both = lexicon_.together(candidate, words_[i]);
      sum += std::log((both + 0.5) / (having * tips_[i] / tips + 0.5));
    }
    return std::clamp(sum, -kContextDown, kContextUp);
  }

  // The best reading, if it is clear enough.
  [[nodiscard]] std::optional<WordReading> best(std::size_t at,
                                                std::vector<WordReading>& readings) const {
    if (readings.empty()) return std::nullopt;
    const auto better = [](const WordReading& a, const WordReading& b) {
      return a.score != b.score ? a.score > b.score : a.words < b.words;
    };
    std::sort(readings.begin(), readings.end(), better);
    std::size_t chances = 1;
    while (chances < std::min(readings.size(), kMostInContext) &&
           readings[chances].score >= readings[0].score - kNoChance) {
      ++chances;
    }
    if (chances > 1) {
      for (std::size_t i = 0; i < chances; ++i) {
        if (readings[i].words.size() == 1) readings[i].score += context(at, readings[i].words[0]);
      }
      std::sort(readings.begin(), readings.end(), better);
    }
    if (words_[at].size() <= kShort && readings.size() > 1 &&
        readings[0].score < readings[1].score + kShortLead) {
      return std::nullopt;
    }
    return readings[0];
  }

  std::optional<WordReading> one_word(std::size_t at) {
    const std::string& word = words_[at];
    if (!strange_so_far(at)) return std::nullopt;
    if (open(at) && word.size() < kShortestOpen) return std::nullopt;
    if (!open(at) && known_by_stem(word)) return std::nullopt;
    std::vector<WordReading> readings = likeliest(
        at, book_.near(word, edits_for(word.size(), open(at)), most_cost_for(word.size(), open(at)),
                       open(at), lexicon_, language_));
    split(at, readings);
    std::optional<WordReading> likely = best(at, readings);
    // What no tip has helps nobody.
    if (likely && likely->words.size() == 1 && everyday(likely->words[0]) &&
        lexicon_.tips_with(likely->words[0]) == 0) {
      return std::nullopt;
    }
    return likely;
  }

  // Two words run together.
  void split(std::size_t at, std::vector<WordReading>& readings) const {
    const std::string& word = words_[at];
    if (const std::vector<std::string>& apart = language_.phrases().apart(word); !apart.empty()) {
      WordReading reading{apart, kBlank - 2, 1, 0};
      std::uint32_t fewest = lexicon_.tips();
      for (const std::string& part : apart) fewest = std::min(fewest, lexicon_.tips_with(part));
      reading.tips = fewest;
      weigh(reading);
      readings.push_back(std::move(reading));
      return;
    }
    struct Split {
      std::size_t at;
      std::uint32_t tips;
    };
    std::vector<Split> splits;
    for (std::size_t i = 3; i + (open(at) ? 2 : 3) <= word.size(); ++i) {
      const std::string_view left = std::string_view(word).substr(0, i);
      const std::string_view right = std::string_view(word).substr(i);
      if (open(at)) {
        // The second word is only beginning.
        const std::uint32_t tips = lexicon_.tips_with(left);
        if (left.size() > 3 && tips > 0 && begins(right)) splits.push_back({i, tips});
        continue;
      }
      const std::uint32_t fewest = std::min(lexicon_.tips_with(left), lexicon_.tips_with(right));
      if (fewest > 0) splits.push_back({i, fewest});
    }
    std::sort(splits.begin(), splits.end(),
              [](const Split& a, const Split& b) { return a.tips > b.tips; });
    if (splits.size() > kMostSplits) splits.resize(kMostSplits);
    for (const Split& each : splits) {
      const std::string left = word.substr(0, each.at);
      const std::string right = word.substr(each.at);
      const double both = open(at) ? each.tips : lexicon_.together(left, right);
      if (both == 0) continue;
      WordReading reading{{left, right}, open(at) ? kBlank : kBlankForgotten, both, 0};
      weigh(reading);
      readings.push_back(std::move(reading));
    }
  }

  // A blank where none belongs, or at the wrong letter.
  std::optional<WordReading> two_words(std::size_t at) const {
    if (at + 1 >= words_.size()) return std::nullopt;
    const std::string& left = words_[at];
    const std::string& right = words_[at + 1];
    if (!plain(left) || !plain(right)) return std::nullopt;
    const bool strange_one = strange_so_far(at) || strange_so_far(at + 1) ||
                             (tips_[at + 1] == 0 && right.size() < 3 && !open(at + 1) &&
                              !language_.has_word(right) && !everyday(right));
    const std::string both = left + right;
    if (both.size() < 4 || both.size() > kLongestSlip) return std::nullopt;
    // Two words that no tip has together, but some tips as one: nothing is lost by joining them.
    const bool apart_in_vain = !strange_one && !open(at + 1) && lexicon_.tips_with(both) > 0 &&
                               lexicon_.together(left, right) == 0;
    if (!strange_one && !apart_in_vain) return std::nullopt;
    if (known(both) || (open(at + 1) && begins(both))) {
      return WordReading{{both}, kBlank, 0, 0};
    }
    if (!strange_one) return std::nullopt;

    std::vector<WordReading> readings;
    for (std::size_t i = left.size() > 4 ? left.size() - 2 : 2;
         i <= left.size() + 2 && i + 3 <= both.size(); ++i) {
      if (i == left.size()) continue;
      const std::string first = both.substr(0, i);
      const std::string second = both.substr(i);
      if (first.size() < 3 || lexicon_.tips_with(first) == 0) continue;
      if (lexicon_.tips_with(second) == 0) continue;
      const double together = lexicon_.together(first, second);
      if (together == 0) continue;
      WordReading reading{{first, second}, kBlankMoved, together, 0};
      weigh(reading);
      readings.push_back(std::move(reading));
    }
    if (readings.empty()) return std::nullopt;
    return *std::max_element(
        readings.begin(), readings.end(),
        [](const WordReading& a, const WordReading& b) { return a.score < b.score; });
  }

  // A word that very many tips have, for one that hardly any has.
  std::optional<WordReading> commoner_word(std::size_t at) {
    const std::string& word = words_[at];
    // A tip that has it with another word of the line is what was looked for.
    for (std::size_t i = 0; i < words_.size(); ++i) {
      if (i != at && tips_[i] > 0 && words_[i].size() >= 3 && !everyday(words_[i]) &&
          lexicon_.together(word, words_[i]) > 0) {
        return std::nullopt;
      }
    }
    if (known_by_stem(word)) return std::nullopt;
    std::vector<SlipIndex::Near> commoner;
    for (const SlipIndex::Near& near : book_.near(word, 1, kRareCost, false, lexicon_, language_)) {
      if (near.tips >= kTimesMore * tips_[at]) commoner.push_back(near);
    }
    std::vector<WordReading> readings = likeliest(at, commoner);
    return best(at, readings);
  }

  Book& book_;
  const std::vector<std::string>& words_;
  bool last_open_ = false;
  const Lexicon& lexicon_;
  const Language& language_;
  std::vector<std::uint32_t> tips_;
};

}  // namespace

struct Slips::Inside {
  Book book;
};

Slips::Slips() : inside_(std::make_unique<Inside>()) {}
Slips::Slips(Slips&&) noexcept = default;
Slips& Slips::operator=(Slips&&) noexcept = default;
Slips::~Slips() = default;

std::vector<Slip> Slips::find(const std::vector<std::string>& words, bool last_open,
                              const Lexicon& lexicon, const Language& language,
                              const std::vector<std::string>& dropped) {
  Finder finder(inside_->book, words, last_open, lexicon, language);
  if (!finder.quiet()) inside_->book.follow(lexicon, language);
  return finder.run(dropped);
}

}  // namespace baylore::search
