#include <array>

#include "parts.h"
#include "scenes.h"

namespace baylore::drawings {
namespace {

// Brake disc seen on its edge, the vent ribs showing.
void disc_edge(Pen& pen, double left, double top, double bottom) {
  pen.shape(Path::box({left, top}, 66, bottom - top, 6), Tone::kWhite, Weight::kHeavy);
  pen.line({left + 20, top + 3}, {left + 20, bottom - 3}, Weight::kDetail);
  pen.line({left + 46, top + 3}, {left + 46, bottom - 3}, Weight::kDetail);
  for (double y = top + 18; y < bottom - 8; y += 30) {
    pen.shape(Path::box({left + 20, y}, 26, 13, 4), Tone::kShade, Weight::kDetail);
  }
}

void pad(Pen& pen, double lining, double backing, double top, double bottom) {
  const double lining_left = lining < backing ? lining : backing + 14;
  pen.shape(Path::box({lining_left, top + 14}, 26, bottom - top - 28, 4), Tone::kShade,
            Weight::kLine);
  pen.shape(Path::box({backing, top}, 14, bottom - top, 2), Tone::kWhite, Weight::kLine);
}

// Floating caliper on the edge of the disc, outboard left. The bracket is cut along both pins.
void caliper_slide_pins(Pen& pen) {
  disc_edge(pen, 186, 70, 590);

  // Bracket: two arms round the edge of the disc, joined inboard of it.
  for (const double side : {-1.0, 1.0}) {
    const Pen::Frame frame(pen, {0, 330}, 0, 1, side);
    const Path arm = Path::cast(
        {{110, -262}, {440, -262}, {440, -92}, {348, -92}, {348, -150}, {110, -150}}, 16);
    pen.shape(arm, Tone::kWhite, Weight::kHeavy);
    pen.hatch(arm, 45, 15, Weight::kContext);
    pen.stroke(arm, Weight::kHeavy);
    // Pin bore, open toward inboard.
    pen.shape(Path::box({146, -226}, 296, 46, 4), Tone::kWhite, Weight::kLine);
  }
  // The bridge of the bracket, seen between the arms.
  pen.shape(Path::box({356, 232}, 76, 196), Tone::kWhite, Weight::kLine);

  // Pads.
  pad(pen, 160, 146, 226, 434);
  pad(pen, 252, 278, 226, 434);

  // Ears, inboard, with the pin bolts through them.
  for (const double side : {-1.0, 1.0}) {
    const Pen::Frame frame(pen, {0, 330}, 0, 1, side);
    pen.shape(Path::cast({{560, -86}, {560, -244}, {606, -244}, {606, -150}, {640, -66}}, 14),
              Tone::kPart, Weight::kHeavy);
  }

  // Caliper body: fingers, bridge over the disc, cylinder.
  pen.shape(Path::cast({{70, 226}, {142, 226}, {142, 434}, {70, 434}}, 22), Tone::kPart,
            Weight::kHeavy);
  pen.shape(
      Path::cast({{330, 242}, {620, 242}, {650, 268}, {650, 392}, {620, 418}, {330, 418}}, 16),
      Tone::kPart, Weight::kHeavy);
  pen.shape(Path::box({292, 262}, 44, 136, 4), Tone::kWhite, Weight::kLine);
  pen.line({318, 264}, {318, 396}, Weight::kDetail);
  pen.line({600, 244}, {600, 416}, Weight::kDetail);
  pen.shape(Path::box({118, 304}, 320, 52, 10), Tone::kPart, Weight::kLine);
  pen.line({146, 330}, {410, 330}, Weight::kDetail);

  // Pins: shank in the bore, boot, hexagon at the ear, bolt from inboard.
  for (const double side : {-1.0, 1.0}) {
    const double y = 330 + side * 203;
    if (side < 0) {
      pen.shape(Path::box({168, y - 17}, 360, 34, 8), Tone::kPart, Weight::kLine);
      pen.line({182, y - 7}, {430, y - 7}, Weight::kDetail);
    } else {
      pen.shape(Path::box({240, y - 17}, 290, 34, 4), Tone::kPart, Weight::kLine);
      pen.shape(Path::box({166, y - 12}, 80, 24, 5), Tone::kPart, Weight::kLine);
      pen.shape(Path::box({172, y - 20}, 62, 40, 8), Tone::kInk, Weight::kNone);
      pen.line({256, y - 7}, {430, y - 7}, Weight::kDetail);
    }
    boot(pen, {450, y}, {522, y}, 31, 31, 4, Tone::kShade);
    pen.shape(Path::box({534, y - 26}, 26, 52, 3), Tone::kWhite, Weight::kLine);
    pen.line({534, y - 10}, {560, y - 10}, Weight::kDetail);
    bolt_side(pen, {608, y}, 180, 24, 0);
  }

  // Bracket bolts, from inboard through the knuckle lug (drawn grey).
  for (const double side : {-1.0, 1.0}) {
    const double y = 330 + side * 128;
    pen.shape(Path::box({444, y - 28}, 56, 56, 6), Tone::kWhite, Weight::kContext);
    bolt_side(pen, {502, y}, 180, 24, 0);
  }

  // Bleeder on top, hose on the inboard end.
  {
    const Pen::Frame frame(pen, {640, 262}, -52);
    pen.shape(Path::box({-6, -17}, 26, 34, 3), Tone::kWhite, Weight::kLine);
    pen.shape(Path::box({20, -12}, 34, 24, 3), Tone::kWhite, Weight::kLine);
    pen.shape(Path::box({54, -16}, 30, 32, 9), Tone::kInk, Weight::kLine);
  }
  pen.tube(Path::bent({{664, 346}, {800, 346}, {862, 420}, {884, 600}}, 70), 40, Tone::kWhite,
           Weight::kLine);
  pen.shape(Path::box({652, 322}, 62, 48, 6), Tone::kWhite, Weight::kLine);
  pen.line({696, 323}, {696, 369}, Weight::kDetail);

  pen.feature("upper pin, plain", {300, 127});
  pen.feature("lower pin, rubber sleeve", {203, 533});
  pen.feature("boot: look for a split", {486, 533});
  pen.feature("bleeder", polar({640, 262}, 70, -52));
  pen.feature("bracket bolt, one of two", {526, 458});
}

// Flexible hose from the body to the caliper, and a cut through its middle bracket.
void brake_hose_bracket(Pen& pen) {
  // Inner wing sheet with the pipe bracket.
  pen.stroke(Path::lines({{60, 66}, {150, 66}, {150, 240}, {60, 280}}), Weight::kContext);
  // Steel pipe and its nut.
  pen.tube(Path::bent({{60, 120}, {118, 120}, {150, 132}}, 20), 15, Tone::kWhite, Weight::kLine);
  {
    const Pen::Frame frame(pen, {150, 132}, 18);
    pen.shape(Path::box({-6, -20}, 58, 40, 4), Tone::kWhite, Weight::kLine);
    pen.line({-6, -7}, {52, -7}, Weight::kDetail);
    pen.line({-6, 8}, {52, 8}, Weight::kDetail);
    pen.shape(Path::box({52, -46}, 14, 92, 3), Tone::kWhite, Weight::kLine);
    pen.shape(Path::box({66, -27}, 62, 54, 5), Tone::kWhite, Weight::kLine);
    pen.line({96, -27}, {96, 27}, Weight::kDetail);
    pen.feature("pipe nut at the body", {22, 0});
  }
  // Hose, upper and lower run.
  const Point middle{438, 372};
  pen.tube(Path().move({270, 172}).curve({360, 200}, {330, 330}, {388, 356}), 44, Tone::kWhite,
           Weight::kHeavy);
  pen.tube(Path().move({486, 392}).curve({560, 420}, {520, 560}, {676, 532}), 44, Tone::kWhite,
           Weight::kHeavy);
  // Middle bracket, crimped round the hose, its foot on the strut.
  pen.stroke(Path::lines({{300, 620}, {330, 440}, {404, 440}, {382, 620}}), Weight::kContext);
  {
    const Pen::Frame frame(pen, middle, 24);
    pen.shape(Path::cast({{-40, 24}, {40, 24}, {26, 110}, {-36, 120}}, 12), Tone::kPart,
              Weight::kLine);
    hex_bolt(pen, {-4, 82}, 19);
    pen.shape(Path::box({-60, -34}, 120, 68, 10), Tone::kPart, Weight::kHeavy);
    for (const double x : {-32.0, 0.0, 32.0}) {
      pen.shape(Path::box({x - 7, -36}, 14, 72, 4), Tone::kPart, Weight::kDetail);
    }
    pen.feature("crimped bracket: rust swells here", {0, -14});
  }
  // Banjo at the caliper.
  pen.shape(Path().move({800, 430}).curve({740, 450}, {730, 590}, {790, 620}), Tone::kNone,
            Weight::kContext);
  {
    const Pen::Frame frame(pen, {672, 533}, -9);
    pen.shape(Path::box({-10, -27}, 60, 54, 5), Tone::kWhite, Weight::kLine);
    pen.line({20, -27}, {20, 27}, Weight::kDetail);
    pen.shape(Path::cast({{50, -16}, {112, -22}, {112, 22}, {50, 16}}, 6), Tone::kWhite,
              Weight::kLine);
    pen.circle({138, 0}, 46, Tone::kWhite, Weight::kHeavy);
    hex_bolt(pen, {138, 0}, 33, 12);
    pen.feature("banjo at the caliper", {138, 0});
  }
  // The cut: bracket, cord layers, liner pressed to a slit.
  const Point cut{706, 196};
  pen.dashed(Path::lines({polar(middle, 66, -36), polar(cut, 150, 146)}), Weight::kDetail, 12, 9);
  pen.circle(cut, 146, Tone::kPart, Weight::kHeavy);
  pen.circle(cut, 122, Tone::kWhite, Weight::kLine);
  {
    const Path rubber = Path::ellipse(cut, 108, 92);
    pen.shape(rubber, Tone::kShade, Weight::kLine);
    pen.shape(Path::ellipse(cut, 84, 54), Tone::kWhite, Weight::kDetail);
    pen.hatch(Path::ellipse(cut, 84, 54), 45, 9, Weight::kContext);
    pen.shape(Path::ellipse(cut, 62, 28), Tone::kWhite, Weight::kLine);
    pen.shape(Path::ellipse(cut, 40, 6), Tone::kInk, Weight::kLine);
  }
  // Rust between bracket and hose, where it pushes.
  for (int i = 0; i < 26; ++i) {
    const double at = i < 13 ? -90 - 52 + 8 * i : 90 - 52 + 8 * (i - 13);
    pen.dot(polar(cut, i % 2 == 0 ? 113 : 105, at), 5);
  }
  pen.feature("cut: liner closed to a slit", {cut.x + 6, cut.y});
}

// Master cylinder on its booster, seen from the left wing, nose to the left.
void master_cylinder_outlets(Pen& pen) {
  // Booster shell.
  pen.shape(Path()
                .move({905, 60})
                .line({880, 60})
                .curve({800, 80}, {772, 200}, {772, 352})
                .curve({772, 500}, {800, 590}, {880, 612})
                .line({905, 612}),
            Tone::kWhite, Weight::kHeavy);
  pen.stroke(Path()
                 .move({905, 92})
                 .curve({838, 108}, {806, 220}, {806, 352})
                 .curve({806, 480}, {838, 566}, {905, 582}),
             Weight::kDetail);
  pen.shape(Path::box({748, 292}, 30, 124, 8), Tone::kWhite, Weight::kLine);

  // Cylinder.
  pen.shape(Path::cast({{128, 318}, {700, 300}, {700, 428}, {128, 414}, {96, 398}, {96, 334}}, 20),
            Tone::kPart, Weight::kHeavy);
  pen.line({170, 320}, {170, 412}, Weight::kDetail);
  pen.line({520, 308}, {520, 424}, Weight::kDetail);
  // Flange, two studs with nuts: one above, one below the cylinder.
  pen.shape(Path::cast({{690, 232}, {742, 232}, {742, 490}, {690, 490}}, 16), Tone::kPart,
            Weight::kHeavy);
  for (const double y : {262.0, 458.0}) {
    pen.shape(Path::box({634, y - 8}, 34, 16, 3), Tone::kWhite, Weight::kLine);
    pen.shape(Path::box({658, y - 20}, 32, 40, 4), Tone::kWhite, Weight::kLine);
    pen.line({658, y - 7}, {690, y - 7}, Weight::kDetail);
    pen.line({658, y + 8}, {690, y + 8}, Weight::kDetail);
  }
  // Wet streak below the joint.
  pen.shape(Path()
                .move({757, 430})
                .curve({742, 470}, {738, 486}, {757, 492})
                .curve({776, 486}, {772, 470}, {757, 430})
                .close(),
            Tone::kInk, Weight::kNone);
  pen.line({757, 416}, {757, 436}, Weight::kLine);

  // Reservoir with its two feet, cap and level switch.
  for (const double x : {262.0, 562.0}) {
    pen.shape(Path::box({x - 34, 262}, 68, 56, 8), Tone::kShade, Weight::kLine);
  }
  pen.shape(
      Path::cast({{150, 128}, {660, 128}, {660, 240}, {610, 276}, {200, 276}, {150, 240}}, 26),
      Tone::kWhite, Weight::kHeavy);
  pen.line({152, 172}, {658, 172}, Weight::kDetail);
  pen.line({152, 226}, {658, 226}, Weight::kDetail);
  pen.line({410, 172}, {410, 274}, Weight::kDetail);
  pen.shape(Path::box({214, 62}, 130, 68, 12), Tone::kWhite, Weight::kHeavy);
  for (double x = 232; x < 340; x += 16) pen.line({x, 70}, {x, 122}, Weight::kDetail);
  pen.shape(Path::box({470, 92}, 76, 38, 6), Tone::kWhite, Weight::kLine);
  plug(pen, {546, 110}, -14, 44, 84, Tone::kPart, 2, 150);

  // Outlets: port bosses toward the viewer, pipe nuts, pipes going down.
  for (const double x : {346.0, 594.0}) {
    pen.tube(Path::bent({{x, 400}, {x, 520}, {x - 90, 560}, {x - 120, 624}}, 46), 20, Tone::kWhite,
             Weight::kLine);
    pen.shape(Path::box({x - 36, 388}, 72, 46, 10), Tone::kPart, Weight::kHeavy);
    pen.shape(Path::box({x - 25, 434}, 50, 52, 4), Tone::kWhite, Weight::kLine);
    pen.line({x - 9, 434}, {x - 9, 486}, Weight::kDetail);
    pen.line({x + 10, 434}, {x + 10, 486}, Weight::kDetail);
  }
  pen.feature("primary outlet, front brakes", {594, 460});
  pen.feature("secondary outlet, rear brakes", {346, 460});
  pen.feature("booster nut, one of two", {674, 262});
  pen.feature("look here for wet: rear seal", {757, 468});
  pen.feature("level switch plug", {592, 98});
}

constexpr std::array<Scene, 3> kScenes{{{"caliper-slide-pins", caliper_slide_pins},
                                        {"brake-hose-bracket", brake_hose_bracket},
                                        {"master-cylinder-outlets", master_cylinder_outlets}}};

}  // namespace

std::span<const Scene> brake_scenes() { return kScenes; }

}  // namespace baylore::drawings
