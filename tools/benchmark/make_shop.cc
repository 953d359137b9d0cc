// Writes a shop of any number of invented tips, for measuring: `baylore-make-shop FOLDER COUNT`.
// The words are random syllables, so that no two tips are alike by accident; vehicles, fasteners
// and checks come from small sets, as in a real shop, so that tips meet: about one in a hundred
// contradicts another, repeats another, links nowhere or is a translation. The same count always
// gives the same bytes.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <string>
#include <vector>

namespace {

constexpr std::size_t kMakes = 40;
constexpr std::size_t kModels = 5;  // of each make
constexpr std::size_t kChecks = 400;
constexpr std::size_t kWords = 6000;
constexpr std::size_t kPhotos = 200;

struct System {
  const char* name;
  std::array<const char*, 4> components;
};
constexpr std::array<System, 8> kSystems = {{
    {"cooling", {"coolant pump", "thermostat", "radiator", "heater core"}},
    {"charging", {"alternator", "charge cable", "battery sensor", "voltage regulator"}},
    {"starting", {"starter motor", "starter relay", "ground strap", "ignition switch"}},
    {"brakes", {"brake hose", "brake caliper", "master cylinder", "wheel speed sensor"}},
    {"fuel delivery", {"fuel injector", "fuel filter", "pressure sensor", "lift pump"}},
    {"ignition", {"ignition coil", "spark plug", "knock sensor", "plug lead"}},
    {"steering and suspension", {"ball joint", "stabiliser link", "wheel bearing", "strut"}},
    {"body electrics", {"door module", "wiper motor", "body ground", "window motor"}},
}};

struct Bolt {
  const char* name;
  const char* thread;
  double torque;  // N·m, within the window of an 8.8 bolt
};
constexpr std::array<Bolt, 10> kBolts = {{{"Pump bolts", "M6x1.0", 9},
                                          {"Bracket bolts", "M8x1.25", 22},
                                          {"Wheel nuts", "M12x1.5", 100},
                                          {"Caliper bolts", "M10x1.5", 50},
                                          {"Cover bolts", "M6x1.0", 10},
                                          {"Mount bolts", "M12x1.75", 90},
                                          {"Sensor bolt", "M6x1.0", 8},
                                          {"Strap bolt", "M8x1.25", 24},
                                          {"Flange nuts", "M8x1.25", 20},
                                          {"Carrier bolts", "M14x2.0", 140}}};

class Maker {
 public:
  Maker() : random_(20260314) {
    static constexpr std::array<const char*, 20> kParts = {
        "ba",  "cor", "del", "fen", "gor",  "hal", "in",  "jor", "kel", "lum",
        "mar", "nev", "ost", "pel", "quil", "rud", "sel", "tav", "vor", "wen"};
    for (std::size_t i = 0; i < kWords; ++i) {
      std::string word;
      for (std::size_t n = i + 7; n > 0; n /= kParts.size()) word += kParts.at(n % kParts.size());
      words_.push_back(std::move(word));
    }
  }

  std::size_t below(std::size_t count) { return random_() % count; }
  bool one_in(std::size_t count) { return below(count) == 0; }

  // Common words are common: the k-th is drawn about 1/k as often as the first.
  const std::string& word() {
    const double share = static_cast<double>(below(1000000)) / 1e6;
    const double place = std::pow(static_cast<double>(words_.size()), share) - 1;
    return words_[std::min(static_cast<std::size_t>(place), words_.size() - 1)];
  }

  std::string sentences(std::size_t count) {
    std::string out;
    for (std::size_t i = 0; i < count; ++i) {
      out += (i % 11 == 0) ? (out.empty() ? "" : ". ") : " ";
      std::string next = word();
      if (i % 11 == 0) next[0] = static_cast<char>(next[0] - 'a' + 'A');
      out += next;
    }
    return out + '.';
  }

  static std::string make(std::size_t i) { return fmt::format("Make{:02}", i); }
  static std::string model(std::size_t i) { return fmt::format("Model{:02}", i); }

  std::string expectation(std::size_t check) {
    const double low = 1 + static_cast<double>(check % 90);
    static constexpr std::array<const char*, 5> kUnits = {"V", "kPa", "mm", "°C", "ohm"};
    const double shift = one_in(300) ? 1.5 : 0;
    return fmt::format("{:g} .. {:g} {}", low + shift, low + 4, kUnits.at(check % kUnits.size()));
  }

  std::string tip(std::size_t number) {
    const System& system = kSystems.at(below(kSystems.size()));
    const char* component = system.components.at(below(4));
    const std::size_t make = below(kMakes);
    const std::size_t model = below(kModels);
    const int first = 2005 + static_cast<int>(below(12));
    std::string out = fmt::format(
        "---\nid: T{:09}\ntitle: {} {} {} {}\nstatus: current\nlang: en\nfits:\n"
        "  - {} | {} | {}-{} | {}\ncodes:\n  - P0{}{:02}\ncomponent: {}\nsystem: {}\n",
        number, component, word(), word(), word(), Maker::make(make), Maker::model(model), first,
        first + static_cast<int>(below(6)), one_in(2) ? "2.0 I4" : "3.0 V6", 1 + below(7),
        below(100), component, system.name);
    if (number > 0) {
      const std::string other = one_in(200) ? fmt::format("gone-{}", number) : slug(below(number));
      out += fmt::format("mistaken-for:\n  - {} | {}\n", other, sentences(8));
    }
    out += fmt::format("repair-minutes: {}\nauthor: A. Smith\nwritten: 2025-{:02}-{:02}\n---\n\n",
                       30 + below(200), 1 + below(12), 1 + below(28));
    out += fmt::format("## Symptom\n{}\n\n## Checks\n", sentences(60));
    const std::size_t start = below(kChecks);
    for (std::size_t i = 0; i < 5; ++i) {
      const std::size_t check = (start + i * 7) % kChecks;
      out += fmt::format(
          "### {} {}\n- check: check-{}\n- minutes: {}\n- access: undertray 6\n- tools: {}\n"
          "- expect: {}\n- outside: suggests\n- inside: suggests against\n{}\nWhy: {}\n\n",
          word(), word(), check, 2 + below(20), word(), expectation(check), sentences(30),
          sentences(14));
    }
    out += fmt::format("## Location\n{}\n\n![{}](photo{}.png)\n", sentences(20), sentences(6),
                       below(kPhotos));
    for (std::size_t i = 1; i <= 4; ++i) {
      out += fmt::format("- mark {}: 0.{} 0.{} {}\n", i, 1 + below(9), 1 + below(9), word());
    }
    out += "\n## Repair\n";
    for (std::size_t i = 1; i <= 9; ++i) out += fmt::format("{}. {}\n", i, sentences(20));
    out += "\n## Fasteners\n";
    for (std::size_t i = 0; i < 4; ++i) {
      const Bolt& bolt = kBolts.at((number + i * 3) % kBolts.size());
      const double torque = bolt.torque + (one_in(400) ? 2 : 0);
      out += fmt::format(
          "### {}\n- count: 4\n- thread: {}\n- class: 8.8\n- torque: {:g} N·m\n"
          "- sequence: 1 3 2 4\n- reuse: yes\n",
          bolt.name, bolt.thread, torque);
    }
    out += fmt::format("\n## Parts\n### Brand{} {}-{}\n- family: {}\n{}\n", below(20), below(99),
                       below(9999), word(), sentences(12));
    out += fmt::format("\n## Finish\n{}\n\n## Verify\n### Again\n- again: check-{}\n{}\n",
                       sentences(24), start, sentences(12));
    out += fmt::format("\n## Background\n{}\n{}\n", sentences(60), sentences(40));
    return out;
  }

  static std::string slug(std::size_t number) { return fmt::format("tip-{:07}", number); }

 private:
  std::mt19937_64 random_;
  std::vector<std::string> words_;
};

bool put(const std::filesystem::path& path, const std::string& bytes) {
  std::filesystem::create_directories(path.parent_path());
  std::ofstream file(path, std::ios::binary);
  file << bytes;
  file.close();
  return !file.fail();
}

std::string vocabulary() {
  std::string out = "## Components\n";
  for (const System& system : kSystems) {
    for (const char* component : system.components)
      out += fmt::format("### {}\n- system: {}\n", component, system.name);
  }
  out += "\n## Makes\n";
  for (std::size_t make = 0; make < kMakes; ++make) {
    out += fmt::format("### {}\n", Maker::make(make));
    for (std::size_t model = 0; model < kModels; ++model)
      out += fmt::format("- model: {} | 2004-2024 | 2.0 I4; 3.0 V6\n", Maker::model(model));
  }
  return out;
}

std::string with_line(std::string tip, const std::string& after, const std::string& line) {
  const std::size_t at = tip.find(after);
  return at == std::string::npos ? tip : tip.insert(at + after.size(), line);
}

}  // namespace

int main(int argc, char** argv) {
  const long long count = argc == 3 ? std::atoll(argv[2]) : 0;
  if (count <= 0) {
    std::fprintf(stderr, "usage: baylore-make-shop FOLDER COUNT\n");
    return 2;
  }
  const std::filesystem::path shop = argv[1];
  bool ok = put(shop / "shop.md", "---\nname: Many tips\ndemo: yes\n---\n") &&
            put(shop / "vocabulary" / "words.md", vocabulary());
  for (std::size_t i = 0; ok && i < kPhotos; ++i)
    ok = put(shop / "photos" / fmt::format("photo{}.png", i), "only its name is looked at");
  Maker maker;
  std::string before;
  for (std::size_t i = 0; ok && i < static_cast<std::size_t>(count); ++i) {
    std::string tip = maker.tip(i);
    if (!before.empty() && maker.one_in(100)) {
      // The one before, under another id: a copy that somebody forgot.
      tip = before;
      tip.replace(tip.find("\nid: T") + 6, 1, "1");
    } else if (!before.empty() && maker.one_in(50)) {
      tip =
          with_line(before, "lang: en\n", fmt::format("translation-of: {}\n", Maker::slug(i - 1)));
      tip.replace(tip.find("\nid: T") + 6, 1, "2");
    }
    const std::string folder = fmt::format("{:03}", i / 500);
    ok = put(shop / "tips" / folder / (Maker::slug(i) + ".md"), tip);
    before = tip.find("translation-of") == std::string::npos ? tip : std::string();
  }
  if (!ok) std::fprintf(stderr, "baylore-make-shop: could not write\n");
  return ok ? 0 : 2;
}
