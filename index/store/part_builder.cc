#include "store/part_builder.h"

#include <algorithm>
#include <cstring>
#include <numeric>
#include <span>
#include <utility>

#include "store/checksum.h"
#include "store/leb128.h"
#include "store/weights.h"

namespace baylore::store {
namespace {

constexpr std::size_t kTipBlock = 1U << 20U;
// How many bytes of postings are put together at a time: the memory the writing takes, and with the
// tips read once for each such piece, its time.
constexpr std::uint64_t kPostingsAtOnce = 96U << 20U;

std::size_t number_size(std::uint32_t value) {
  std::size_t size = 1;
  for (; value >= 0x80; value >>= 7U) ++size;
  return size;
}

// Reads what put_number wrote; the bytes are our own.
struct Numbers {
  const char* at;

  std::uint32_t next() {
    std::uint32_t value = 0;
    for (unsigned shift = 0;; shift += 7) {
      const auto byte = static_cast<unsigned char>(*at++);
      value |= static_cast<std::uint32_t>(byte & 0x7FU) << shift;
      if (byte < 0x80) return value;
    }
  }
};

std::uint64_t hash_of(std::string_view id, std::string_view path) {
  std::uint64_t hash = 0xcbf29ce484222325U;
  for (const std::string_view text : {id, path}) {
    for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001b3U;
    hash = (hash ^ 0xFFU) * 0x100000001b3U;
  }
  return hash;
}

// A tip as add() kept it.
struct Kept {
  std::array<std::uint32_t, kAreas> sizes{};
  std::vector<std::uint32_t> whens;
  std::vector<std::uint32_t> codes;
  std::vector<std::uint32_t> words;

  void read(Numbers& from) {
    for (std::uint32_t& size : sizes) size = from.next();
    for (std::vector<std::uint32_t>* list : {&whens, &codes, &words}) {
      list->resize(from.next());
      for (std::uint32_t& value : *list) value = from.next();
    }
  }
};

}  // namespace

std::uint32_t PartBuilder::number_of(std::string_view text, Language language) {
  Map<std::uint32_t>& known = known_[static_cast<std::size_t>(language)];
  const auto found = known.find(text);
  if (found != known.end()) return found->second;
  const auto number = static_cast<std::uint32_t>(words_.size());
  words_.push_back({std::string(text), language, 0, 0, 0});
  known.emplace(words_.back().text, number);
  return number;
}

std::uint32_t PartBuilder::name(std::string_view text) {
  const auto found = known_names_.find(text);
  if (found != known_names_.end()) return found->second;
  const auto number = static_cast<std::uint32_t>(vehicle_names_.size());
  vehicle_names_.emplace_back(text);
  known_names_.emplace(vehicle_names_.back(), number);
  return number;
}

// Counts the word for the tip being added, once.
void PartBuilder::note(std::uint32_t number) {
  Word& word = words_[number];
  const auto tip = static_cast<std::uint32_t>(docs_.size());
  if (word.next == tip + 1) return;
  word.bytes += number_size(tip - word.next) + 1;
  word.next = tip + 1;
  ++word.count;
}

void PartBuilder::add(std::int64_t doc, const Spread& tip) {
  if (tips_.empty() || tips_.back().size() > kTipBlock) tips_.emplace_back();
  std::string& out = tips_.back();
  std::size_t count = 0;
  for (std::size_t area = 0; area < kAreas; ++area) {
    put_number(out, static_cast<std::uint32_t>(tip.words[area].size()));
    count += tip.words[area].size();
  }
  put_number(out, static_cast<std::uint32_t>(tip.whens.size()));
  for (const std::uint16_t when : tip.whens) put_number(out, when);

  std::vector<std::uint32_t> codes;
  const auto add_code = [&](std::string_view code) {
    const std::uint32_t number = number_of(code, Language::code);
    if (std::find(codes.begin(), codes.end(), number) != codes.end()) return;
    codes.push_back(number);
    note(number);
  };
  for (const std::string_view code : tip.codes) {
    add_code(code);
    add_code(base_key(code));
  }
  put_number(out, static_cast<std::uint32_t>(codes.size()));
  for (const std::uint32_t code : codes) put_number(out, code);

  put_number(out, static_cast<std::uint32_t>(count));
  for (const std::vector<std::string_view>& words : tip.words) {
    for (const std::string_view text : words) {
      const std::uint32_t number = number_of(text, tip.language);
      put_number(out, number);
      note(number);
    }
  }

  names_ += tip.id;
  name_at_.push_back(static_cast<std::uint32_t>(names_.size()));
  names_ += tip.path;
  name_at_.push_back(static_cast<std::uint32_t>(names_.size()));
  hashes_.push_back(hash_of(tip.id, tip.path));
  flags_.push_back(static_cast<std::uint8_t>((tip.withdrawn ? kWithdrawn : 0U) |
                                             static_cast<unsigned>(tip.language) << 1U));
  for (const SpreadFit& fit : tip.fits) {
    const FitLine line{name(fit.make), name(fit.model), name(fit.engine), fit.first_year,
                       fit.last_year};
    std::string key(sizeof line, '\0');
    std::memcpy(key.data(), &line, sizeof line);
    const auto [known, fresh] =
        known_fits_.emplace(std::move(key), static_cast<std::uint32_t>(fit_lines_.size()));
    if (fresh) fit_lines_.push_back(line);
    fits_.push_back(known->second);
  }
  fit_at_.push_back(static_cast<std::uint32_t>(fits_.size()));
  docs_.push_back(doc);
}

// The bytes in order, with their checksums.
class PartBuilder::Writing {
 public:
  Writing(PartBuilder& from, const PartSink& sink) : from_(from), sink_(sink) {}

  files::Result<std::uint64_t> run() {
    number_words();
    write_words();
    write_stems();
    write_postings();
    write_forward();
    write_tips();
    return finish();
  }

 private:
  // --- bytes
  // Ends the section before.
  void begin(Section section) {
    end();
    open_ = &footer_.sections[static_cast<std::size_t>(section)];
    open_->at = at_;
  }
  void end() {
    if (open_ != nullptr) open_->size = at_ - open_->at;
    open_ = nullptr;
    while (at_ % 8 != 0) put(std::string_view("\0", 1));
  }
  void put(std::string_view bytes) {
    at_ += bytes.size();
    while (!bytes.empty()) {
      const std::size_t take = std::min(bytes.size(), kPartBlock - block_.size());
      block_ += bytes.substr(0, take);
      bytes.remove_prefix(take);
      if (block_.size() == kPartBlock) flush();
    }
  }
  template <class T>
  void put_all(std::span<const T> values) {
    put({reinterpret_cast<const char*>(values.data()), values.size_bytes()});
  }
  template <class T>
  void put_one(T value) {
    put_all(std::span<const T>(&value, 1));
  }
  void flush() {
    sums_.push_back(checksum(block_.data(), block_.size(), sums_.size()));
    if (written_) written_ = sink_(block_);
    block_.clear();
  }

  // --- words
  // The commonest first: in the tips' word numbers the small ones are short and their tables warm.
  void number_words() {
    const auto& words = from_.words_;
    order_.resize(words.size());
    std::iota(order_.begin(), order_.end(), 0U);
    std::sort(order_.begin(), order_.end(), [&](std::uint32_t a, std::uint32_t b) {
      if (words[a].count != words[b].count) return words[a].count > words[b].count;
      return std::tie(words[a].text, words[a].language) <
             std::tie(words[b].text, words[b].language);
    });
    number_.resize(words.size());
    for (std::uint32_t i = 0; i < order_.size(); ++i) number_[order_[i]] = i;
  }

  [[nodiscard]] const Word& word(std::uint32_t number) const {
    return from_.words_[order_[number]];
  }

  // The texts one behind the other, and where each begins.
  template <class Each>
  void write_texts(Section text, Section at, std::size_t count, const Each& each) {
    begin(text);
    std::vector<std::uint32_t> places{0};
    std::uint32_t place = 0;
    for (std::size_t i = 0; i < count; ++i) {
      const std::string_view one = each(i);
      put(one);
      place += static_cast<std::uint32_t>(one.size());
      places.push_back(place);
    }
    begin(at);
    put_all(std::span<const std::uint32_t>(places));
  }

  void write_words() {
    const std::size_t count = order_.size();
    footer_.words = count;
    write_texts(Section::word_text, Section::word_at, count, [&](std::size_t i) {
      return std::string_view(word(static_cast<std::uint32_t>(i)).text);
    });
    begin(Section::word_count);
    for (std::uint32_t i = 0; i < count; ++i) put_one(word(i).count);
    begin(Section::word_language);
    for (std::uint32_t i = 0; i < count; ++i) put_one(word(i).language);
  }

  void write_stems() {
    // The words in order of language and stem.
    struct Stemmed {
      Language language;
      std::string stem;
      std::uint32_t word;
    };
    std::vector<Stemmed> stemmed;
    stemmed.reserve(order_.size());
    Stemmer stemmer;
    for (std::uint32_t i = 0; i < order_.size(); ++i) {
      const Word& each = word(i);
      if (each.language == Language::code) continue;
      stemmed.push_back({each.language, std::string(stemmer.stem(each.text, each.language)), i});
    }
    std::sort(stemmed.begin(), stemmed.end(), [](const Stemmed& a, const Stemmed& b) {
      return std::tie(a.language, a.stem, a.word) < std::tie(b.language, b.stem, b.word);
    });
    std::vector<std::uint32_t> stem_of(order_.size(), kNoStem);
    std::vector<std::uint32_t> first;
    std::vector<std::uint32_t> members;
    for (const Stemmed& each : stemmed) {
      const bool same = !first.empty() && stemmed[first.back()].language == each.language &&
                        stemmed[first.back()].stem == each.stem;
      if (!same) first.push_back(static_cast<std::uint32_t>(members.size()));
      stem_of[each.word] = static_cast<std::uint32_t>(first.size() - 1);
      members.push_back(each.word);
    }
    const std::size_t count = first.size();
    footer_.stems = count;
    begin(Section::word_stem);
    put_all(std::span<const std::uint32_t>(stem_of));
    begin(Section::by_text);
    std::vector<std::uint32_t> by_text(order_.size());
    std::iota(by_text.begin(), by_text.end(), 0U);
    std::sort(by_text.begin(), by_text.end(), [&](std::uint32_t a, std::uint32_t b) {
      return std::tie(word(a).text, word(a).language) < std::tie(word(b).text, word(b).language);
    });
    put_all(std::span<const std::uint32_t>(by_text));
    write_texts(Section::stem_text, Section::stem_at, count,
                [&](std::size_t i) { return std::string_view(stemmed[first[i]].stem); });
    begin(Section::stem_language);
    for (const std::uint32_t each : first) put_one(stemmed[each].language);
    begin(Section::stem_first);
    first.push_back(static_cast<std::uint32_t>(members.size()));
    put_all(std::span<const std::uint32_t>(first));
    begin(Section::stem_words);
    put_all(std::span<const std::uint32_t>(members));
  }

  // --- postings
  template <class Visit>
  void each_tip(const Visit& visit) {
    Kept kept;
    std::uint32_t tip = 0;
    for (const std::string& block : from_.tips_) {
      Numbers numbers{block.data()};
      while (numbers.at != block.data() + block.size()) {
        kept.read(numbers);
        visit(tip++, kept);
      }
    }
  }

  // The words in pieces of kPostingsAtOnce; for each piece all tips are gone through and every
  // posting is written to its place.
  void write_postings() {
    const std::size_t count = order_.size();
    begin(Section::postings_at);
    std::uint64_t place = 0;
    for (std::uint32_t i = 0; i < count; ++i) {
      put_one(place);
      place += word(i).bytes;
    }
    put_one(place);
    begin(Section::postings);
    std::vector<float> sums(count, 0.0F);
    std::uint32_t from = 0;
    while (from < count) {
      std::uint32_t to = from;
      std::uint64_t bytes = 0;
      std::vector<std::uint64_t> ends;  // of each word, while it grows
      while (to < count && (to == from || bytes + word(to).bytes <= kPostingsAtOnce)) {
        ends.push_back(bytes);
        bytes += word(to++).bytes;
      }
      std::string out(bytes, '\0');
      std::vector<std::uint32_t> next(to - from, 0);
      std::vector<std::uint32_t> touched;
      const auto post = [&](std::uint32_t number, std::uint32_t tip, std::uint8_t weight) {
        const std::size_t slot = number - from;
        char* at = out.data() + ends[slot];
        std::uint32_t skipped = tip - next[slot];
        next[slot] = tip + 1;
        for (; skipped >= 0x80; skipped >>= 7U) *at++ = static_cast<char>(skipped | 0x80U);
        *at++ = static_cast<char>(skipped);
        *at++ = static_cast<char>(weight);
        ends[slot] = static_cast<std::uint64_t>(at - out.data());
      };
      each_tip([&](std::uint32_t tip, const Kept& kept) {
        std::array<double, kColumns> sizes{};
        for (std::size_t area = 0; area < kAreas; ++area) {
          sizes[static_cast<std::size_t>(kColumnOfArea[area])] += kept.sizes[area];
        }
        const std::uint32_t* at = kept.words.data();
        for (std::size_t area = 0; area < kAreas; ++area) {
          const auto column = static_cast<std::size_t>(kColumnOfArea[area]);
          const auto weight = static_cast<float>(occurrence_weight(column, sizes[column]));
          for (const std::uint32_t* end = at + kept.sizes[area]; at != end; ++at) {
            const std::uint32_t number = number_[*at];
            if (number < from || number >= to) continue;
            if (sums[number] == 0) touched.push_back(number);
            sums[number] += weight;
          }
        }
        for (const std::uint32_t number : touched) {
          post(number, tip, posting_weight(static_cast<double>(sums[number])));
          sums[number] = 0;
        }
        touched.clear();
        for (const std::uint32_t code : kept.codes) {
          const std::uint32_t number = number_[code];
          if (number >= from && number < to) post(number, tip, 255);
        }
      });
      put(out);
      from = to;
    }
  }

  // --- tips
  void write_forward() {
    std::vector<std::uint64_t> places{0};
    std::uint64_t place = 0;
    std::vector<std::uint16_t> out;
    begin(Section::forward);
    each_tip([&](std::uint32_t /*tip*/, const Kept& kept) {
      out.clear();
      for (const std::uint32_t size : kept.sizes) out.push_back(static_cast<std::uint16_t>(size));
      out.push_back(static_cast<std::uint16_t>(kept.whens.size()));
      for (const std::uint32_t when : kept.whens) out.push_back(static_cast<std::uint16_t>(when));
      out.push_back(static_cast<std::uint16_t>(kept.codes.size()));
      const auto put_halves = [&](std::uint32_t number) {
        out.push_back(static_cast<std::uint16_t>(number & 0xFFFFU));
        out.push_back(static_cast<std::uint16_t>(number >> 16U));
      };
      for (const std::uint32_t code : kept.codes) put_halves(number_[code]);
      for (const std::uint32_t each : kept.words) {
        const std::uint32_t number = number_[each];
        if (number < kEscape) {
          out.push_back(static_cast<std::uint16_t>(number));
        } else {
          out.push_back(kEscape);
          put_halves(number);
        }
      }
      put_all(std::span<const std::uint16_t>(out));
      place += out.size();
      places.push_back(place);
    });
    begin(Section::forward_at);
    put_all(std::span<const std::uint64_t>(places));
  }

  void write_tips() {
    footer_.tips = from_.docs_.size();
    footer_.fit_lines = from_.fit_lines_.size();
    footer_.names = from_.vehicle_names_.size();
    begin(Section::tip_doc);
    put_all(std::span<const std::int64_t>(from_.docs_));
    begin(Section::tip_name_at);
    put_all(std::span<const std::uint32_t>(from_.name_at_));
    begin(Section::tip_name);
    put(from_.names_);
    begin(Section::tip_hash);
    put_all(std::span<const std::uint64_t>(from_.hashes_));
    begin(Section::tip_flags);
    put_all(std::span<const std::uint8_t>(from_.flags_));
    begin(Section::fit_at);
    put_all(std::span<const std::uint32_t>(from_.fit_at_));
    begin(Section::fits);
    put_all(std::span<const std::uint32_t>(from_.fits_));
    begin(Section::fit_line);
    put_all(std::span<const FitLine>(from_.fit_lines_));
    write_texts(Section::name_text, Section::name_at, from_.vehicle_names_.size(),
                [&](std::size_t i) { return std::string_view(from_.vehicle_names_[i]); });
  }

  files::Result<std::uint64_t> finish() {
    end();
    if (!block_.empty()) flush();
    footer_.blocks = sums_.size();
    footer_.sum = 0;
    footer_.sum = checksum(&footer_, sizeof footer_,
                           checksum(sums_.data(), sums_.size() * sizeof sums_[0], at_));
    std::string end(sums_.size() * sizeof sums_[0] + sizeof footer_, '\0');
    if (!sums_.empty()) std::memcpy(end.data(), sums_.data(), sums_.size() * sizeof sums_[0]);
    std::memcpy(end.data() + end.size() - sizeof footer_, &footer_, sizeof footer_);
    if (written_) written_ = sink_(end);
    if (!written_) return written_.failure();
    return footer_.sum;
  }

  PartBuilder& from_;
  const PartSink& sink_;
  files::Result<void> written_;
  std::uint64_t at_ = 0;
  Place* open_ = nullptr;
  std::string block_;
  std::vector<std::uint64_t> sums_;
  Footer footer_;
  std::vector<std::uint32_t> order_;   // by final number: the word as it was numbered while adding
  std::vector<std::uint32_t> number_;  // and the other way round
};

files::Result<std::uint64_t> PartBuilder::write(const PartSink& sink) {
  return Writing(*this, sink).run();
}

}  // namespace baylore::store
