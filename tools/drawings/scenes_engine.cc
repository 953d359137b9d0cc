#include <array>

#include "parts.h"
#include "scenes.h"

namespace baylore::drawings {
namespace {

// Front of the engine with the pump's own pulley off: the housing's five bolts lie open.
void coolant_pump(Pen& pen) {
  // The block behind.
  pen.stroke(Path::lines({{96, 40},
                          {96, 190},
                          {60, 240},
                          {60, 540},
                          {140, 612},
                          {800, 612},
                          {880, 540},
                          {880, 250}}),
             Weight::kContext);
  pen.stroke(Path::lines({{96, 84}, {700, 84}, {700, 40}}), Weight::kContext);
  pen.line({170, 40}, {170, 84}, Weight::kContext);

  // Neck, upper right, and the hose on it.
  pen.tube(Path::lines({{690, 290}, {800, 168}}), 70, Tone::kWhite, Weight::kHeavy);
  pen.tube(Path::bent({{770, 201}, {832, 132}, {905, 112}}, 70), 90, Tone::kWhite, Weight::kHeavy);
  hose_end(pen, {770, 201}, -48, 90);
  torn(pen, polar({905, 112}, 45, -105), polar({905, 112}, 45, 75), Weight::kDetail);
  hose_clamp(pen, {793, 175}, -48, 90);

  // Accessory belt around crank and tensioner.
  const Point crank{262, 410};
  const Point idler{404, 142};
  const Point hub{640, 352};
  const std::array<Wheel, 2> wheels{{{crank, 154}, {idler, 68}}};

  // Housing.
  for (int i = 0; i < 5; ++i) {
    pen.circle(polar(hub, 136, -90 + 72 * i), 46, Tone::kPart, Weight::kHeavy);
  }
  pen.circle(hub, 166, Tone::kPart, Weight::kHeavy);
  for (int i = 0; i < 5; ++i) {
    pen.circle(polar(hub, 136, -90 + 72 * i), 43.2, Tone::kPart, Weight::kNone);
  }
  pen.circle(hub, 104, Tone::kWhite, Weight::kHeavy);
  pen.circle(hub, 92, Tone::kNone, Weight::kDetail);
  pen.circle(hub, 60, Tone::kNone, Weight::kDetail);
  for (int i = 0; i < 4; ++i) {
    pen.circle(polar(hub, 76, 45 + 90 * i), 8, Tone::kShade, Weight::kDetail);
  }
  pen.circle(hub, 28, Tone::kWhite, Weight::kLine);
  pen.circle(hub, 5, Tone::kInk, Weight::kNone);
  for (int i = 0; i < 5; ++i) {
    const Point at = polar(hub, 136, -90 + 72 * i);
    hex_bolt(pen, at, 24, 30 + 12 * i);
    pen.feature("bolt " + std::to_string(i + 1), at);
  }
  const Point weep{hub.x, hub.y + 136};
  pen.dot(weep, 12);
  pen.feature("weep hole", weep);

  pulley(pen, crank, 150, 48, 6, Tone::kWhite);
  pen.circle(crank, 110, Tone::kNone, Weight::kDetail);
  pen.shape(Path::regular(crank, 30, 6, 30), Tone::kWhite, Weight::kLine);
  pen.circle(crank, 15, Tone::kNone, Weight::kDetail);
  pulley(pen, idler, 64, 24, 0, Tone::kWhite);
  pen.circle(idler, 9, Tone::kShade, Weight::kDetail);
  pen.band(belt_run(wheels), 11, Tone::kInk);
}

// Timing chain with the cover off: cams, crank, guide, tensioner.
void timing_chain(Pen& pen) {
  const Point left{300, 172};
  const Point right{660, 172};
  const Point crank{480, 524};
  pen.shape(Path::cast({{150, 44},
                        {810, 44},
                        {850, 290},
                        {760, 490},
                        {690, 618},
                        {190, 618},
                        {86, 570},
                        {86, 330},
                        {128, 270}},
                       40),
            Tone::kNone, Weight::kLine);
  for (const Point& p : {Point{172, 84}, Point{480, 78}, Point{788, 84}, Point{812, 290},
                         Point{716, 510}, Point{650, 590}, Point{340, 590}, Point{118, 352}}) {
    pen.circle(p, 13, Tone::kWhite, Weight::kContext);
    pen.circle(p, 6, Tone::kNone, Weight::kContext);
  }
  // Inspection plug on the cover's edge.
  bolt_side(pen, {84, 440}, 0, 30, 54);
  pen.feature("inspection plug", {64, 440});
  const std::array<Wheel, 3> wheels{{{left, 112}, {right, 112}, {crank, 66}}};
  // Fixed guide on the tight side, the tensioner's blade on the slack side.
  pen.shape(Path()
                .move({752, 290})
                .curve({722, 350}, {640, 440}, {574, 505})
                .line({596, 522})
                .curve({668, 460}, {748, 364}, {778, 300})
                .close(),
            Tone::kWhite, Weight::kLine);
  hex_bolt(pen, {752, 318}, 14);
  hex_bolt(pen, {618, 478}, 14);
  pen.shape(Path()
                .move({204, 284})
                .curve({230, 352}, {310, 440}, {386, 508})
                .line({364, 528})
                .curve({274, 462}, {196, 372}, {176, 296})
                .close(),
            Tone::kPart, Weight::kHeavy);
  hex_bolt(pen, {192, 292}, 15);
  // Tensioner body, its plunger all the way out.
  {
    const Pen::Frame frame(pen, {268, 440}, -38);
    pen.shape(Path::box({-84, -15}, 92, 30, 3), Tone::kPart, Weight::kLine);
    for (double x = -76; x < -6; x += 9) {
      pen.stroke(Path::lines({{x, -15}, {x + 5, -6}, {x + 9, -15}}), Weight::kDetail);
    }
    pen.shape(Path::cast({{-178, -40}, {-78, -40}, {-78, 40}, {-178, 40}}, 10), Tone::kPart,
              Weight::kHeavy);
    pen.line({-100, -40}, {-100, 40}, Weight::kDetail);
    hex_bolt(pen, {-150, -54}, 17);
    hex_bolt(pen, {-150, 54}, 17);
    pen.circle({-132, 0}, 9, Tone::kShade, Weight::kDetail);
    pen.feature("tensioner plunger, measure here", {-46, 2});
  }
  for (const Point& cam : {left, right}) {
    sprocket(pen, cam, 114, 32, 0, Tone::kWhite);
    pen.circle(cam, 56, Tone::kWhite, Weight::kLine);
    for (int i = 0; i < 5; ++i) {
      pen.circle(polar(cam, 73, 72 * i + 20), 10, Tone::kShade, Weight::kDetail);
    }
    hex_bolt(pen, cam, 30);
    pen.dot(polar(cam, 90, -90), 6);
  }
  pen.feature("inlet cam sprocket", left);
  pen.feature("exhaust cam sprocket", right);
  sprocket(pen, crank, 68, 18, 0, Tone::kWhite);
  pen.circle(crank, 34, Tone::kWhite, Weight::kLine);
  hex_bolt(pen, crank, 24);
  chain(pen, belt_run(wheels));
  pen.feature("crank sprocket: no key, held by clamp alone", crank);
  pen.feature("fixed guide, breaks at its foot", {598, 500});
}

// Exhaust manifold and first catalyst from the front, the shield off.
void exhaust_manifold_web_crack(Pen& pen) {
  const std::array<double, 4> ports{178, 380, 580, 782};
  // Head above and below the flange.
  pen.stroke(Path::lines({{58, 60}, {905, 60}}), Weight::kContext);
  pen.stroke(Path::lines({{58, 60}, {58, 270}, {100, 270}}), Weight::kContext);
  pen.stroke(Path::lines({{905, 60}, {905, 270}, {860, 270}}), Weight::kContext);

  // Runners, the outer pair first; then the catalyst and the collector over their ends.
  pen.tube(Path::bent({{ports[0], 180}, {ports[0], 310}, {430, 450}}, 110), 88, Tone::kPart,
           Weight::kHeavy);
  pen.tube(Path::bent({{ports[3], 180}, {ports[3], 310}, {530, 450}}, 110), 88, Tone::kPart,
           Weight::kHeavy);
  // Catalyst.
  pen.shape(
      Path::cast({{386, 470}, {574, 470}, {612, 530}, {612, 624}, {348, 624}, {348, 530}}, 18),
      Tone::kWhite, Weight::kHeavy);
  pen.line({350, 544}, {610, 544}, Weight::kDetail);
  pen.line({350, 600}, {610, 600}, Weight::kDetail);
  pen.tube(Path::bent({{ports[1], 180}, {ports[1], 300}, {438, 452}}, 120), 88, Tone::kPart,
           Weight::kHeavy);
  pen.tube(Path::bent({{ports[2], 180}, {ports[2], 300}, {522, 452}}, 120), 88, Tone::kPart,
           Weight::kHeavy);
  pen.shape(Path::cast({{384, 424}, {480, 404}, {576, 424}, {580, 474}, {380, 474}}, 20),
            Tone::kPart, Weight::kHeavy);
  // Web between runners two and three.
  pen.shape(Path()
                .move({424, 262})
                .line({536, 262})
                .line({528, 330})
                .line({490, 408})
                .line({470, 408})
                .line({432, 330})
                .close(),
            Tone::kPart, Weight::kLine);
  pen.stroke(
      Path::lines(
          {{452, 286}, {470, 300}, {462, 318}, {486, 334}, {474, 352}, {494, 368}, {484, 386}}),
      Weight::kHeavy);
  pen.stroke(Path::lines({{486, 334}, {504, 340}}), Weight::kLine);
  // Flange: pads round each runner, joined by straps.
  pen.shape(Path::box({96, 146}, 768, 60, 10), Tone::kPart, Weight::kHeavy);
  for (const double x : ports) {
    pen.shape(Path::cast({{x - 70, 112}, {x + 70, 112}, {x + 70, 238}, {x - 70, 238}}, 28),
              Tone::kPart, Weight::kHeavy);
  }
  for (const double x : ports) {
    pen.tube(Path::lines({{x, 170}, {x, 262}}), 88, Tone::kPart, Weight::kHeavy);
    pen.shape(Path().move({x - 44, 172}).curve({x - 44, 138}, {x + 44, 138}, {x + 44, 172}),
              Tone::kPart, Weight::kHeavy);
  }
  // Seven studs: one at each end, the others in the three gaps.
  const std::array<Point, 7> studs{
      {{92, 176}, {279, 134}, {279, 216}, {480, 216}, {681, 134}, {681, 216}, {868, 176}}};
  for (const Point& p : studs) {
    pen.circle(p, 32, Tone::kPart, Weight::kHeavy);
    stud_nut(pen, p, 22, 14);
  }
  // Soot: a fan from the gasket at runner three, up over the head's face.
  for (int row = 0; row < 7; ++row) {
    for (int i = -row - 1; i <= row + 1; ++i) {
      const double at = -102 + 46.0 * i / (row + 2);
      pen.dot(polar({530, 146}, 16 + 11.0 * row, at), 5.2 - 0.45 * row);
    }
  }
  // Sensor in the collector.
  {
    const Pen::Frame frame(pen, {590, 484}, 14);
    pen.shape(Path::box({-22, -20}, 26, 40, 4), Tone::kWhite, Weight::kHeavy);
    pen.shape(Path::box({4, -28}, 32, 56, 4), Tone::kWhite, Weight::kHeavy);
    pen.line({4, -10}, {36, -10}, Weight::kDetail);
    pen.line({4, 10}, {36, 10}, Weight::kDetail);
    pen.shape(Path::box({36, -19}, 74, 38, 6), Tone::kWhite, Weight::kHeavy);
    pen.shape(Path::box({110, -12}, 24, 24, 4), Tone::kInk, Weight::kLine);
    wire(pen, Path().move({134, 0}).curve({200, 0}, {220, -50}, {290, -80}), 13);
  }
  pen.feature("soot between two and three", {516, 92});
  pen.feature("web crack, under the shield", {476, 338});
  pen.feature("front sensor", {640, 496});
  pen.feature("stud 1, breaks", studs[0]);
  pen.feature("stud 7, breaks", studs[6]);
}

constexpr std::array<Scene, 3> kScenes{
    {{"coolant-pump-weep-hole", coolant_pump},
     {"timing-chain-tensioner-travel", timing_chain},
     {"exhaust-manifold-web-crack", exhaust_manifold_web_crack}}};

}  // namespace

std::span<const Scene> engine_scenes() { return kScenes; }

}  // namespace baylore::drawings
