// Shares, survival and Weibull lives against published examples and against numbers computed apart
// from this project with R 4.2 (base, survival 3.x, MASS) and SciPy 1.10. The data sets are those
// of R's packages survival and MASS; the books they come from stand beside each.

#include "doctest/doctest.h"

#include <cmath>
#include <string>
#include <vector>

#include "outside/table.h"
#include "quality/compare.h"
#include "quality/cost.h"
#include "quality/interval.h"
#include "quality/survival.h"
#include "quality/weibull.h"
#include "trade/near.h"

using namespace baylore::quality;

namespace {

// `13 13+ 18`: a plus sign after what had not failed by then.
std::vector<Life> lives(const std::string& text) {
  std::vector<Life> out;
  for (const std::string& word : split(text, ' ')) {
    if (!word.empty()) out.push_back({std::stod(word), word.back() != '+'});
  }
  return out;
}

std::vector<Life> joined(std::vector<Life> a, const std::vector<Life>& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

WeibullFit fitted(const std::vector<Life>& of) {
  const auto fit = fit_weibull(of);
  REQUIRE(std::holds_alternative<WeibullFit>(fit));
  return std::get<WeibullFit>(fit);
}

// R's survival::aml; Miller, Survival Analysis, 1981.
const std::vector<Life> kMaintained = lives("9 13 13+ 18 23 28+ 31 34 45+ 48 161+");
const std::vector<Life> kNotMaintained = lives("5 5 8 8 12 16+ 23 27 30 33 43 45");
// R's survival::ovarian; Edmunson et al., Cancer Treatment Reports 63, 1979.
const std::vector<Life> kOvarian = lives(
    "59 115 156 421+ 431 448+ 464 475 477+ 563 638 744+ 769+ 770+ 803+ 855+ 1040+ 1106+ 1129+ "
    "1206+ 1227+ 268 329 353 365 377+");
// R's survival::genfan; Nelson, Applied Life Data Analysis, 1982: hours of diesel generator fans.
const std::vector<Life> kFans = lives(
    "450 460+ 1150 1150 1560+ 1600 1660+ 1850+ 1850+ 1850+ 1850+ 1850+ 2030+ 2030+ 2030+ 2070 2070 "
    "2080 2200+ 3000+ 3000+ 3000+ 3000+ 3100 3200+ 3450 3750+ 3750+ 4150+ 4150+ 4150+ 4150+ 4300+ "
    "4300+ 4300+ 4300+ 4600 4850+ 4850+ 4850+ 4850+ 5000+ 5000+ 5000+ 6100+ 6100 6100+ 6100+ 6300+ "
    "6450+ 6450+ 6700+ 7450+ 7800+ 7800+ 8100+ 8100+ 8200+ 8500+ 8500+ 8500+ 8750+ 8750 8750+ "
    "9400+ "
    "9900+ 10100+ 10100+ 10100+ 11500+");
// An invented set of ten parts, in miles.
const std::vector<Life> kShop =
    lives("4200 9100 12500+ 15000 15000+ 18300 21000+ 21000 26500 30000+");
const std::vector<Life> kSix = lives("16 34 53 75 93 120");  // Kececioglu's six units

}  // namespace

TEST_CASE("Wilson's and Jeffreys' intervals") {
  // Wilson, J. Am. Stat. Assoc. 22:209, 1927; Newcombe, Stat. Med. 17:857, 1998 (81/263: .2553 to
  // .3662; 15/148: .0624 to .1605; 0/20: 0 to .1611; 1/29: .0061 to .1718); Brown, Cai, DasGupta,
  // Stat. Sci. 16:101, 2001. Digits: R and SciPy.
  struct Row {
    double hits, of, wilson_low, wilson_high, jeffreys_low, jeffreys_high, mean;
  };
  const std::vector<Row> rows = {
      {81, 263, 0.2552885199, 0.3662095770, 0.2545219350, 0.3656474992, 0.3087121212},
      {15, 148, 0.06238639953, 0.1604872417, 0.06044851701, 0.1576431435, 0.1040268456},
      {0, 20, 0, 0.1611251581, 0, 0.1166389829, 0.02380952381},
      {1, 29, 0.006113214293, 0.1717552188, 0.003746173649, 0.1500776860, 0.05},
      {3, 40, 0.02583602577, 0.1986423352, 0.02157667444, 0.1868142972, 0.08536585366},
      {9, 30, 0.1666474827, 0.4787578746, 0.1599931884, 0.4765442028, 0.3064516129}};
  for (const Row& row : rows) {
    CAPTURE(row.hits);
    const Interval w = wilson(row.hits, row.of, 0.95);
    CHECK(near(w.low, row.wilson_low, 1e-9));
    CHECK(near(w.high, row.wilson_high, 1e-9));
    const Interval j = jeffreys(row.hits, row.of, 0.95);
    CHECK(near(j.low, row.jeffreys_low, 1e-9));
    CHECK(near(j.high, row.jeffreys_high, 1e-9));
    CHECK(near(jeffreys_mean(row.hits, row.of), row.mean, 1e-9));
    // The posterior's own interval has no end moved to 0.
    if (row.hits == 0) {
      CHECK(near(interval(jeffreys_posterior(0, 20), 0.95).low, 2.424647846e-05, 1e-9));
    }
  }
  CHECK(wilson(20, 20, 0.95).high == 1);
  CHECK(jeffreys(20, 20, 0.95).high == 1);
  CHECK(near(jeffreys(20, 20, 0.95).low, 1 - 0.1166389829, 1e-9));
}

TEST_CASE("the probability that one share is greater than another") {
  struct Row {
    double a, of_a, b, of_b, jeffreys, uniform;
  };
  // R's integrate() over the quantile form, and SciPy; 5/40 against 1/45 also by 4 million draws:
  // .970046.
  const std::vector<Row> rows = {{5, 40, 1, 45, 0.9701598610, 0.9607561494},
                                 {9, 30, 3, 40, 0.9934585205, 0.9922685494},
                                 {2, 20, 2, 20, 0.5, 0.5},
                                 {0, 12, 3, 15, 0.04084661965, 0.07662835249},
                                 {12, 200, 4, 180, 0.9688064715, 0.9635380092}};
  for (const Row& row : rows) {
    CAPTURE(row.a);
    CHECK(near(
        chance_greater(jeffreys_posterior(row.a, row.of_a), jeffreys_posterior(row.b, row.of_b)),
        row.jeffreys, 1e-8));
    CHECK(
        near(chance_greater(uniform_posterior(row.a, row.of_a), uniform_posterior(row.b, row.of_b)),
             row.uniform, 1e-8));
    CHECK(near(
        chance_greater(jeffreys_posterior(row.b, row.of_b), jeffreys_posterior(row.a, row.of_a)),
        1 - row.jeffreys, 1e-7));
  }
  // The closed form for whole parameters: the sum over i < a2 of B(a1+i, b1+b2) / ((b2+i) B(1+i,
  // b2) B(a1, b1)) is P(2 > 1).
  const auto log_beta = [](double a, double b) {
    return std::lgamma(a) + std::lgamma(b) - std::lgamma(a + b);
  };
  const Beta one = uniform_posterior(3, 40);
  const Beta two = uniform_posterior(9, 30);
  double sum = 0;
  for (int i = 0; i < 10; ++i) {
    sum += std::exp(log_beta(one.a + i, one.b + two.b) - std::log(two.b + i) -
                    log_beta(1 + i, two.b) - log_beta(one.a, one.b));
  }
  CHECK(near(chance_greater(two, one), sum, 1e-9));
}

TEST_CASE("how many of the next jobs come back") {
  // Beta-binomial after 3 of 40; R's choose() and beta().
  const std::vector<double> p = next_hits(jeffreys_posterior(3, 40), 10);
  REQUIRE(p.size() == 11);
  CHECK(near(p[0], 0.44757410924, 1e-9));
  CHECK(near(p[1], 0.33688373814, 1e-9));
  CHECK(near(p[2], 0.14993177357, 1e-9));
  CHECK(near(p[3], 0.04941571563, 1e-9));
  CHECK(near(1 - p[0], 0.5524258908, 1e-9));
  double all = 0;
  for (const double each : p) all += each;
  CHECK(near(all, 1, 1e-12));
}

TEST_CASE("Fisher's exact test") {
  // The lady and the tea: Fisher, The Design of Experiments, 1935.
  const FisherTest tea = fisher_exact(3, 1, 1, 3);
  CHECK(near(tea.two_sided, 0.4857142857, 1e-9));
  CHECK(near(tea.greater, 0.2428571429, 1e-9));
  // Convictions of twins, Fisher 1962: R's fisher.test example.
  const FisherTest twins = fisher_exact(2, 15, 10, 3);
  CHECK(near(twins.two_sided, 0.0005367241191, 1e-9));
  CHECK(near(twins.less, 0.0004651809434, 1e-9));
  CHECK(near(twins.conditional_odds_ratio, 0.04693661, 1e-6));  // R prints it so
  const FisherTest parts = fisher_exact(5, 35, 1, 44);
  CHECK(near(parts.two_sided, 0.09510337586, 1e-9));
  CHECK(near(parts.greater, 0.0764798622, 1e-9));
  CHECK(near(parts.sample_odds_ratio, 6.28571, 1e-6));
  // R stops its search at four digits and prints 6.16574; with exact fractions it is 6.1668457866.
  CHECK(near(parts.conditional_odds_ratio, 6.16574, 2e-4));
  CHECK(near(parts.conditional_odds_ratio, 6.1668457866, 1e-9));
  const FisherTest more = fisher_exact(9, 21, 3, 37);
  CHECK(near(more.two_sided, 0.02274693537, 1e-9));
  CHECK(near(more.greater, 0.01570288585, 1e-9));
}

TEST_CASE("Kaplan and Meier's curve with three kinds of band: aml, maintained") {
  struct Row {
    double time;
    int at_risk;
    double survival, error, log_low, log_high, log_log_low, log_log_high;
  };
  // R's survfit with conf.type "log" and "log-log".
  const std::vector<Row> rows = {
      {9, 11, 0.9090909091, 0.0866784172, .754133845, 1, .508080206, .98667382},
      {13, 10, 0.8181818182, 0.1162912998, .619248987, 1, .447428615, .95116223},
      {18, 8, 0.7159090909, 0.1396649706, .488426287, 1, .350190386, .89902397},
      {23, 7, 0.6136363636, 0.1526323310, .376867060, .99915760, .265752040, .83529924},
      {31, 5, 0.4909090909, 0.1641932672, .254859951, .94558496, .167330910, .75339979},
      {34, 4, 0.3681818182, 0.1626688858, .154877118, .87526068, .092829575, .65704083},
      {48, 2, 0.1840909091, 0.1534927458, .035917898, .94352577, .011738480, .52501484}};
  const Curve curve = kaplan_meier(kMaintained);
  REQUIRE(curve.steps.size() == rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const Step& step = curve.steps[i];
    const Row& row = rows[i];
    CAPTURE(row.time);
    CHECK(step.time == row.time);
    CHECK(step.at_risk == row.at_risk);
    CHECK(near(step.survival, row.survival, 1e-9));
    CHECK(near(step.standard_error(), row.error, 1e-9));
    const Interval by_log = band(step, Band::log, 0.95);
    CHECK(near(by_log.low, row.log_low, 3e-8));
    CHECK(near(by_log.high, row.log_high, 1e-7));
    const Interval by_log_log = band(step, Band::log_log, 0.95);
    CHECK(near(by_log_log.low, row.log_log_low, 1e-7));
    CHECK(near(by_log_log.high, row.log_log_high, 1e-7));
    // Plain: survival +- 1.96 Greenwood errors, cut.
    const Interval plain = band(step, Band::plain, 0.95);
    CHECK(near(plain.low, std::max(0.0, row.survival - 1.959963984540054 * row.error), 1e-8));
    CHECK(near(plain.high, std::min(1.0, row.survival + 1.959963984540054 * row.error), 1e-8));
  }
  CHECK(curve.median() == 31);
  CHECK(curve.at(13) == curve.steps[1].survival);
  CHECK(curve.at(161).has_value());
  CHECK_FALSE(curve.at(162).has_value());
}

TEST_CASE("Kaplan and Meier's curve: aml not maintained, ovarian, gehan, motors") {
  const Curve curve = kaplan_meier(kNotMaintained);
  const std::vector<std::pair<double, double>> rows = {
      {5, .833333333},  {8, .666666667},  {12, .583333333}, {23, .486111111}, {27, .388888889},
      {30, .291666667}, {33, .194444444}, {43, .097222222}, {45, 0}};
  REQUIRE(curve.steps.size() == rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    CHECK(curve.steps[i].time == rows[i].first);
    CHECK(near(curve.steps[i].survival, rows[i].second, 1e-8));
  }
  CHECK(curve.median() == 23);
  CHECK(std::isnan(band(curve.steps.back(), Band::log_log, 0.95).low));

  const Curve ovarian = kaplan_meier(kOvarian);
  for (const auto& [time, survival] : std::vector<std::pair<double, double>>{{59, .961538462},
                                                                             {365, .730769231},
                                                                             {431, .687782805},
                                                                             {464, .641930618},
                                                                             {638, .496732026}}) {
    CHECK(near(ovarian.at(time).value_or(-1), survival, 1e-8));
  }

  // Freireich et al., Blood 21, 1963 (MASS::gehan), those treated; the curve stands in most books,
  // such as Cox and Oakes, Analysis of Survival Data, 1984.
  const Curve treated =
      kaplan_meier(lives("6 6 6 6+ 7 9+ 10 10+ 11+ 13 16 17+ 19+ 20+ 22 23 25+ 32+ 32+ 34+ 35+"));
  for (const auto& [time, survival] : std::vector<std::pair<double, double>>{
           {6, .857}, {7, .807}, {10, .753}, {13, .690}, {16, .627}, {22, .538}, {23, .448}}) {
    CHECK(std::fabs(treated.at(time).value_or(-1) - survival) <= 0.0005);
  }

  // Nelson and Hahn, Technometrics 14, 1972 (MASS::motors), those at 170 and 190 °C. No time of
  // censoring lies before a failure: each step is a count over ten.
  const Curve motors = kaplan_meier(lives("1764 2772 3444 3542 3780 4860 5196 5448+ 5448+ 5448+"));
  CHECK(near(motors.at(5196).value_or(-1), 0.3, 1e-12));
  CHECK(near(kaplan_meier(lives("408 408 1344 1344 1440 1680+ 1680+ 1680+ 1680+ 1680+"))
                 .at(1680)
                 .value_or(-1),
             0.5, 1e-12));
}

TEST_CASE("the log-rank test: aml, gehan") {
  const LogRank aml = log_rank(kMaintained, kNotMaintained);
  CHECK(near(aml.chi_square, 3.396388699, 1e-9));
  CHECK(near(aml.p, 0.065339322, 1e-7));
  CHECK(near(aml.expected_a, 10.689336, 1e-6));
  CHECK(near(aml.expected_b, 7.310664, 1e-6));
  CHECK(aml.observed_a == 7);
  CHECK(aml.observed_b == 11);
  // The treated of gehan: 9 observed, 19.3 expected; R prints chi-square 16.8.
  const LogRank gehan =
      log_rank(lives("6 6 6 6+ 7 9+ 10 10+ 11+ 13 16 17+ 19+ 20+ 22 23 25+ 32+ 32+ 34+ 35+"),
               lives("1 1 2 2 3 4 4 5 5 8 8 8 8 11 11 12 12 15 17 22 23"));
  CHECK(std::fabs(gehan.chi_square - 16.8) <= 0.05);
  CHECK(std::fabs(gehan.expected_a - 19.25) <= 0.005);
  CHECK(gehan.a_worse > 0.999);
}

TEST_CASE("Weibull by maximum likelihood with censoring") {
  struct Row {
    std::string name;
    std::vector<Life> lives;
    int count, failed;
    double shape, scale, log_likelihood, tenth, median;
  };
  // R's survreg(dist = "weibull"), and an independent solution of the likelihood equations.
  const std::vector<Row> rows = {{"aml", joined(kMaintained, kNotMaintained), 23, 18, 1.0966090858,
                                  38.1868109957, -83.1786692328, 4.905591935, 27.33768997},
                                 {"maintained", kMaintained, 11, 7, 1.0318542417, 60.3228897753,
                                  -35.7039563147, 6.812881154, 42.28841973},
                                 {"not maintained", kNotMaintained, 12, 11, 1.57362854765,
                                  25.0832378882, -44.14421212, 6.002343177, 19.87157631},
                                 {"ovarian", kOvarian, 26, 12, 1.10805973957, 1225.41895893,
                                  -97.9539010471, 160.7949785, 880.3046769},
                                 {"six units", kSix, 6, 6, 1.93267798498, 73.5260741878,
                                  -29.5849216149, 22.9487232, 60.82495584},
                                 {"shop", kShop, 10, 6, 2.06294671218, 24160.2503551,
                                  -65.9603400207, 8116.165482, 20227.51854}};
  for (const Row& row : rows) {
    CAPTURE(row.name);
    const WeibullFit fit = fitted(row.lives);
    CHECK(fit.count == row.count);
    CHECK(fit.failed == row.failed);
    CHECK(near(fit.shape, row.shape, 1e-8));
    CHECK(near(fit.scale, row.scale, 1e-8));
    CHECK(near(fit.log_likelihood, row.log_likelihood, 1e-9));
    CHECK(near(fit.time_when(0.1), row.tenth, 1e-8));
    CHECK(near(fit.time_when(0.5), row.median, 1e-8));
  }
  // What survreg prints for ovarian: intercept 7.111 (error .293), log of the scale -0.103 (.254);
  // intercept is log(scale), its scale is 1 / shape.
  const WeibullFit ovarian = fitted(kOvarian);
  CHECK(near(std::log(ovarian.scale), 7.11103807, 1e-8));
  CHECK(near(-std::log(ovarian.shape), -0.102610503, 1e-7));
  CHECK(near(ovarian.error_log_scale, .29272796, 1e-7));
  CHECK(near(ovarian.error_log_shape, .2536047, 1e-6));
  // By numerical second derivatives of the likelihood at the maximum, worked out apart: they give
  // the two errors above, and with them these. 1.6449 errors either way hold nine in ten.
  CHECK(near(ovarian.correlation, -0.455992542, 1e-7));
  CHECK(near(ovarian.time_interval(0.1, 0.9).low, 75.2014503, 1e-6));
  CHECK(near(ovarian.time_interval(0.1, 0.9).high, 343.81019, 1e-6));
  CHECK(near(ovarian.time_interval(0.5, 0.9).low, 569.09621, 1e-6));
  CHECK(near(ovarian.time_interval(0.5, 0.9).high, 1361.69651, 1e-6));
}

TEST_CASE("Weibull: generator fans and motor insulation as published") {
  // Nelson's fans, in thousands of hours, as a statistical package's manual prints them (from
  // memory): scale 26.2968 with error 12.2514, shape 1.0584 with error 0.2683.
  std::vector<Life> thousands = kFans;
  for (Life& life : thousands) life.time /= 1000;
  const WeibullFit fans = fitted(thousands);
  CHECK(fans.count == 70);
  CHECK(fans.failed == 12);
  CHECK(std::fabs(fans.scale - 26.2968) <= 0.00006);
  CHECK(std::fabs(fans.scale * fans.error_log_scale - 12.2514) <= 0.0006);
  CHECK(std::fabs(fans.shape - 1.0584) <= 0.00006);
  CHECK(std::fabs(fans.shape * fans.error_log_shape - 0.2683) <= 0.00006);

  // Venables and Ripley, Modern Applied Statistics with S, 4th edition 2002, chapter 13 (from
  // memory): survreg(Surv(time, cens) ~ temp, motors) gives intercept 16.3185, slope -0.0453, scale
  // 0.334, log-likelihood -147.4. With the slope taken as known, times stretched by it have one
  // Weibull life, whose likelihood differs by what the stretching brings.
  constexpr double kSlope = 0.0453;
  std::vector<Life> stretched;
  double brought = 0;
  const auto add = [&](double temperature, const std::string& times) {
    for (Life life : lives(times)) {
      if (life.failed) brought += kSlope * temperature;
      life.time *= std::exp(kSlope * temperature);
      stretched.push_back(life);
    }
  };
  add(150, "8064+ 8064+ 8064+ 8064+ 8064+ 8064+ 8064+ 8064+ 8064+ 8064+");
  add(170, "1764 2772 3444 3542 3780 4860 5196 5448+ 5448+ 5448+");
  add(190, "408 408 1344 1344 1440 1680+ 1680+ 1680+ 1680+ 1680+");
  add(220, "408 408 504 504 504 528+ 528+ 528+ 528+ 528+");
  const WeibullFit motors = fitted(stretched);
  CHECK(motors.failed == 17);
  CHECK(std::fabs(std::log(motors.scale) - 16.3185) <= 0.012);  // half a digit of the slope
  CHECK(std::fabs(1 / motors.shape - 0.334) <= 0.001);
  CHECK(std::fabs(motors.log_likelihood + brought + 147.4) <= 0.05);
}

TEST_CASE("median ranks and the lines through them") {
  // Benard and Bos-Levenbach 1953; exact: R's qbeta(0.5, i, n - i + 1).
  CHECK(near(median_rank(1, 10, MedianRank::benard), 0.0673076923, 1e-9));
  CHECK(near(median_rank(1, 10, MedianRank::exact), 1 - std::pow(2, -0.1), 1e-12));
  CHECK(near(median_rank(5, 10, MedianRank::benard), 0.4519230769, 1e-9));
  CHECK(near(median_rank(5, 10, MedianRank::exact), 0.4516941562, 1e-9));
  CHECK(near(median_rank(2, 5, MedianRank::benard), 0.314814815, 1e-8));
  CHECK(near(median_rank(2, 5, MedianRank::exact), 0.313810170, 1e-8));
  CHECK(near(median_rank(1, 6, MedianRank::benard), 0.109375, 1e-12));
  CHECK(near(median_rank(1, 6, MedianRank::exact), 0.109101282, 1e-8));
  double farthest = 0;
  for (int n = 2; n <= 50; ++n) {
    for (int i = 1; i <= n; ++i) {
      farthest = std::max(farthest, std::fabs(median_rank(i, n, MedianRank::benard) -
                                              median_rank(i, n, MedianRank::exact)));
    }
  }
  CHECK(near(farthest, 0.001249760, 1e-6));

  // Johnson's adjusted ranks.
  const std::vector<PlotPoint> shop = weibull_points(kShop, MedianRank::benard);
  const std::vector<std::pair<double, double>> ranks = {{1, .0673076923},    {2, .163461538},
                                                        {3.125, .271634615}, {4.4375, .397836538},
                                                        {5.75, .524038462},  {7.5, .692307692}};
  REQUIRE(shop.size() == ranks.size());
  for (std::size_t i = 0; i < ranks.size(); ++i) {
    CHECK(near(shop[i].rank, ranks[i].first, 1e-12));
    CHECK(near(shop[i].share, ranks[i].second, 1e-8));
  }

  const std::vector<PlotPoint> six = weibull_points(kSix, MedianRank::exact);
  double x = 0, y = 0, xx = 0, yy = 0, xy = 0;
  for (const PlotPoint& point : six) {
    const double lx = std::log(point.time);
    const double ly = std::log(-std::log(1 - point.share));
    x += lx;
    y += ly;
    xx += lx * lx;
    yy += ly * ly;
    xy += lx * ly;
  }
  // The sums of Kececioglu's table (1991): 23.9068, -3.0070, 97.9909, 7.1502, -8.0699, printed from
  // ranks of four digits.
  CHECK(std::fabs(x - 23.9068) <= 0.00006);
  CHECK(std::fabs(y + 3.0070) <= 0.0006);
  CHECK(std::fabs(xx - 97.9909) <= 0.00006);
  CHECK(std::fabs(yy - 7.1502) <= 0.0006);
  CHECK(std::fabs(xy + 8.0699) <= 0.0006);
  const WeibullLine on_y = weibull_line(six, Along::time);
  CHECK(near(on_y.shape, 1.44287461, 1e-8));
  CHECK(near(on_y.scale, 76.0820903, 1e-8));
  const WeibullLine on_x = weibull_line(six, Along::share);
  CHECK(near(on_x.shape, 1.43017935, 1e-8));
  CHECK(near(on_x.scale, 76.3170328, 1e-8));
  CHECK(near(on_x.correlation, 0.995590985, 1e-8));
  const std::vector<PlotPoint> benard = weibull_points(kSix, MedianRank::benard);
  CHECK(near(weibull_line(benard, Along::time).shape, 1.43966328, 1e-8));
  CHECK(near(weibull_line(benard, Along::time).scale, 76.1095958, 1e-8));
  CHECK(near(weibull_line(benard, Along::share).shape, 1.42696711, 1e-8));
  CHECK(near(weibull_line(benard, Along::share).scale, 76.3454155, 1e-8));
  CHECK(near(std::pow(weibull_line(benard, Along::share).correlation, 2), 0.99118116, 1e-8));
}

TEST_CASE("what a choice costs") {
  // Our own arithmetic, worked twice: by hand and in R.
  const Choice cheap{42, jeffreys_posterior(5, 40), {130, 0, 35}};
  const Choice dear{78, jeffreys_posterior(1, 45), {130, 0, 35}};
  // The labour, the part and the goodwill add up to what a comeback costs: here 130, 42 or 78, 35.
  const Choice a{42, cheap.share, {130, 42, 35}};
  const Choice b{78, dear.share, {130, 78, 35}};
  CHECK(near(expected_cost(a).mean, 69.7682927, 1e-8));
  CHECK(near(expected_cost(b).mean, 85.9239130, 1e-8));
  CHECK(near(expected_cost(a).until_good, 42 + 0.1594202899 * 207, 1e-8));
  // The means put in by themselves.
  CHECK(near(42 + 5.0 / 40 * a.comeback.sum(), 67.875, 1e-12));
  CHECK(near(78 + 1.0 / 45 * b.comeback.sum(), 83.4, 1e-12));
  CHECK(near(break_even_share(a, b).value_or(-1), 0.2121928166, 1e-8));
}
