// What tools/bench stands on: the readers of collections and judgements, the two reference engines,
// and the maker of big shops.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <iterator>
#include <set>
#include <string>
#include <vector>

#include "collection.h"
#include "engine.h"
#include "files/disk.h"
#include "lines.h"
#include "rare_words.h"
#include "shop/fold.h"
#include "shop/shop.h"
#include "support/scratch.h"
#include "tip_maker.h"
#include "trec.h"
#include "vehicles.h"

using namespace baylore;
using namespace baylore::benchmark;

namespace {

std::vector<shop::Tip> demo_tips() {
  std::vector<shop::Tip> tips;
  const std::string folder = BAYLORE_SOURCE_DIR "/content";
  const auto listed = files::real_disk().list(folder);
  REQUIRE(listed);
  for (const files::Listed& each : *listed) {
    if (shop::kind_of(each.path) != shop::Kind::tip) continue;
    const auto text = shop::read_text(files::real_disk(), folder, each.path);
    REQUIRE(text);
    shop::Tip tip = shop::read_tip(shop::Document::parse(*text), each.path);
    if (tip.lang == "en" && tip.status == "current") tips.push_back(std::move(tip));
  }
  REQUIRE(tips.size() >= 20);
  return tips;
}

TipMaker maker(bool brief = false) {
  return TipMaker(demo_tips(),
                  shop::read_vocabulary(files::real_disk(), BAYLORE_SOURCE_DIR "/content"),
                  Fleet(invented_vehicles()), {}, brief);
}

std::vector<std::string> words_of(const shop::Tip& tip, std::string_view bytes) {
  std::vector<std::string> words = shop::words_of(plain_text(bytes, tip.path).body);
  for (std::string& word : shop::words_of(tip.title)) words.push_back(std::move(word));
  return words;
}

using Runs = std::vector<std::size_t>;

// Every three words in a row, as numbers, ascending and each once.
Runs runs_of(const std::vector<std::string>& words) {
  Runs out;
  for (std::size_t i = 2; i < words.size(); ++i) {
    out.push_back(std::hash<std::string>()(words[i - 2] + ' ' + words[i - 1] + ' ' + words[i]));
  }
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

// The share that two texts have in common of all that they have.
double alike(const Runs& one, const Runs& two) {
  Runs common;
  std::set_intersection(one.begin(), one.end(), two.begin(), two.end(), std::back_inserter(common));
  return static_cast<double>(common.size()) /
         static_cast<double>(one.size() + two.size() - common.size());
}

// The six documents of the project's check values for bm25, which were computed with another
// installation of SQLite and by a formula of its own.
const std::vector<Document> kSix = {{"1", "", "coolant pump seal leak after warmup hard start"},
                                    {"2", "", "fuel trim lean bank one vacuum leak at intake"},
                                    {"3", "", "pump seal worn open rough idle pump flow"},
                                    {"4", "", "brake caliper torque"},
                                    {"5", "", "hard start no fuel pressure"},
                                    {"6", "", "leak"}};

Documents six() {
  return [](const std::function<void(const Document&)>& visit) {
    for (const Document& document : kSix) visit(document);
  };
}

}  // namespace

TEST_CASE("a collection whose judgements name queries by their place") {
  test::Scratch scratch;
  scratch.put("cran/x.all.1400",
              ".I 1\n.T\na  wing\n.A\nnobody\n.W\nlift of\na wing\n.I 002\n.W\ndrag\n.I\n");
  scratch.put(
      "cran/x.qry",
      ".I 001\n.W\nwhat is\nlift .\n.I 004\n.W\nwhat is drag\n.I 365\n.W\nnot judged\n.I\n");
  scratch.put("cran/xqrel", "1 1 2\n2 2 -1\n");
  scratch.put("cran/xqrel.readme", "9 9 9\n");
  const auto read = read_collection(scratch.path("cran"));
  REQUIRE(read);
  CHECK(read->name == "cran");
  REQUIRE(read->documents.size() == 2);
  CHECK(read->documents[0].title == "a wing");
  CHECK(read->documents[0].body == "lift of\na wing\n");
  CHECK(read->documents[1].id == "2");
  REQUIRE(read->questions.size() == 2);
  CHECK(read->questions[0].id == "1");
  CHECK(read->questions[0].words == "what is lift .");
  CHECK(read->questions[1].id == "2");
  CHECK(read->judged.at("2").at("2") == 1);

  REQUIRE(write_as_shop(*read, scratch.path("shop")));
  const std::string tip = scratch.get("shop/tips/2.md");
  CHECK(shop::read_tip(shop::Document::parse(tip), "tips/2.md").id == "2");
}

TEST_CASE("judgements by number, in three and four columns") {
  test::Scratch scratch;
  scratch.put("a/A.ALL", ".I 1\n.W\nx\n.I 2\n.W\ny\n");
  scratch.put("a/A.QRY", ".I 1\n.W\nx\n.I 3\n.W\ny\n");
  scratch.put("a/A.REL", "     3     2\t0\t0.000000\n");
  const auto cited = read_collection(scratch.path("a"));
  REQUIRE(cited);
  REQUIRE(cited->questions.size() == 1);
  CHECK(cited->questions[0].id == "3");
  CHECK(cited->judged.at("3").count("2") == 1);

  scratch.put("a/A.REL", "1 0 2 1\n3 0 1 0\n3 0 2 1\n");
  const auto trec = read_collection(scratch.path("a"));
  REQUIRE(trec);
  CHECK(trec->judged.at("1").count("2") == 1);
  CHECK(trec->judged.at("3").count("1") == 0);

  CHECK(!read_collection(scratch.path("nowhere")));
}

TEST_CASE("topics, judgements and runs of TREC") {
  test::Scratch scratch;
  scratch.put("topics", "# a remark\nq1\tno crank\r\n\nq2\tbrake  pulls\n");
  const auto topics = read_topics(scratch.path("topics"));
  REQUIRE(topics);
  REQUIRE(topics->size() == 2);
  CHECK((*topics)[0].words == "no crank");
  scratch.put("broken", "q1\tfine\nq2 without a tab\n");
  const auto broken = read_topics(scratch.path("broken"));
  REQUIRE(!broken);
  CHECK(broken.failure().text().find("broken:2") != std::string::npos);

  scratch.put("qrels", "q1 0 a 3\nq1\t0\tb\t-1\n");
  const auto judged = read_qrels(scratch.path("qrels"));
  REQUIRE(judged);
  CHECK(judged->at("q1").at("a") == 3);
  CHECK(judged->at("q1").at("b") == 0);
  scratch.put("short", "q1 0 a\n");
  CHECK(!read_qrels(scratch.path("short")));

  REQUIRE(write_run(scratch.path("run"), "us", *topics, {{"a", "b"}, {}}));
  CHECK(scratch.get("run") == "q1 Q0 a 1 2 us\nq1 Q0 b 2 1 us\n");
}

TEST_CASE("judged lines keep their manner and their twin") {
  test::Scratch scratch;
  scratch.put("queries.tsv", "q1\tcustomer\t-\tno heat\nq2\tmisspelt\tq1\tno haet\n");
  const auto lines = read_judged_lines(scratch.path("queries.tsv"));
  REQUIRE(lines);
  REQUIRE(lines->size() == 2);
  CHECK((*lines)[0].twin.empty());
  CHECK((*lines)[1].twin == "q1");
  CHECK((*lines)[1].line == "no haet");
  scratch.put("queries.tsv", "q1\tcustomer\tno heat\n");
  CHECK(!read_judged_lines(scratch.path("queries.tsv")));
}

TEST_CASE("FTS5 orders as its documented formula does") {
  test::Scratch scratch;
  REQUIRE(build_fts5(scratch.path("f"), six(), false));
  const auto engine = open_fts5(scratch.path("f"));
  REQUIRE(engine);
  CHECK((*engine)->rank("pump", {}) == Ranking{"3", "1"});
  CHECK((*engine)->rank("leak", {}) == Ranking{"6", "1", "2"});
  CHECK((*engine)->rank("hard start", {}) == Ranking{"5", "1"});
  Ask all;
  all.all = true;
  CHECK((*engine)->rank("pump leak", all) == Ranking{"1"});
  Ask open;
  open.last_open = true;
  CHECK((*engine)->rank("cal", open) == Ranking{"4"});
  CHECK((*engine)->rank("\"'*", {}).empty());
  CHECK(!open_fts5(scratch.path("nothing")));
}

TEST_CASE("Xapian stems, ranks any word and all words, and completes the last") {
  test::Scratch scratch;
  REQUIRE(build_xapian(scratch.path("x"), six()));
  const auto engine = open_xapian(scratch.path("x"));
  REQUIRE(engine);
  CHECK((*engine)->rank("Pumps", {}) == Ranking{"3", "1"});
  CHECK((*engine)->rank("caliper leaks", {}).size() == 4);
  Ask all;
  all.all = true;
  CHECK((*engine)->rank("pump leak", all) == Ranking{"1"});
  Ask open;
  open.last_open = true;
  CHECK((*engine)->rank("cal", open) == Ranking{"4"});
  CHECK(!open_xapian(scratch.path("nothing")));
}

TEST_CASE("the vehicle file gives models with their years and engines") {
  test::Scratch scratch;
  scratch.put(
      "v.csv",
      "id,make,model,year,displ,cyl\n1,Ostrel,Vane 4WD,2004,3.6,6\n2,Ostrel,\"Vane\",2007,2.0,4\n"
      "3,Ostrel,Sorrel,2010,NA,NA\n");
  const auto models = read_vehicles(scratch.path("v.csv"));
  REQUIRE(models);
  REQUIRE(models->size() == 2);
  const Model& vane = (*models)[1];
  CHECK(vane.name == "Vane");
  CHECK(vane.first_year == 2004);
  CHECK(vane.last_year == 2007);
  CHECK(vane.engines == std::vector<std::string>{"2.0 I4", "3.6 V6"});
  CHECK(vane.weight == 2);
  CHECK((*models)[0].engines == std::vector<std::string>{"electric"});
  scratch.put("v.csv", "make,model\nOstrel,Vane\n");
  CHECK(!read_vehicles(scratch.path("v.csv")));
}

TEST_CASE("seldom words follow the power law that Heaps' law asks for") {
  // With growth 0.5 the exponent is 2: half of the draws beyond 1,000 known words have a rank below
  // 2,000, that is 1,000 further words; a tenth lies beyond 10,000.
  std::vector<std::string> known;
  std::vector<std::string> others;
  for (int i = 0; i < 1000; ++i) {
    std::string word = "w";
    for (int n = i + 1; n > 0; n /= 20) word += static_cast<char>('a' + n % 20);
    known.push_back(word);
  }
  for (int i = 0; i < 40000; ++i) {
    std::string word = "d";
    for (int n = i + 1; n > 0; n /= 20) word += static_cast<char>('a' + n % 20);
    others.push_back(word);
  }
  const RareWords rare(known, others, 0.5);
  CHECK(rare.word(77) == rare.word(77));
  std::set<std::string> near;
  for (std::uint64_t rank = 0; rank < 1000; ++rank) near.insert(rare.word(rank));
  std::set<std::string> far = near;
  for (std::uint64_t rank = 1000; rank < 9000; ++rank) far.insert(rare.word(rank));
  Random random(1);
  double in_near = 0;
  double in_far = 0;
  constexpr int kDraws = 8000;
  for (int i = 0; i < kDraws; ++i) {
    const std::string word = rare.draw(random);
    in_near += near.count(word) > 0 ? 1 : 0;
    in_far += far.count(word) > 0 ? 1 : 0;
  }
  CHECK(in_near / kDraws == doctest::Approx(0.5).epsilon(0.04));
  CHECK(in_far / kDraws == doctest::Approx(0.9).epsilon(0.03));
}

TEST_CASE("generated tips are read without a fault and look like the demo's") {
  const std::vector<shop::Tip> demo = demo_tips();
  std::size_t demo_words = 0;
  std::size_t demo_checks = 0;
  const std::string folder = BAYLORE_SOURCE_DIR "/content";
  for (const shop::Tip& tip : demo) {
    const auto text = shop::read_text(files::real_disk(), folder, tip.path);
    REQUIRE(text);
    demo_words += words_of(tip, *text).size();
    demo_checks += tip.checks.size();
  }
  const TipMaker made = maker();
  constexpr std::size_t kCount = 150;
  std::size_t words = 0;
  std::size_t checks = 0;
  std::set<std::string> different;
  std::vector<std::size_t> grown;
  std::vector<std::size_t> read;
  std::vector<Runs> texts;
  for (std::size_t i = 0; i < kCount; ++i) {
    const std::string bytes = made.tip(i);
    const shop::Tip tip = shop::read_tip(shop::Document::parse(bytes), "tips/x.md");
    CHECK_MESSAGE(!tip.broken, bytes);
    CHECK(!tip.fits.empty());
    CHECK(!tip.component.empty());
    const std::vector<std::string> text = words_of(tip, bytes);
    texts.push_back(runs_of(text));
    words += text.size();
    checks += tip.checks.size();
    different.insert(text.begin(), text.end());
    grown.push_back(different.size());
    read.push_back(words);
  }
  const auto mean = [](std::size_t sum, std::size_t count) {
    return static_cast<double>(sum) / static_cast<double>(count);
  };
  CHECK(mean(words, kCount) == doctest::Approx(mean(demo_words, demo.size())).epsilon(0.15));
  CHECK(mean(checks, kCount) == doctest::Approx(mean(demo_checks, demo.size())).epsilon(0.15));
  // Heaps' exponent; 0.4 to 0.6 in English text (Manning, Raghavan and Schütze, "Introduction to
  // Information Retrieval", section 5.1.1, names about 0.5).
  const double growth =
      std::log(mean(grown[kCount - 1], grown[49])) / std::log(mean(read[kCount - 1], read[49]));
  CHECK(growth > 0.3);
  CHECK(growth < 0.65);
  // No two of them say the same, save the copies that are planted.
  std::size_t same = 0;
  for (std::size_t i = 1; i < kCount; ++i) {
    for (std::size_t back = 1; back <= std::min<std::size_t>(i, 40); ++back) {
      if (alike(texts[i], texts[i - back]) > 0.5) ++same;
    }
  }
  CHECK(same <= 12);  // one in a hundred a copy and one in fifty a translation: 4.5 of 150
}

TEST_CASE("a generated tip is the same in every shop, and brief ones are short") {
  const TipMaker made = maker();
  const TipMaker again = maker();
  for (const std::uint64_t number : {0U, 1U, 999U, 123456U}) {
    CHECK(made.tip(number) == again.tip(number));
  }
  CHECK(made.tip(5) != made.tip(6));
  const TipMaker brief = maker(true);
  std::size_t longer = 0;
  std::size_t shorter = 0;
  for (std::uint64_t number = 0; number < 40; ++number) {
    const std::string bytes = brief.tip(number);
    CHECK(!shop::read_tip(shop::Document::parse(bytes), "tips/x.md").broken);
    shorter += bytes.size();
    longer += made.tip(number).size();
  }
  CHECK(shorter * 3 < longer);
  CHECK(shorter * 8 > longer);
}

TEST_CASE("typed lines have two to six words of the tip") {
  const std::vector<shop::Tip> demo = demo_tips();
  Random random(4);
  std::size_t words = 0;
  for (int i = 0; i < 200; ++i) {
    const shop::Tip& tip = demo[random.below(demo.size())];
    const std::string line = typed_line(tip, tip, random);
    const std::size_t count =
        1 + static_cast<std::size_t>(std::count(line.begin(), line.end(), ' '));
    CHECK(count >= 2);
    CHECK(count <= 9);  // a make or model has words of its own
    words += count;
  }
  CHECK(words > 600);
}
