#include "diagnosis/session.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>

#include "diagnosis/cases.h"

using namespace baylore;
using namespace baylore::diagnosis;
using test::candidate;
using Kind = Answer::Kind;

namespace {

double weight_of(const Case& a_case, const Outlook& outlook, const std::string& tip) {
  for (std::size_t i = 0; i < a_case.causes.size(); ++i) {
    if (a_case.causes[i].tip == tip) return outlook.of(i).weight;
  }
  return -1;
}

double weight_of(const Case& a_case, const std::vector<Answer>& answers, const std::string& tip) {
  return weight_of(a_case, look(a_case, answers), tip);
}

const Choice& choice_of(const Outlook& outlook, const std::string& check) {
  return *std::find_if(outlook.choices.begin(), outlook.choices.end(),
                       [&](const Choice& one) { return one.check == check; });
}

const Entry& last_entry(const Case& a_case, const Outlook& outlook, const std::string& tip) {
  for (std::size_t i = 0; i < a_case.causes.size(); ++i) {
    if (a_case.causes[i].tip == tip) return outlook.of(i).ledger.back();
  }
  return outlook.causes.front().ledger.back();
}

// Two likely causes that one voltage tells apart, and a third.
Case three_causes() {
  return make_case({candidate("pump", {{.key = "volts", .expect = "13.5 .. 14.8 V", .minutes = "3"},
                                       {.key = "leak", .minutes = "10", .access = "undertray 6"}}),
                    candidate("cable", {{.key = "volts",
                                         .expect = "13.5 .. 14.8 V",
                                         .outside = "suggests against",
                                         .inside = "suggests"},
                                        {.key = "drop",
                                         .expect = "<= 0.3 V",
                                         .outside = "proves",
                                         .inside = "rules out",
                                         .access = "undertray 6"}}),
                    candidate("hose", {{.key = "leak",
                                        .outside = "hints",
                                        .inside = "hints against",
                                        .access = "undertray 6"}})},
                   0.1);
}

}  // namespace

TEST_CASE("one check of one cause moves its odds by exactly its words' ratios") {
  const struct {
    const char* outside;
    const char* inside;
    double out;
    double in;
  } rows[] = {
      {"suggests", "suggests against", 7, 1.0 / 7}, {"proves", "rules out", 100, 0.01},
      {"hints", "hints against", 3, 1.0 / 3},       {"suggests", "hints against", 7, 1.0 / 3},
      {"suggests against", "hints", 1.0 / 7, 3},    {"rules out", "suggests", 0.01, 7}};
  for (const auto& row : rows) {
    CAPTURE(row.outside);
    const Case one = make_case(
        {candidate("a", {{.key = "k", .outside = row.outside, .inside = row.inside}}, 0.05),
         candidate("b", {}, 0.2)},
        0.75);
    const auto odds = [&](const std::vector<Answer>& answers) {
      const double p = weight_of(one, answers, "a");
      return p / (1 - p);
    };
    CHECK(odds({{"k", Kind::no}}) / odds({}) == doctest::Approx(row.out).epsilon(1e-9));
    CHECK(odds({{"k", Kind::yes}}) / odds({}) == doctest::Approx(row.in).epsilon(1e-9));
  }
}

TEST_CASE("a word that says nothing lets its silence speak a little, as arithmetic demands") {
  const Case one = make_case(
      {candidate("a", {{.key = "k", .outside = "proves", .inside = "says nothing"}}, 0.2)}, 0.8);
  const double before = weight_of(one, std::vector<Answer>{}, "a");
  const double seen = weight_of(one, {{"k", Kind::no}}, "a");
  const double not_seen = weight_of(one, {{"k", Kind::yes}}, "a");
  CHECK(seen > 0.96);
  CHECK(not_seen < before);
  CHECK(not_seen > 0.17);
  // What is expected of the weight after the check is the weight before it.
  const double chance = choice_of(look(one, {}), "k").if_outside;
  CHECK(chance * seen + (1 - chance) * not_seen == doctest::Approx(before).epsilon(1e-9));
}

TEST_CASE("words that cannot both hold: the stronger counts, two equal ones say nothing") {
  const auto bits = [](const char* outside, const char* inside) {
    const Case one =
        make_case({candidate("a", {{.key = "k", .outside = outside, .inside = inside}}, 0.5)}, 0.5);
    return choice_of(look(one, {}), "k").bits;
  };
  CHECK(bits("suggests", "hints") == doctest::Approx(bits("suggests", "says nothing")));
  CHECK(bits("hints against", "rules out") == doctest::Approx(bits("says nothing", "rules out")));
  CHECK(bits("hints", "hints") == 0);
  CHECK(bits("says nothing", "says nothing") == 0);
  CHECK(bits("likely", "") == 0);  // no strength word
}

TEST_CASE("one check for all tips that ask for it: by its key, or by the same words") {
  const Case joined = make_case({candidate("a", {{.key = "hold", .name = "Pressure left, cold"}}),
                                 candidate("b", {{.key = "", .name = "Pressure left, COLD"}}),
                                 candidate("c", {{.key = "hold", .name = "Does it hold?"}}),
                                 candidate("d", {{.key = "other", .name = "Pressure left, cold"}})},
                                0.1);
  REQUIRE(joined.checks.size() == 2);
  CHECK(joined.checks[0].id == "hold");
  CHECK(joined.checks[0].effects.size() == 3);
  CHECK(joined.checks[1].id == "other");  // a key of its own wins over its words
  // Whichever comes first, the key is the name readings are kept under.
  const Case turned = make_case({candidate("b", {{.key = "", .name = "Pressure left, cold"}}),
                                 candidate("a", {{.key = "hold", .name = "Pressure left, cold"}})},
                                0.1);
  REQUIRE(turned.checks.size() == 1);
  CHECK(turned.checks[0].id == "hold");
}

TEST_CASE("a reading is held against each tip's own range, in any unit") {
  const Case one = make_case({candidate("a", {{.key = "k", .expect = "100 .. 120 kPa"}}),
                              candidate("b", {{.key = "k", .expect = "90 .. 110 kPa"}}),
                              candidate("c", {{.key = "k",
                                               .expect = ">= 150 kPa",
                                               .outside = "suggests against",
                                               .inside = "suggests"}})},
                             0.1);
  const auto came = [&](const std::string& value, std::size_t effect) {
    return judge(one.checks[0], one.checks[0].effects[effect], {"k", Kind::reading, value}, 0.01)
        .came;
  };
  CHECK(came("95 kPa", 0) == Came::outside);
  CHECK(came("95 kPa", 1) == Came::inside);
  CHECK(came("16 psi", 0) == Came::inside);  // 110.3 kPa
  CHECK(came("120.5 kPa", 0) == Came::on_the_edge);
  CHECK(came("5 V", 0) == Came::not_read);
  CHECK(came("a lot", 0) == Came::not_read);
  // The third tip's range excludes the first one's: "no" to the check as shown is inside there.
  CHECK(one.checks[0].effects[2].turned);
  CHECK(judge(one.checks[0], one.checks[0].effects[2], {"k", Kind::no}, 0.01).came == Came::inside);
  CHECK(came("160 kPa", 2) == Came::inside);
  CHECK(weight_of(one, {{"k", Kind::reading, "160 kPa"}}, "c") >
        weight_of(one, std::vector<Answer>{}, "c"));

  const Outlook unread = look(one, {{"k", Kind::reading, "5 V"}, {"gone", Kind::yes}});
  CHECK(unread.troubles.size() == 2);
  CHECK(unread.causes[0].weight == look(one, {}).causes[0].weight);
}

TEST_CASE("a tip that expects another answer in words is left alone by the check") {
  const Case one = make_case({candidate("a", {{.key = "k", .expect = "no play"}}),
                              candidate("b", {{.key = "k", .expect = "turns freely"}})},
                             0.1);
  const Outlook outlook = look(one, {{"k", Kind::no}});
  CHECK(last_entry(one, outlook, "b").note ==
        "this tip expects another answer: not counted for it");
  CHECK(weight_of(one, outlook, "b") < weight_of(one, std::vector<Answer>{}, "b"));
}

TEST_CASE("answers that say nothing move nothing") {
  const Case a_case = three_causes();
  const Outlook before = look(a_case, {});
  for (const Kind kind : {Kind::not_showing, Kind::not_sure, Kind::skipped}) {
    const Outlook after = look(a_case, {{"volts", kind}});
    for (std::size_t i = 0; i < a_case.causes.size(); ++i)
      CHECK(after.of(i).weight == before.of(i).weight);
    CHECK(after.next.check != "volts");
    const Choice& set_aside = choice_of(after, "volts");
    CHECK(set_aside.aside ==
          (kind == Kind::skipped ? Choice::Aside::skipped : Choice::Aside::answered));
    CHECK(set_aside.bits > 0);  // it can still be chosen
  }
  const Outlook edge = look(a_case, {{"volts", Kind::reading, "13.45 V"}});
  CHECK(edge.causes[0].weight == before.causes[0].weight);
  CHECK(last_entry(a_case, edge, "pump").note ==
        "nearer to the end than the meter is true: carries no weight");
}

TEST_CASE("two checks of one fact are not counted twice, in either order") {
  const auto with = [](const char* fact_a, const char* fact_b) {
    return make_case(
        {candidate("a",
                   {{.key = "feel", .outside = "hints", .inside = "hints against", .fact = fact_a},
                    {.key = "gauge", .fact = fact_b}},
                   0.5)},
        0.5);
  };
  const Case same = with("holds", "holds");
  const Case different = with("holds", "flows");
  const std::vector<Answer> both = {{"feel", Kind::no}, {"gauge", Kind::no}};
  const std::vector<Answer> turned = {{"gauge", Kind::no}, {"feel", Kind::no}};
  CHECK(weight_of(same, both, "a") == weight_of(same, {{"gauge", Kind::no}}, "a"));
  CHECK(weight_of(same, turned, "a") == weight_of(same, both, "a"));
  CHECK(weight_of(different, both, "a") > weight_of(same, both, "a"));
  CHECK(last_entry(same, look(same, turned), "a").note ==
        "the same fact as “Look at gauge”: not counted again");
  CHECK(last_entry(same, look(same, both), "a").note.find("counts in its place") !=
        std::string::npos);
  // The closer look is worth doing after the rough one, the rough one is not worth it after the
  // closer.
  CHECK(choice_of(look(same, {{"feel", Kind::no}}), "gauge").aside == Choice::Aside::no);
  CHECK(choice_of(look(same, {{"gauge", Kind::no}}), "feel").aside == Choice::Aside::same_fact);
}

TEST_CASE("the reason is one sentence with purpose, minutes and tool") {
  const Case a_case = three_causes();
  const Outlook outlook = look(a_case, {});
  REQUIRE(outlook.next.kind == Next::Kind::check);
  CHECK(outlook.next.check == "volts");
  CHECK(outlook.next.why == "splits the two likeliest, 3 minutes, multimeter");
  CHECK(outlook.next.outside.chance + outlook.next.inside.chance == doctest::Approx(1));
  CHECK(a_case.causes[outlook.next.outside.cause].tip == "pump");
  CHECK(a_case.causes[outlook.next.inside.cause].tip == "cable");
}

TEST_CASE("a cover that is off is not paid again") {
  const Case a_case = three_causes();
  CHECK(choice_of(look(a_case, {}), "leak").minutes == 16);
  CHECK(choice_of(look(a_case, {}), "drop").minutes == 11);
  const Outlook after = look(a_case, {{"leak", Kind::no}});
  CHECK(choice_of(after, "drop").minutes == 5);
  Options open;
  open.open = {"Undertray"};
  CHECK(choice_of(look(a_case, {}, open), "leak").minutes == 10);
  // A check that could not be done has taken nothing off.
  CHECK(choice_of(look(a_case, {{"leak", Kind::not_sure}}), "drop").minutes == 11);
}

TEST_CASE("a check is set aside when the shop lacks its tool") {
  const Case a_case = make_case(
      {candidate("a", {{.key = "scan", .tools = "lamp, scan tool that reads every module"},
                       {.key = "hand", .minutes = "50", .tools = ""}})},
      0.3);
  CHECK(look(a_case, {}).next.check == "scan");
  Options options;
  options.missing_tools = {"Scan tool"};
  const Outlook outlook = look(a_case, {}, options);
  CHECK(outlook.next.check != "scan");
  CHECK(choice_of(outlook, "scan").aside == Choice::Aside::tool_missing);
  CHECK(choice_of(outlook, "scan").tool == "scan tool that reads every module");
  options.missing_tools = {"tool steel"};
  CHECK(choice_of(look(a_case, {}, options), "scan").aside == Choice::Aside::no);
}

TEST_CASE("where no check is left, the sentence says what was set aside") {
  const Case a_case =
      make_case({candidate("a", {{.key = "scan", .tools = "scan tool that reads every module"},
                                 {.key = "hand", .tools = ""}}),
                 candidate("b", {{.key = "hand", .outside = "suggests against", .tools = ""}})},
                0.3);
  const auto why = [&](const std::vector<Answer>& answers, const Options& options) {
    const Next next = look(a_case, answers, options).next;
    CHECK(next.kind != Next::Kind::check);
    return next.why;
  };
  const auto ends = [](const std::string& text, const std::string& end) {
    return text.ends_with(end);
  };
  Options lacking;
  lacking.missing_tools = {"scan tool"};
  const Answer skipped{"hand", Kind::skipped};
  CHECK(ends(why({skipped, {"scan", Kind::skipped}}, {}), "; 2 checks were skipped"));
  CHECK(ends(why({skipped}, lacking), "; 1 check was skipped, 1 needs a tool that is not here"));
  CHECK(ends(why({{"hand", Kind::no}}, lacking), "; 1 needs a tool that is not here"));
}

TEST_CASE("where two checks are worth the same the one by hand is first") {
  for (const bool hand_first : {true, false}) {
    const test::CheckText hand{.key = "hand", .tools = ""};
    const test::CheckText meter{.key = "meter"};
    const Case a_case = make_case(
        {candidate("a", hand_first ? std::vector{hand, meter} : std::vector{meter, hand})}, 0.4);
    CHECK(look(a_case, {}).next.check == "hand");
    CHECK(look(a_case, {}).next.by_information == "hand");
  }
}

TEST_CASE("a repair that did not help sends its cause down, and nothing is hidden") {
  const Case a_case = three_causes();
  Session session(std::make_shared<const Case>(a_case));
  session.answer({"volts", Kind::yes});
  session.answer({"drop", Kind::reading, "0.9 V"});
  CHECK(session.outlook().next.kind == Next::Kind::repair);
  CHECK(session.outlook().next.sure);
  CHECK(a_case.causes[session.outlook().next.cause].tip == "cable");
  const double before = session.outlook().causes[0].weight;
  session.answer({"cable", Kind::repaired});
  CHECK(weight_of(a_case, session.outlook(), "cable") < before);
  CHECK(session.outlook().causes.size() == 4);
  const Next& next = session.outlook().next;
  CHECK((next.kind != Next::Kind::repair || a_case.causes[next.cause].tip != "cable"));
  CHECK(last_entry(a_case, session.outlook(), "cable").result == "done, the fault is still there");
}

TEST_CASE("undo, change and take back") {
  Session session(std::make_shared<const Case>(three_causes()));
  const double start = session.outlook().causes[0].weight;
  session.answer({"volts", Kind::reading, "12.1 V"});
  const double after = session.outlook().causes[0].weight;
  CHECK(after != start);
  session.answer({"volts", Kind::reading, "14.2 V"});
  CHECK(session.answers().size() == 1);
  CHECK(session.undo());
  CHECK(session.outlook().causes[0].weight == after);
  CHECK(session.take_back("volts"));
  CHECK_FALSE(session.take_back("volts"));
  CHECK(session.outlook().causes[0].weight == start);
  CHECK(session.undo());
  CHECK(session.answers().size() == 1);
  CHECK(session.undo());
  CHECK_FALSE(session.undo());
  CHECK(session.outlook().causes[0].weight == start);
}

TEST_CASE("the ledger leads from the weight before to the weight now") {
  const Case a_case = three_causes();
  const Outlook outlook = look(
      a_case, {{"volts", Kind::reading, "12.1 V"}, {"leak", Kind::yes}, {"drop", Kind::not_sure}});
  for (const Standing& standing : outlook.causes) {
    double at = a_case.causes[standing.cause].prior;
    for (const Entry& entry : standing.ledger) {
      CHECK(entry.before == doctest::Approx(at));
      CHECK(entry.after / (1 - entry.after) ==
            doctest::Approx(entry.ratio * entry.before / (1 - entry.before)));
      at = entry.after;
    }
    CHECK(at == doctest::Approx(standing.weight));
  }
  const std::vector<Entry>& pump = outlook.of(0).ledger;
  REQUIRE(pump.size() == 3);
  CHECK(pump[0].result == "12.1 V, 1.4 V under the range");
  CHECK(pump[0].said == "suggests this cause");
  CHECK(pump[0].side == Entry::Side::speaks_for);
  CHECK(pump[1].result == "yes");
  CHECK(pump[1].side == Entry::Side::against);
  CHECK(pump[2].side == Entry::Side::nothing);
}

TEST_CASE("something not in the book keeps its floor, and stands alone without tips") {
  const Case a_case =
      make_case({candidate("a", {{.key = "k", .outside = "proves", .inside = "rules out"},
                                 {.key = "l", .outside = "proves", .inside = "rules out"}})},
                0);
  CHECK(a_case.causes.back().prior == doctest::Approx(kLeastBeyondPrior));
  const Outlook sure = look(a_case, {{"k", Kind::no}, {"l", Kind::no}});
  CHECK(sure.of(a_case.beyond()).weight == doctest::Approx(kLeastBeyond));
  const Outlook ruled_out = look(a_case, {{"k", Kind::yes}, {"l", Kind::yes}});
  CHECK(ruled_out.causes.front().cause == a_case.beyond());
  CHECK(ruled_out.next.kind == Next::Kind::beyond);

  const Case none = make_case({}, 0.1);
  CHECK(none.causes.size() == 1);
  CHECK(none.causes[0].prior == 1);
  CHECK(look(none, {}).next.kind == Next::Kind::beyond);
}

// --- properties over drawn cases

namespace {

const std::vector<std::string> kWords = {"proves",       "suggests",      "hints",
                                         "says nothing", "hints against", "suggests against",
                                         "rules out"};

Case drawn_case(std::mt19937& random, std::size_t causes, std::size_t checks) {
  std::vector<Candidate> candidates;
  for (std::size_t i = 0; i < causes; ++i) {
    std::vector<test::CheckText> own;
    for (std::size_t k = 0; k < checks; ++k) {
      if (random() % 3 == 0) continue;
      own.push_back({.key = "k" + std::to_string(k),
                     .expect = k % 2 == 0 ? "5 .. 10 V" : "yes",
                     .outside = kWords[random() % 7],
                     .inside = kWords[random() % 7],
                     .minutes = std::to_string(1 + random() % 30),
                     .access = k % 3 == 0 ? "cover 4" : "",
                     .fact = k % 4 == 0 ? "f" : ""});
    }
    candidates.push_back(
        candidate("t" + std::to_string(i), own, 0.01 * static_cast<double>(1 + random() % 100)));
  }
  return make_case(candidates, 0.2);
}

std::vector<Answer> drawn_answers(std::mt19937& random, const Case& a_case) {
  std::vector<Answer> answers;
  for (const Check& check : a_case.checks) {
    const Kind kind = std::vector{Kind::yes,         Kind::no,      Kind::not_sure,
                                  Kind::not_showing, Kind::skipped, Kind::reading}[random() % 6];
    answers.push_back({check.id, kind, std::to_string(3 + random() % 10) + " V"});
  }
  return answers;
}

}  // namespace

TEST_CASE("weights sum to one, are numbers, and do not depend on the order of the answers") {
  std::mt19937 random(23);
  for (int round = 0; round < 60; ++round) {
    const Case a_case = drawn_case(random, 1 + random() % 7, 1 + random() % 8);
    std::vector<Answer> answers = drawn_answers(random, a_case);
    const Outlook first = look(a_case, answers);
    double sum = 0;
    for (const Standing& standing : first.causes) {
      REQUIRE(std::isfinite(standing.weight));
      REQUIRE(standing.weight >= 0);
      sum += standing.weight;
      for (const Entry& entry : standing.ledger) REQUIRE(std::isfinite(entry.ratio));
    }
    REQUIRE(sum == doctest::Approx(1).epsilon(1e-12));
    REQUIRE(first.of(a_case.beyond()).weight >= kLeastBeyond * (1 - 1e-9));
    for (const Choice& choice : first.choices) REQUIRE(std::isfinite(choice.bits_a_minute));
    std::shuffle(answers.begin(), answers.end(), random);
    const Outlook again = look(a_case, answers);
    for (std::size_t i = 0; i < a_case.causes.size(); ++i)
      REQUIRE(again.of(i).weight == first.of(i).weight);
    REQUIRE(again.next.check == first.next.check);
  }
}

TEST_CASE("a check that cannot tell causes apart is never the next, whatever else there is") {
  std::mt19937 random(29);
  for (int round = 0; round < 60; ++round) {
    std::vector<Candidate> candidates;
    for (int i = 0; i < 4; ++i) {
      // Free of cost, by hand, first in every tip, and the same for every cause.
      std::vector<test::CheckText> own = {{.key = "vain",
                                           .outside = "says nothing",
                                           .inside = "says nothing",
                                           .minutes = "0.1",
                                           .tools = ""}};
      if (random() % 2 == 0)
        own.push_back({.key = "k" + std::to_string(random() % 3), .minutes = "200"});
      candidates.push_back(candidate("t" + std::to_string(i), own));
    }
    const Case a_case = make_case(candidates, 0.1);
    const Outlook outlook = look(a_case, drawn_answers(random, make_case(candidates, 0.1)));
    for (const Outlook& each : {outlook, look(a_case, {})}) {
      REQUIRE(each.next.check != "vain");
      REQUIRE(each.next.by_information != "vain");
    }
  }
}
