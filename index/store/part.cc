#include "store/part.h"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cstring>
#include <tuple>
#include <utility>

#include "store/checksum.h"

namespace baylore::store {
namespace {

files::Failure damage(const std::string& path) {
  return {files::Failure::Kind::damaged, path, "the store is damaged", "build it again"};
}

}  // namespace

Part::Part(Part&&) noexcept = default;
Part& Part::operator=(Part&&) noexcept = default;
Part::~Part() = default;

files::Result<Part> Part::map(const std::string& path, std::uint64_t sum) {
  const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (file < 0) {
    return files::Failure{
        errno == ENOENT ? files::Failure::Kind::missing : files::Failure::Kind::denied, path,
        "the postings cannot be opened", "build the store again"};
  }
  struct stat about = {};
  Part part;
  if (::fstat(file, &about) == 0 && about.st_size > 0) {
    const auto size = static_cast<std::size_t>(about.st_size);
    void* bytes = ::mmap(nullptr, size, PROT_READ, MAP_PRIVATE, file, 0);
    if (bytes != MAP_FAILED) {
      part.mapped_ = {bytes, [size](void* mapped) { ::munmap(mapped, size); }};
      part.bytes_ = static_cast<const char*>(bytes);
      part.size_ = size;
    }
  }
  ::close(file);
  return take(std::move(part), path, sum);
}

files::Result<Part> Part::hold(std::string bytes) {
  Part part;
  part.held_ = std::move(bytes);
  part.bytes_ = part.held_.data();
  part.size_ = part.held_.size();
  return take(std::move(part), {}, std::nullopt);
}

files::Result<Part> Part::take(Part part, const std::string& name,
                               std::optional<std::uint64_t> sum) {
  if (part.size_ < sizeof(Footer)) return damage(name);
  std::memcpy(&part.footer_, part.bytes_ + part.size_ - sizeof(Footer), sizeof(Footer));
  Footer& footer = part.footer_;
  if (footer.magic != kPartMagic || (sum && footer.sum != *sum)) return damage(name);
  const std::uint64_t room = part.size_ - sizeof(Footer);
  if (footer.blocks > room / sizeof(std::uint64_t)) return damage(name);
  const std::uint64_t body = room - footer.blocks * sizeof(std::uint64_t);
  if (footer.blocks != (body + kPartBlock - 1) / kPartBlock) return damage(name);
  Footer without = footer;
  without.sum = 0;
  const std::uint64_t sums =
      checksum(part.bytes_ + body, footer.blocks * sizeof(std::uint64_t), body);
  if (checksum(&without, sizeof without, sums) != footer.sum) return damage(name);
  for (const Place& place : footer.sections) {
    if (place.at > body || place.size > body - place.at || place.at % 8 != 0) return damage(name);
  }
  part.good_ = std::make_unique<std::uint64_t[]>(footer.blocks / 64 + 1);
  return part;
}

// --- checked access ------------------------------------------------------------------------------

bool Part::check_block(std::uint64_t block) const {
  if ((good_[block / 64] >> (block % 64) & 1U) != 0) return true;
  const std::uint64_t body = footer_.blocks * sizeof(std::uint64_t);
  const std::uint64_t end = size_ - sizeof(Footer) - body;
  const std::uint64_t from = block * kPartBlock;
  std::uint64_t sum = 0;
  std::memcpy(&sum, bytes_ + end + block * sizeof sum, sizeof sum);
  if (checksum(bytes_ + from, std::min<std::uint64_t>(kPartBlock, end - from), block) != sum) {
    damaged_ = true;
    return false;
  }
  good_[block / 64] |= std::uint64_t{1} << (block % 64);
  return true;
}

bool Part::checked(std::uint64_t from, std::uint64_t size) const {
  if (size == 0) return true;
  for (std::uint64_t block = from / kPartBlock; block <= (from + size - 1) / kPartBlock; ++block) {
    if (!check_block(block)) return false;
  }
  return true;
}

bool Part::whole() const {
  for (std::uint64_t block = 0; block < footer_.blocks; ++block) {
    if (!check_block(block)) return false;
  }
  return true;
}

template <class T>
std::span<const T> Part::slice(Section which, std::uint64_t from, std::uint64_t count) const {
  const Place& place = footer_.sections[static_cast<std::size_t>(which)];
  const std::uint64_t there = place.size / sizeof(T);
  if (from > there || count > there - from) {
    damaged_ = true;
    return {};
  }
  if (!checked(place.at + from * sizeof(T), count * sizeof(T))) return {};
  return {reinterpret_cast<const T*>(bytes_ + place.at) + from, count};
}

template <class T>
std::span<const T> Part::section(Section which) const {
  return slice<T>(which, 0, footer_.sections[static_cast<std::size_t>(which)].size / sizeof(T));
}

template <class T>
T Part::one(Section which, std::uint64_t index) const {
  const std::span<const T> found = slice<T>(which, index, 1);
  return found.empty() ? T() : found[0];
}

std::string_view Part::between(Section text, Section at, std::uint64_t index) const {
  const std::span<const std::uint32_t> ends = slice<std::uint32_t>(at, index, 2);
  if (ends.empty() || ends[1] < ends[0]) return {};
  const std::span<const char> bytes = slice<char>(text, ends[0], ends[1] - ends[0]);
  return {bytes.data(), bytes.size()};
}

// --- words ---------------------------------------------------------------------------------------

std::string_view Part::text(std::uint32_t word) const {
  return between(Section::word_text, Section::word_at, word);
}
Language Part::language(std::uint32_t word) const {
  return one<Language>(Section::word_language, word);
}
std::uint32_t Part::count(std::uint32_t word) const {
  return one<std::uint32_t>(Section::word_count, word);
}
std::span<const std::uint32_t> Part::by_text() const {
  return section<std::uint32_t>(Section::by_text);
}

std::optional<std::uint32_t> Part::find(std::string_view text, Language language) const {
  const std::uint64_t words = footer_.words;
  std::uint64_t low = 0;
  std::uint64_t high = words;
  while (low < high) {
    const std::uint64_t middle = (low + high) / 2;
    const std::uint32_t word = one<std::uint32_t>(Section::by_text, middle);
    const int order = this->text(word).compare(text);
    if (order < 0 || (order == 0 && this->language(word) < language)) {
      low = middle + 1;
    } else {
      high = middle;
    }
  }
  if (low == words) return std::nullopt;
  const std::uint32_t word = one<std::uint32_t>(Section::by_text, low);
  if (this->text(word) != text || this->language(word) != language) return std::nullopt;
  return word;
}

std::span<const std::uint32_t> Part::beginning(std::string_view prefix) const {
  const auto place = [&](bool after) {
    std::uint64_t low = 0;
    std::uint64_t high = footer_.words;
    while (low < high) {
      const std::uint64_t middle = (low + high) / 2;
      const std::string_view begin =
          text(one<std::uint32_t>(Section::by_text, middle)).substr(0, prefix.size());
      if (begin < prefix || (after && begin == prefix)) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    return low;
  };
  const std::uint64_t from = place(false);
  const std::uint64_t to = place(true);
  if (to < from) return {};
  return slice<std::uint32_t>(Section::by_text, from, to - from);
}

std::span<const std::uint32_t> Part::of_stem(std::string_view stem, Language language) const {
  std::uint64_t low = 0;
  std::uint64_t high = footer_.stems;
  const auto at = [&](std::uint64_t index) {
    return std::pair(one<Language>(Section::stem_language, index),
                     between(Section::stem_text, Section::stem_at, index));
  };
  const std::pair<Language, std::string_view> wanted(language, stem);
  while (low < high) {
    const std::uint64_t middle = (low + high) / 2;
    if (at(middle) < wanted) {
      low = middle + 1;
    } else {
      high = middle;
    }
  }
  if (low == footer_.stems || at(low) != wanted) return {};
  const std::span<const std::uint32_t> ends = slice<std::uint32_t>(Section::stem_first, low, 2);
  if (ends.empty() || ends[1] < ends[0]) return {};
  return slice<std::uint32_t>(Section::stem_words, ends[0], ends[1] - ends[0]);
}

Postings Part::postings(std::uint32_t word) const {
  const std::span<const std::uint64_t> ends = slice<std::uint64_t>(Section::postings_at, word, 2);
  if (ends.empty() || ends[1] < ends[0]) return {nullptr, nullptr};
  const auto bytes = slice<std::uint8_t>(Section::postings, ends[0], ends[1] - ends[0]);
  return {bytes.data(), bytes.data() + bytes.size()};
}

// --- tips ----------------------------------------------------------------------------------------

std::optional<std::uint32_t> Part::tip_of(std::int64_t doc) const {
  std::uint64_t low = 0;
  std::uint64_t high = footer_.tips;
  while (low < high) {
    const std::uint64_t middle = (low + high) / 2;
    if (one<std::int64_t>(Section::tip_doc, middle) < doc) {
      low = middle + 1;
    } else {
      high = middle;
    }
  }
  if (low == footer_.tips || one<std::int64_t>(Section::tip_doc, low) != doc) return std::nullopt;
  return static_cast<std::uint32_t>(low);
}

std::int64_t Part::doc(std::uint32_t tip) const { return one<std::int64_t>(Section::tip_doc, tip); }
std::string_view Part::id(std::uint32_t tip) const {
  return between(Section::tip_name, Section::tip_name_at, std::uint64_t{tip} * 2);
}
std::string_view Part::path(std::uint32_t tip) const {
  return between(Section::tip_name, Section::tip_name_at, std::uint64_t{tip} * 2 + 1);
}
std::uint64_t Part::hash(std::uint32_t tip) const {
  return one<std::uint64_t>(Section::tip_hash, tip);
}
std::span<const std::uint8_t> Part::flags() const {
  return section<std::uint8_t>(Section::tip_flags);
}

Forward Part::forward(std::uint32_t tip) const {
  const std::span<const std::uint64_t> ends = slice<std::uint64_t>(Section::forward_at, tip, 2);
  if (ends.empty() || ends[1] < ends[0]) return {};
  std::span<const std::uint16_t> all =
      slice<std::uint16_t>(Section::forward, ends[0], ends[1] - ends[0]);
  Forward forward;
  const auto take = [&](std::size_t count) {
    count = std::min(count, all.size());
    const std::span<const std::uint16_t> taken = all.first(count);
    all = all.subspan(count);
    return taken;
  };
  const auto take_list = [&](std::size_t each) {
    const std::span<const std::uint16_t> count = take(1);
    return take(count.empty() ? 0 : count[0] * each);
  };
  forward.sizes = take(kAreas);
  if (forward.sizes.size() < kAreas) return {};
  forward.whens = take_list(1);
  forward.codes = take_list(2);
  forward.words = all;
  return forward;
}

// --- vehicles ------------------------------------------------------------------------------------

std::span<const FitLine> Part::fit_lines() const { return section<FitLine>(Section::fit_line); }

std::span<const std::uint32_t> Part::fit_ends() const {
  return section<std::uint32_t>(Section::fit_at);
}
std::span<const std::uint32_t> Part::all_fits() const {
  return section<std::uint32_t>(Section::fits);
}

std::span<const std::uint32_t> Part::fits(std::uint32_t tip) const {
  const std::span<const std::uint32_t> ends = slice<std::uint32_t>(Section::fit_at, tip, 2);
  if (ends.empty() || ends[1] < ends[0]) return {};
  return slice<std::uint32_t>(Section::fits, ends[0], ends[1] - ends[0]);
}

std::string_view Part::name(std::uint32_t number) const {
  return between(Section::name_text, Section::name_at, number);
}

std::optional<Spread> Part::spread(std::uint32_t tip) const {
  Spread spread;
  spread.id = id(tip);
  spread.path = path(tip);
  const auto flags = one<std::uint8_t>(Section::tip_flags, tip);
  spread.withdrawn = (flags & kWithdrawn) != 0;
  spread.language = static_cast<Language>(flags >> 1U);
  const std::span<const FitLine> lines = fit_lines();
  for (const std::uint32_t number : fits(tip)) {
    if (number >= lines.size()) continue;
    const FitLine& line = lines[number];
    spread.fits.push_back(
        {name(line.make), name(line.model), line.first_year, line.last_year, name(line.engine)});
  }
  const Forward forward = this->forward(tip);
  for (std::size_t i = 0; i + 1 < forward.codes.size(); i += 2) {
    const std::string_view code =
        text(forward.codes[i] | static_cast<std::uint32_t>(forward.codes[i + 1]) << 16U);
    if (!is_base_key(code)) spread.codes.push_back(code);
  }
  spread.whens.assign(forward.whens.begin(), forward.whens.end());
  std::size_t at = 0;
  for (std::size_t area = 0; area < forward.sizes.size(); ++area) {
    for (std::size_t i = 0; i < forward.sizes[area] && at < forward.words.size(); ++i) {
      std::uint32_t word = forward.words[at++];
      if (word == kEscape && at + 1 < forward.words.size()) {
        word = forward.words[at] | static_cast<std::uint32_t>(forward.words[at + 1]) << 16U;
        at += 2;
      }
      if (spread.words[area].empty() && i == 0) spread.words[area].reserve(forward.sizes[area]);
      spread.words[area].push_back(text(word));
    }
  }
  if (damaged_) return std::nullopt;
  return spread;
}

}  // namespace baylore::store
