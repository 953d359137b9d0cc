#include <array>

#include "parts.h"
#include "scenes.h"

namespace baylore::drawings {
namespace {

// Battery from the front, its top visible; `corner` is the front face's top left.
void battery(Pen& pen, Point corner, double width, double height, Weight outline) {
  const Point depth{36, -44};
  block(pen, corner, width, height, depth, Tone::kWhite, outline);
  pen.line({corner.x, corner.y + 26}, {corner.x + width, corner.y + 26}, Weight::kDetail);
  pen.line({corner.x + width, corner.y + 26}, {corner.x + width + depth.x, corner.y + 26 + depth.y},
           Weight::kDetail);
}

void post(Pen& pen, Point foot, Weight outline) {
  pen.shape(Path::polygon({{foot.x - 17, foot.y},
                           {foot.x - 13, foot.y - 30},
                           {foot.x + 13, foot.y - 30},
                           {foot.x + 17, foot.y}}),
            Tone::kShade, outline);
}

// Braided strap between frame rail and floor, the battery cable's frame end beside it.
void body_ground_strap_frame(Pen& pen) {
  // Floor sheet with its swage.
  const Path floor =
      Path::bent({{58, 92}, {330, 92}, {372, 142}, {640, 142}, {682, 92}, {905, 92}}, 24);
  pen.tube(floor, 20, Tone::kWhite, Weight::kHeavy);
  // Rubber body mount on its bracket.
  pen.shape(Path::cast({{706, 330}, {886, 330}, {886, 380}, {706, 380}}, 8), Tone::kWhite,
            Weight::kLine);
  pen.shape(Path::cast({{742, 200}, {850, 200}, {862, 330}, {730, 330}}, 18), Tone::kShade,
            Weight::kHeavy);
  pen.shape(Path::cast({{722, 102}, {870, 102}, {850, 200}, {742, 200}}, 18), Tone::kShade,
            Weight::kHeavy);
  pen.shape(Path::box({716, 190}, 160, 20, 6), Tone::kWhite, Weight::kLine);
  bolt_side(pen, {796, 78}, 90, 26, 0);

  // Frame rail: a box section, its top flange turned toward the viewer.
  pen.shape(Path::box({58, 372}, 847, 128), Tone::kWhite, Weight::kHeavy);
  pen.shape(Path::box({58, 360}, 847, 22), Tone::kWhite, Weight::kLine);
  pen.shape(Path::ellipse({470, 440}, 52, 24), Tone::kShade, Weight::kLine);
  pen.circle({330, 466}, 11, Tone::kShade, Weight::kDetail);
  for (const double x : {58.0, 905.0}) {
    pen.line({x, 356}, {x, 502}, Weight::kHeavy);
  }

  // Fuel filter under the rail and the pipes to and from the tank.
  pen.tube(Path::bent({{58, 566}, {480, 566}}, 10), 18, Tone::kWhite, Weight::kLine);
  pen.tube(Path::bent({{640, 566}, {780, 566}, {820, 540}, {905, 540}}, 30), 18, Tone::kWhite,
           Weight::kLine);
  pen.shape(
      Path::cast({{440, 532}, {650, 532}, {680, 566}, {650, 602}, {440, 602}, {410, 566}}, 14),
      Tone::kWhite, Weight::kHeavy);
  pen.line({456, 533}, {456, 601}, Weight::kDetail);
  pen.line({634, 533}, {634, 601}, Weight::kDetail);
  pen.shape(Path::box({520, 500}, 50, 32), Tone::kWhite, Weight::kLine);

  // Battery cable's end on the frame.
  const Point cable{150, 430};
  pen.band(Path().move({116, 348}).curve({90, 250}, {150, 220}, {58, 176}), 26, Tone::kInk);
  ring_terminal(pen, cable, 30, -110, Tone::kWhite);
  hex_bolt(pen, cable, 20, 8);

  // The strap.
  const Point on_rail{262, 432};
  const Point on_floor{506, 214};
  braid(pen,
        Path()
            .move({286, 362})
            .curve({310, 292}, {380, 330}, {412, 286})
            .curve({430, 262}, {440, 244}, {458, 236}),
        34);
  ring_terminal(pen, on_rail, 32, -70, Tone::kPart);
  hex_bolt(pen, on_rail, 22, 20);
  // Weld tab hanging from the floor, the strap's other end on it.
  pen.shape(Path::cast({{464, 150}, {556, 150}, {552, 246}, {468, 246}}, 14), Tone::kWhite,
            Weight::kHeavy);
  ring_terminal(pen, on_floor, 30, 158, Tone::kPart);
  hex_bolt(pen, on_floor, 21, 0);

  pen.feature("strap end on the frame", on_rail);
  pen.feature("strap end on the floor", on_floor);
  pen.feature("battery cable on the frame", cable);
  pen.feature("tank pipe: no sparks here", {740, 566});
}

// Strap from the engine to the chassis leg under the battery.
void ground_strap_front_mount(Pen& pen) {
  // Engine side: block edge and mount bracket.
  pen.stroke(Path::lines({{58, 60}, {210, 60}, {236, 100}, {236, 160}}), Weight::kContext);
  pen.stroke(Path::lines({{58, 110}, {180, 110}}), Weight::kContext);
  pen.shape(Path::cast({{58, 160}, {330, 150}, {352, 300}, {300, 372}, {58, 380}}, 22),
            Tone::kWhite, Weight::kHeavy);
  pen.line({58, 204}, {300, 194}, Weight::kDetail);
  hex_bolt(pen, {116, 272}, 27, 14);
  hex_bolt(pen, {120, 340}, 19, 4);
  // Rubber mount between bracket and leg.
  pen.shape(Path::cast({{92, 384}, {262, 384}, {282, 500}, {72, 500}}, 22), Tone::kShade,
            Weight::kHeavy);
  pen.line({88, 424}, {268, 424}, Weight::kDetail);
  pen.line({80, 462}, {274, 462}, Weight::kDetail);

  // Chassis leg.
  pen.shape(Path::polygon({{58, 506},
                           {560, 506},
                           {640, 400},
                           {905, 400},
                           {905, 560},
                           {700, 560},
                           {640, 618},
                           {58, 618}}),
            Tone::kWhite, Weight::kHeavy);
  pen.stroke(Path::lines({{58, 526}, {570, 526}, {650, 420}, {905, 420}}), Weight::kDetail);
  pen.shape(Path::ellipse({440, 574}, 44, 20), Tone::kShade, Weight::kDetail);

  // Battery on its tray above the leg.
  pen.shape(Path::box({600, 300}, 305, 20, 4), Tone::kWhite, Weight::kLine);
  pen.line({660, 320}, {660, 398}, Weight::kContext);
  pen.line({880, 320}, {880, 398}, Weight::kContext);
  battery(pen, {628, 138}, 226, 162, Weight::kLine);
  post(pen, {700, 118}, Weight::kLine);
  // Its own ground: post clamp, cable down to the leg.
  const Point own{836, 476};
  pen.band(Path()
               .move({818, 94})
               .curve({905, 80}, {905, 180}, {896, 300})
               .curve({892, 360}, {880, 380}, {862, 420}),
           22, Tone::kInk);
  post(pen, {800, 118}, Weight::kLine);
  pen.shape(Path::cast({{772, 88}, {834, 84}, {834, 112}, {772, 114}}, 8), Tone::kWhite,
            Weight::kLine);
  ring_terminal(pen, own, 26, -60, Tone::kWhite);
  hex_bolt(pen, own, 18, 5);

  // The strap.
  const Point block_lug{282, 254};
  const Point body_lug{690, 492};
  braid(pen,
        Path()
            .move({350, 292})
            .curve({420, 330}, {404, 404}, {440, 420})
            .curve({500, 444}, {560, 420}, {616, 458}),
        38);
  // Broken strands at the bend.
  for (int i = 0; i < 6; ++i) {
    const Point root = polar({421, 392}, 6.0 * i - 6, 60);
    pen.line(root, polar(root, 34 + 5 * (i % 3), 150 - 16 * i), Weight::kDetail);
    const Point other = polar({440, 372}, 5.0 * i - 4, 60);
    pen.line(other, polar(other, 30 + 6 * (i % 2), -64 + 15 * i), Weight::kDetail);
  }
  ring_terminal(pen, block_lug, 34, 28, Tone::kPart);
  hex_bolt(pen, block_lug, 24, 17);
  pen.shape(toothed(body_lug, 39, 47, 22, 0), Tone::kShade, Weight::kDetail);
  ring_terminal(pen, body_lug, 34, 205, Tone::kPart);
  hex_bolt(pen, body_lug, 24, 0);

  pen.feature("block lug", block_lug);
  pen.feature("body lug, serrated washer", body_lug);
  pen.feature("braid breaks here", {428, 384});
  pen.feature("battery ground", own);
}

void alternator_back(Pen& pen, Point centre, double r) {
  for (int i = 0; i < 3; ++i) {
    const Point ear = polar(centre, r * 1.08, 20 + 120 * i + (i == 1 ? 20 : 0));
    pen.circle(ear, r * 0.17, Tone::kWhite, Weight::kHeavy);
  }
  pen.circle(centre, r, Tone::kPart, Weight::kHeavy);
  pen.circle(centre, r * 0.90, Tone::kNone, Weight::kDetail);
  for (int i = 0; i < 24; ++i) {
    const double at = 15.0 * i;
    pen.shape(Path()
                  .move(polar(centre, r * 0.56, at - 4))
                  .line(polar(centre, r * 0.84, at - 3.4))
                  .line(polar(centre, r * 0.84, at + 3.4))
                  .line(polar(centre, r * 0.56, at + 4))
                  .close(),
              Tone::kShade, Weight::kDetail);
  }
  pen.circle(centre, r * 0.46, Tone::kPart, Weight::kLine);
  pen.circle(centre, r * 0.25, Tone::kWhite, Weight::kLine);
  pen.circle(centre, r * 0.10, Tone::kShade, Weight::kDetail);
  for (int i = 0; i < 3; ++i) {
    const Point ear = polar(centre, r * 1.08, 20 + 120 * i + (i == 1 ? 20 : 0));
    hex_bolt(pen, ear, r * 0.11);
  }
}

// The charge cable laid out as one run, alternator to battery.
void charge_cable_run(Pen& pen) {
  const Pen::Frame middle(pen, {0, -24});
  const Point stud{204, 196};
  const Point clip{356, 508};
  // Engine mount.
  pen.shape(Path::cast({{278, 372},
                        {456, 372},
                        {486, 470},
                        {430, 470},
                        {418, 560},
                        {300, 560},
                        {292, 470},
                        {250, 470}},
                       16),
            Tone::kWhite, Weight::kContext);
  pen.line({58, 612}, {905, 612}, Weight::kContext);

  alternator_back(pen, {190, 330}, 122);
  // Battery.
  battery(pen, {690, 300}, 160, 216, Weight::kHeavy);
  post(pen, {742, 276}, Weight::kLine);

  // Cable, in its two legs.
  pen.band(Path()
               .move({232, 168})
               .curve({330, 96}, {300, 350}, {318, 440})
               .curve({330, 520}, {360, 520}, {410, 506})
               .curve({480, 486}, {440, 392}, {500, 352}),
           24, Tone::kInk);
  pen.band(Path()
               .move({612, 344})
               .curve({690, 344}, {650, 470}, {656, 520})
               .curve({660, 566}, {690, 572}, {730, 572})
               .line({800, 572})
               .curve({884, 572}, {892, 540}, {892, 470})
               .curve({892, 400}, {905, 222}, {836, 214}),
           24, Tone::kInk);
  // Clip with its bolt.
  {
    const Pen::Frame frame(pen, clip, 12);
    pen.shape(Path::box({-21, -26}, 42, 52, 12), Tone::kPart, Weight::kHeavy);
    pen.shape(Path::box({-17, 20}, 34, 44, 8), Tone::kPart, Weight::kLine);
    hex_bolt(pen, {0, 44}, 14);
  }
  // Fuse block.
  pen.shape(Path::box({476, 266}, 168, 156, 14), Tone::kPart, Weight::kHeavy);
  pen.line({476, 294}, {644, 294}, Weight::kDetail);
  pen.shape(Path::box({506, 326}, 108, 36, 6), Tone::kWhite, Weight::kLine);
  pen.stroke(Path::lines({{536, 344}, {548, 336}, {572, 352}, {584, 344}}), Weight::kDetail);
  stud_nut(pen, {516, 344}, 20);
  stud_nut(pen, {604, 344}, 20, 12);
  for (int i = 0; i < 4; ++i) {
    pen.shape(Path::box({496 + 34.0 * i, 382}, 24, 26, 3), Tone::kWhite, Weight::kDetail);
  }
  // Studs' ends.
  ring_terminal(pen, stud, 26, -36, Tone::kWhite);
  stud_nut(pen, stud, 17, 6);
  post(pen, {824, 276}, Weight::kLine);
  pen.shape(Path::cast({{782, 226}, {788, 198}, {854, 198}, {854, 258}, {782, 262}}, 12),
            Tone::kWhite, Weight::kHeavy);
  hex_bolt(pen, {806, 232}, 14);
  pen.feature("output stud", stud);
  pen.feature("clip behind the mount", clip);
  pen.feature("fuse block, link stud", {604, 344});
  pen.feature("battery positive lug", {832, 226});
}

// Back of the alternator with stud, control plug and the harness over the bracket's edge.
void alternator_back_lin_plug(Pen& pen) {
  const Point centre{380, 372};
  alternator_back(pen, centre, 226);
  // Bracket, a folded sheet with a sharp edge.
  pen.stroke(Path::lines({{596, 40}, {596, 200}, {662, 200}, {690, 172}, {905, 172}}),
             Weight::kHeavy);
  pen.stroke(Path::lines({{596, 178}, {652, 178}, {680, 150}, {905, 150}}), Weight::kDetail);
  hex_bolt(pen, {846, 92}, 24, 8);

  // Harness: sleeve from the top, over the edge, bare leads to the plug.
  sleeve(pen, Path().move({752, 40}).curve({752, 90}, {742, 110}, {738, 128}), 40, Tone::kWhite);
  for (int i = 0; i < 3; ++i) {
    const double d = 13.0 * (i - 1);
    wire(pen,
         Path()
             .move({738 + d, 128})
             .curve({728 + d, 220}, {752 + d, 320}, {668 + d, 360})
             .curve({640 + d, 376}, {622 + d * 1.6, 380}, {606 + d * 1.6, 416}),
         11, i == 1 ? Tone::kPart : Tone::kWhite);
  }
  // Worn spot: copper showing.
  for (int i = 0; i < 5; ++i) {
    const double x = 722 + 7.0 * i;
    pen.line({x, 160}, {x + 2, 186}, Weight::kLine);
  }
  // Output stud under its boot.
  const Point stud{266, 186};
  pen.band(Path().move({240, 160}).curve({190, 110}, {150, 90}, {58, 82}), 30, Tone::kInk);
  pen.circle(stud, 58, Tone::kWhite, Weight::kHeavy);
  pen.shape(Path::cast({{196, 158}, {236, 118}, {262, 148}, {226, 184}}, 8), Tone::kWhite,
            Weight::kHeavy);
  pen.circle(stud, 40, Tone::kWhite, Weight::kLine);
  stud_nut(pen, stud, 27, 8);
  // Control plug.
  {
    const Pen::Frame frame(pen, {592, 470}, 12);
    pen.shape(Path::box({-66, -52}, 132, 104, 10), Tone::kWhite, Weight::kHeavy);
    pen.shape(Path::box({-22, -66}, 44, 20, 4), Tone::kWhite, Weight::kLine);
    for (int i = 0; i < 3; ++i) {
      pen.shape(Path::box({-50 + 36.0 * i, -14}, 28, 38, 3), i == 1 ? Tone::kInk : Tone::kShade,
                Weight::kLine);
    }
    pen.feature("LIN cavity", {0, 5});
    pen.feature("control plug", {-58, -42});
  }
  pen.feature("output stud", stud);
  pen.feature("chafe point on the bracket", {736, 172});
}

// Starter from below, the exhaust manifold above it, the shield between them.
void starter_heat_shield(Pen& pen) {
  // Manifold runners.
  pen.tube(Path::bent({{110, 96}, {720, 96}, {820, 40}}, 60), 60, Tone::kWhite, Weight::kContext);
  for (const double x : {160.0, 330.0, 500.0}) {
    pen.tube(Path::lines({{x, 40}, {x, 67}}), 64, Tone::kWhite, Weight::kContext);
  }
  // Bell housing and ring gear.
  pen.stroke(Path::lines({{905, 150}, {800, 176}, {776, 210}, {776, 560}, {812, 612}, {905, 618}}),
             Weight::kContext);
  {
    const Pen::Clip clip(pen, Path::box({790, 190}, 115, 420));
    pen.shape(toothed({1130, 420}, 270, 288, 76, 0), Tone::kWhite, Weight::kContext);
  }
  // Drive nose and pinion.
  pen.shape(Path::box({776, 300}, 70, 24), Tone::kWhite, Weight::kLine);
  pen.shape(Path::box({806, 276}, 44, 72, 4), Tone::kWhite, Weight::kLine);
  for (double y = 288; y < 345; y += 12) pen.line({806, y}, {850, y}, Weight::kDetail);

  // Motor.
  pen.shape(
      Path::cast({{196, 232}, {640, 232}, {640, 398}, {196, 398}, {172, 376}, {172, 254}}, 18),
      Tone::kWhite, Weight::kHeavy);
  pen.line({250, 234}, {250, 396}, Weight::kDetail);
  pen.line({560, 234}, {560, 396}, Weight::kDetail);
  pen.line({250, 258}, {560, 258}, Weight::kDetail);
  for (const double y : {276.0, 356.0})
    pen.shape(Path::box({160, y - 12}, 14, 24, 3), Tone::kWhite, Weight::kLine);
  // Solenoid.
  pen.shape(Path::box({286, 408}, 330, 128, 12), Tone::kPart, Weight::kHeavy);
  pen.shape(Path::box({238, 418}, 50, 108, 8), Tone::kShade, Weight::kHeavy);
  pen.line({310, 410}, {310, 534}, Weight::kDetail);
  pen.line({580, 410}, {580, 534}, Weight::kDetail);
  // Flange and nose casting.
  pen.shape(Path::cast({{612, 226}, {690, 210}, {690, 556}, {612, 540}}, 12), Tone::kWhite,
            Weight::kHeavy);
  pen.shape(Path::cast({{690, 250}, {780, 262}, {780, 362}, {690, 400}}, 14), Tone::kWhite,
            Weight::kHeavy);
  pen.shape(Path::cast({{680, 172}, {716, 172}, {716, 598}, {680, 598}}, 10), Tone::kWhite,
            Weight::kHeavy);
  bolt_side(pen, {678, 200}, 0, 28, 0);
  bolt_side(pen, {678, 572}, 0, 28, 0);

  // Big stud with its cable, motor link, trigger blade.
  pen.shape(Path::box({176, 438}, 64, 24, 3), Tone::kWhite, Weight::kLine);
  for (double x = 182; x < 212; x += 7) pen.line({x, 439}, {x + 3, 461}, Weight::kDetail);
  pen.band(Path().move({226, 470}).curve({226, 540}, {150, 560}, {58, 560}), 26, Tone::kInk);
  pen.shape(Path::box({220, 430}, 12, 52, 3), Tone::kWhite, Weight::kLine);
  pen.shape(Path::box({196, 430}, 24, 40, 3), Tone::kWhite, Weight::kLine);
  pen.line({196, 443}, {220, 443}, Weight::kDetail);
  pen.line({196, 457}, {220, 457}, Weight::kDetail);
  wire(pen, Path().move({222, 508}).curve({180, 516}, {190, 604}, {100, 612}), 11);
  pen.shape(Path::box({212, 498}, 28, 18, 3), Tone::kWhite, Weight::kLine);

  // The shield, on its two ears.
  pen.shape(Path()
                .move({206, 200})
                .line({206, 180})
                .curve({290, 136}, {480, 136}, {564, 180})
                .line({564, 200})
                .curve({480, 158}, {290, 158}, {206, 200})
                .close(),
            Tone::kPart, Weight::kHeavy);
  for (const double side : {-1.0, 1.0}) {
    const Pen::Frame frame(pen, {385 + side * 179, 190}, 0, side, 1);
    pen.shape(Path::cast({{-6, -10}, {46, -10}, {46, 12}, {-6, 12}}, 6), Tone::kPart,
              Weight::kLine);
    bolt_side(pen, {24, -12}, 90, 22, 52);
  }

  pen.feature("solenoid", {450, 472});
  pen.feature("big stud", {190, 450});
  pen.feature("trigger terminal", {226, 507});
  pen.feature("heat shield", {385, 158});
  pen.feature("upper mounting bolt", {656, 200});
}

constexpr std::array<Scene, 5> kScenes{{{"body-ground-strap-frame", body_ground_strap_frame},
                                        {"ground-strap-front-mount", ground_strap_front_mount},
                                        {"charge-cable-run", charge_cable_run},
                                        {"alternator-back-lin-plug", alternator_back_lin_plug},
                                        {"starter-heat-shield", starter_heat_shield}}};

}  // namespace

std::span<const Scene> starting_scenes() { return kScenes; }

}  // namespace baylore::drawings
