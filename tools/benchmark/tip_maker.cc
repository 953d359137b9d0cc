#include "tip_maker.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <string_view>
#include <utility>

namespace baylore::benchmark {
namespace {

struct Bolt {
  const char* name;
  const char* thread;
  double torque;  // N·m, within the window of an 8.8 bolt
};
constexpr std::array<Bolt, 10> kBolts = {{{"Housing bolts", "M6x1.0", 9},
                                          {"Bracket bolts", "M8x1.25", 22},
                                          {"Wheel nuts", "M12x1.5", 100},
                                          {"Carrier bolts", "M10x1.5", 50},
                                          {"Cover bolts", "M6x1.0", 10},
                                          {"Mount bolts", "M12x1.75", 90},
                                          {"Sensor bolt", "M6x1.0", 8},
                                          {"Strap bolt", "M8x1.25", 24},
                                          {"Flange nuts", "M8x1.25", 20},
                                          {"Axle bolts", "M14x2.0", 140}}};

constexpr std::array<const char*, 6> kStrengths = {
    "proves", "suggests", "hints", "says nothing", "hints against", "suggests against"};

constexpr std::array<const char*, 16> kNames = {"Adair", "Bell",  "Castan", "Dole",  "Ebbe", "Fane",
                                                "Grell", "Hask",  "Ivers",  "Jolin", "Kerr", "Lusk",
                                                "Marn",  "Norby", "Oske",   "Pryde"};

constexpr std::array<const char*, 12> kBrandHeads = {"Hal", "Quil", "Mer", "Tor", "Ven", "Bas",
                                                     "Cor", "Dun",  "Fel", "Gar", "Lin", "Sor"};
constexpr std::array<const char*, 6> kBrandTails = {"den", "lon", "rick", "vex", "tek", "mar"};

// From 0 on, the n-th about 1/(n+1) as often as the first, up to `count`.
std::size_t zipf(Random& random, std::size_t count) {
  const double place = std::pow(static_cast<double>(count) + 1, random.share()) - 1;
  return std::min(static_cast<std::size_t>(place), count - 1);
}

// Most are among the first 400, and there is always another.
std::uint64_t check_number(Random& random) {
  if (!random.one_in(5)) return random.below(400);
  return static_cast<std::uint64_t>(400 / std::sqrt(random.share()));
}

std::string expectation(std::uint64_t check, Random& random) {
  constexpr std::array<const char*, 5> kUnits = {"V", "kPa", "mm", "°C", "ohm"};
  const double low = 1 + static_cast<double>(check % 90);
  const double shift = random.one_in(300) ? 1.5 : 0;
  return fmt::format("{:g} .. {:g} {}", low + shift, low + 4, kUnits.at(check % kUnits.size()));
}

std::string code(Random& random) {
  // Powertrain codes mostly; the first hundreds of them are the common ones.
  const std::size_t kind = random.below(20);
  const char* const system = kind < 15   ? "P0"
                             : kind < 17 ? "P2"
                             : kind < 18 ? "C0"
                             : kind < 19 ? "B0"
                                         : "U0";
  std::string out = fmt::format("{}{:03X}", system, 0x100 + zipf(random, 0x8ff));
  if (random.one_in(10)) out += fmt::format("-{:02}", 11 + random.below(9));
  return out;
}

std::string part_number(std::uint64_t part) {
  Random random(part * 977 + 5);
  const auto digits = [&](std::size_t count) {
    std::string out;
    for (; count > 0; --count) out += static_cast<char>('0' + random.below(10));
    return out;
  };
  switch (random.below(3)) {
    case 0:
      return digits(2) + '-' + digits(4);
    case 1:
      return fmt::format("{}{}-{}", static_cast<char>('A' + random.below(26)), digits(3),
                         digits(3));
    default:
      return digits(5) + static_cast<char>('A' + random.below(26));
  }
}

std::string dashed(std::string name) {
  std::replace(name.begin(), name.end(), ' ', '-');
  return name;
}

}  // namespace

struct TipMaker::Subject {
  std::uint64_t number = 0;
  const shop::Tip* like = nullptr;
  const shop::Component* component = nullptr;
  std::vector<std::pair<const Model*, int>> vehicles;  // with the first year concerned
  const TipMaker* maker = nullptr;

  void write(std::string& out, Part part, Random& random, std::size_t count = 1) const {
    maker->language_.write(out, part, component->system, component->name, random, count);
  }
};

TipMaker::TipMaker(std::vector<shop::Tip> like, const shop::Vocabulary& vocabulary, Fleet fleet,
                   std::vector<std::string> dictionary, bool brief)
    : like_(std::move(like)),
      components_(vocabulary.components),
      fleet_(std::move(fleet)),
      brief_(brief) {
  for (const shop::Tip& tip : like_) {
    language_.learn(tip);
    if (components_.empty()) components_.push_back({tip.component, tip.system, {}});
  }
  language_.finish(std::move(dictionary));
  // Which of them are common is drawn, or the first system of the file would be.
  Random random(20260314);
  for (std::size_t i = components_.size(); i > 1; --i) {
    std::swap(components_[i - 1], components_[random.below(i)]);
  }
}

std::string TipMaker::slug(std::uint64_t number) { return fmt::format("tip-{:07}", number); }

void TipMaker::head(std::string& out, const Subject& subject, Random& random) const {
  const shop::Tip& like = *subject.like;
  out += fmt::format("---\nid: T{:09}\ntitle: ", subject.number);
  if (random.one_in(10)) out += subject.vehicles.front().first->name + ": ";
  subject.write(out, Part::title, random);
  out += "\nstatus: current\nlang: en\nfits:\n";
  for (const auto& [model, year] : subject.vehicles) {
    const int last = std::min(model->last_year, year + static_cast<int>(random.below(7)));
    out += fmt::format("  - {} | {} | {}-{} | {}\n", model->make, model->name, year, last,
                       model->engines[random.below(model->engines.size())]);
  }
  if (!like.codes.empty()) out += "codes:\n";
  for (std::size_t i = 0; i < like.codes.size(); ++i) out += "  - " + code(random) + '\n';
  out += fmt::format("component: {}\nsystem: {}\n", subject.component->name,
                     subject.component->system);
  if (!like.when.empty()) {
    const shop::Tip& other = like_[random.below(like_.size())];
    if (!other.when.empty()) out += "when:\n";
    for (const std::string& when : other.when) out += "  - " + when + '\n';
  }
  if (subject.number > 0 && !like.mistaken_for.empty()) {
    out += "mistaken-for:\n";
    for (std::size_t i = 0; i < like.mistaken_for.size(); ++i) {
      out += "  - " +
             (random.one_in(300) ? fmt::format("gone-{}", subject.number)
                                 : slug(random.below(subject.number))) +
             " | ";
      subject.write(out, Part::note, random);
      out += '\n';
    }
  }
  out += fmt::format("repair-minutes: {}\nauthor: {}. {}\nwritten: 20{:02}-{:02}-{:02}\n---\n\n",
                     30 + random.below(200), static_cast<char>('A' + random.below(20)),
                     kNames.at(zipf(random, kNames.size())), 18 + random.below(8),
                     1 + random.below(12), 1 + random.below(28));
}

void TipMaker::checks(std::string& out, const Subject& subject, Random& random) const {
  if (subject.like->checks.empty()) return;
  out += "\n\n## Checks\n";
  const std::uint64_t start = check_number(random);
  for (std::size_t i = 0; i < subject.like->checks.size(); ++i) {
    const shop::Check& like = subject.like->checks[i];
    // Whatever is asked for by the same check has the same name.
    const std::uint64_t check = start + i * 7;
    Random same(check * 31 + 17);
    out += "\n### ";
    subject.write(out, Part::check_name, same);
    out += fmt::format("\n- check: check-{}\n- minutes: {}\n", check, 2 + same.below(20));
    for (const shop::Access& access : like.access) {
      out += fmt::format("- access: {} {:g}\n", access.name, access.minutes);
    }
    if (!like.tools.empty()) {
      out += "- tools: ";
      subject.write(out, Part::tools, random);
    }
    if (!like.valid.empty()) {
      out += "\n- valid: ";
      subject.write(out, Part::valid, random);
    }
    out += "\n- expect: " + expectation(check, random);
    out += fmt::format("\n- outside: {}\n- inside: {}\n\n", kStrengths.at(random.below(3)),
                       kStrengths.at(3 + random.below(3)));
    subject.write(out, Part::check_text, random, Language::sentences_in(like.text));
    out += '\n';
    if (brief_) return;
  }
}

void TipMaker::location(std::string& out, const Subject& subject, Random& random) const {
  const shop::Prose* like = subject.like->section("location");
  if (like == nullptr) return;
  out += "\n## Location\n";
  subject.write(out, Part::location, random,
                1 + Language::sentences_in(like->text.substr(0, like->text.find("!["))));
  for (const shop::Picture& picture : subject.like->pictures) {
    out += "\n\n![";
    subject.write(out, Part::caption, random);
    out += fmt::format("](photo{}.png)\n", random.below(kPhotos));
    for (std::size_t i = 1; i <= picture.marks.size(); ++i) {
      out += fmt::format("- mark {}: 0.{} 0.{} ", i, 1 + random.below(9), 1 + random.below(9));
      subject.write(out, Part::mark, random);
      out += '\n';
    }
  }
}

void TipMaker::fasteners(std::string& out, const Subject& subject, Random& random) const {
  if (subject.like->fasteners.empty()) return;
  out += "\n## Fasteners\n";
  const std::size_t first = random.below(kBolts.size());
  for (std::size_t i = 0; i < subject.like->fasteners.size(); ++i) {
    const Bolt& bolt = kBolts.at((first + i) % kBolts.size());
    const double torque = bolt.torque + (random.one_in(400) ? 2 : 0);
    out += fmt::format(
        "### {}\n- count: 4\n- thread: {}\n- class: 8.8\n- torque: {:g} N·m\n"
        "- sequence: 1 3 2 4\n- reuse: yes\n",
        bolt.name, bolt.thread, torque);
    if (const std::size_t count = Language::sentences_in(subject.like->fasteners[i].text)) {
      out += '\n';
      subject.write(out, Part::fastener_text, random, count);
      out += '\n';
    }
  }
}

void TipMaker::parts(std::string& out, const Subject& subject, Random& random) const {
  if (subject.like->parts.empty()) return;
  out += "\n## Parts\n";
  for (const shop::PartRef& like : subject.like->parts) {
    // Thirty parts serve for a component, few of them in most cases.
    const auto place = static_cast<std::uint64_t>(subject.component - components_.data());
    const std::uint64_t part = place * 30 + zipf(random, 30);
    Random same(part + 3);
    out +=
        fmt::format("### {}{} {}\n- family: {}\n\n", kBrandHeads.at(same.below(kBrandHeads.size())),
                    kBrandTails.at(same.below(kBrandTails.size())), part_number(part),
                    dashed(subject.component->name));
    subject.write(out, Part::part_text, random, Language::sentences_in(like.text));
    out += '\n';
    if (brief_) return;
  }
}

std::string TipMaker::original(std::uint64_t number) const {
  Random random(2 * number);
  Subject subject;
  subject.number = number;
  subject.maker = this;
  subject.like = &like_[random.below(like_.size())];
  subject.component = &components_[zipf(random, components_.size())];
  const Model* model = &fleet_.draw(random);
  for (std::size_t i = 0; i == 0 || i < subject.like->fits.size(); ++i) {
    // A second line is often the same model with another engine.
    if (i > 0 && random.one_in(2)) model = &fleet_.draw(random);
    const auto years = static_cast<std::size_t>(std::max(1, model->last_year - model->first_year));
    subject.vehicles.emplace_back(model, model->first_year + static_cast<int>(random.below(years)));
  }

  std::string out;
  out.reserve(8192);
  const auto section = [&](const char* heading, const char* key, Part part, std::size_t most) {
    const shop::Prose* like = subject.like->section(key);
    if (like == nullptr) return;
    out += fmt::format("\n## {}\n", heading);
    subject.write(out, part, random, std::min(most, Language::sentences_in(like->body)));
    out += '\n';
  };
  constexpr std::size_t kAll = 1000;
  head(out, subject, random);
  section("Symptom", "symptom", Part::symptom, brief_ ? 2 : kAll);
  if (random.one_in(6)) {
    const Model& named = *subject.vehicles.front().first;
    out += fmt::format("Seen on a {} {}.\n", named.make, named.name);
  }
  if (brief_) {
    checks(out, subject, random);
    section("Repair", "repair", Part::step, 2);
    parts(out, subject, random);
    return out;
  }
  if (const shop::Prose* like = subject.like->section("cautions")) {
    out += "\n## Cautions\n";
    for (std::size_t i = Language::sentences_in(like->body); i > 0; --i) {
      out += "- ";
      subject.write(out, Part::caution, random);
      out += '\n';
    }
  }
  checks(out, subject, random);
  location(out, subject, random);
  if (!subject.like->steps.empty()) out += "\n## Repair\n";
  for (std::size_t i = 0; i < subject.like->steps.size(); ++i) {
    out += fmt::format("{}. ", i + 1);
    subject.write(out, Part::step, random, Language::sentences_in(subject.like->steps[i]));
    out += '\n';
  }
  fasteners(out, subject, random);
  parts(out, subject, random);
  section("Finish", "finish", Part::finish, kAll);
  if (!subject.like->verify.empty() && !subject.like->checks.empty()) {
    out += "\n## Verify\n### Again\n- again: check-";
    const std::size_t at = out.find("- check: check-") + 15;
    out += out.substr(at, out.find('\n', at) - at) + '\n';
  }
  section("Background", "background", Part::background, kAll);
  return out;
}

std::string TipMaker::tip(std::uint64_t number) const {
  Random random(2 * number + 1);
  // The one before, under another id: a copy that somebody forgot, or a translation of it.
  const bool copy = number > 0 && random.one_in(100);
  const bool translation = number > 0 && !copy && random.one_in(50);
  if (!copy && !translation) return original(number);
  std::string out = original(number - 1);
  out.replace(out.find("\nid: T") + 6, 1, copy ? "1" : "2");
  if (translation) {
    const std::string_view after = "lang: en\n";
    out.insert(out.find(after) + after.size(), fmt::format("translation-of: T{:09}\n", number - 1));
  }
  return out;
}

}  // namespace baylore::benchmark
