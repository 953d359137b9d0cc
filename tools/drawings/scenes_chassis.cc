#include <array>

#include "parts.h"
#include "scenes.h"

namespace baylore::drawings {
namespace {

// A section shows the same twice, above and below the axis at y = 330: draws `half` both ways.
// In `half`, y is the distance from the axis.
template <typename Half>
void both_halves(Pen& pen, Half half) {
  for (const double side : {-1.0, 1.0}) {
    const Pen::Frame frame(pen, {0, 330}, 0, 1, side);
    half(side);
  }
}

void cut_face(Pen& pen, const Path& path, Tone tone, double degrees) {
  pen.shape(path, tone, Weight::kLine);
  pen.hatch(path, degrees, 14, Weight::kContext);
  pen.stroke(path, Weight::kHeavy);
}

// Section through the right front hub, outboard left.
void front_hub_section(Pen& pen) {
  // Joint bell and shaft on the inboard side.
  pen.stroke(
      Path::bent({{900, 214}, {800, 214}, {706, 232}, {706, 428}, {800, 446}, {900, 446}}, 16),
      Weight::kHeavy);
  pen.line({806, 216}, {806, 444}, Weight::kDetail);
  torn(pen, {900, 214}, {900, 446}, Weight::kDetail);
  // Splined stub through the hub, thread, nut.
  pen.shape(Path::box({232, 292}, 490, 76, 6), Tone::kWhite, Weight::kLine);
  for (double y = 302; y < 364; y += 11) pen.line({380, y}, {700, y}, Weight::kContext);
  for (double x = 238; x < 280; x += 8) pen.line({x, 294}, {x + 4, 366}, Weight::kDetail);

  both_halves(pen, [&pen](double side) {
    // Knuckle.
    cut_face(pen, Path::polygon({{644, 182}, {744, 182}, {744, 268}, {700, 290}, {644, 290}}),
             Tone::kWhite, 45 * side);
    // Outer ring with its flange.
    cut_face(pen,
             Path::polygon({{440, 150},
                            {664, 150},
                            {664, 180},
                            {644, 180},
                            {644, 286},
                            {596, 286},
                            {596, 194},
                            {440, 194}}),
             Tone::kPart, -45 * side);
    // Hub: flange, barrel, pilot.
    cut_face(pen,
             Path::polygon({{312, 44},
                            {706, 44},
                            {706, 92},
                            {430, 92},
                            {376, 110},
                            {376, 232},
                            {334, 232},
                            {334, 104},
                            {312, 104}}),
             Tone::kPart, 45 * side);
    // Two rows of balls.
    for (const double x : {478.0, 600.0}) pen.circle({x, 121}, 33, Tone::kWhite, Weight::kHeavy);
    for (const double x : {478.0, 600.0}) pen.circle({x, 121}, 24, Tone::kNone, Weight::kContext);
    // Outer lip seal and, inboard, the magnetic ring.
    pen.shape(Path::box({426, 98}, 16, 50, 3), Tone::kShade, Weight::kLine);
    pen.shape(Path::box({648, 98}, 18, 50, 3), Tone::kInk, Weight::kLine);
    // Wheel stud.
    pen.shape(Path::box({196, 164}, 182, 28, 4), Tone::kWhite, Weight::kLine);
    for (double x = 204; x < 318; x += 8) pen.line({x, 165}, {x + 4, 191}, Weight::kDetail);
    pen.shape(Path::box({376, 154}, 14, 48, 4), Tone::kWhite, Weight::kLine);
  });
  // Hub bolt from behind, below the axis.
  pen.shape(Path::box({592, 552}, 152, 26, 3), Tone::kWhite, Weight::kLine);
  for (double x = 600; x < 650; x += 8) pen.line({x, 553}, {x + 4, 577}, Weight::kDetail);
  bolt_side(pen, {746, 565}, 180, 28, 0);
  // Nut on the stub, its collar staked.
  pen.shape(Path::box({284, 262}, 30, 136, 4), Tone::kWhite, Weight::kHeavy);
  pen.shape(Path::box({250, 276}, 34, 108, 6), Tone::kWhite, Weight::kHeavy);
  pen.line({284, 298}, {314, 298}, Weight::kDetail);
  pen.line({284, 362}, {314, 362}, Weight::kDetail);
  axis(pen, {150, 330}, {902, 330});
  // Sensor through the knuckle, its nose over the ring.
  {
    const Pen::Frame frame(pen, {690, 176}, 0);
    wire(pen, Path::bent({{40, -121}, {120, -121}, {160, -80}, {212, -80}}, 40), 13);
    pen.shape(Path::box({-19, -112}, 38, 118, 6), Tone::kPart, Weight::kHeavy);
    pen.shape(Path::box({-54, -134}, 108, 26, 8), Tone::kPart, Weight::kHeavy);
    pen.line({-19, -12}, {19, -12}, Weight::kDetail);
    pen.feature("wheel speed sensor", {0, -70});
  }
  pen.feature("shaft nut, staked", {267, 330});
  pen.feature("outer row, fails first", {478, 209});
  pen.feature("magnetic ring, inboard", {657, 207});
  pen.feature("hub bolt, one of four", {762, 565});
}

// Hub, disc and wheel drawn apart on the wheel's axis, cut, outboard right.
void hub_face_rust_rings(Pen& pen) {
  axis(pen, {58, 330}, {905, 330});
  // Edges behind the cut.
  for (const auto& [x, half] :
       {std::pair{206.0, 150.0}, std::pair{238.0, 56.0}, std::pair{90.0, 92.0},
        std::pair{474.0, 164.0}, std::pair{376.0, 284.0}, std::pair{664.0, 62.0}}) {
    pen.line({x, 330 - half}, {x, 330 + half}, Weight::kDetail);
  }
  both_halves(pen, [&pen](double side) {
    // Hub.
    cut_face(pen,
             Path::polygon({{90, 44},
                            {238, 44},
                            {238, 60},
                            {206, 60},
                            {206, 150},
                            {174, 150},
                            {174, 92},
                            {90, 92}}),
             Tone::kWhite, 45 * side);
    pen.shape(Path::box({160, 96}, 14, 40, 4), Tone::kWhite, Weight::kLine);
    pen.shape(
        Path::polygon({{206, 106}, {304, 106}, {312, 111}, {312, 121}, {304, 126}, {206, 126}}),
        Tone::kWhite, Weight::kLine);
    for (double x = 226; x < 302; x += 8) pen.line({x, 107}, {x + 4, 125}, Weight::kDetail);
    // Disc: friction rings and hat.
    cut_face(pen, Path::polygon({{376, 160}, {396, 160}, {396, 284}, {376, 284}}), Tone::kWhite,
             -45 * side);
    cut_face(pen,
             Path::polygon({{396, 148},
                            {474, 148},
                            {474, 126},
                            {496, 126},
                            {496, 166},
                            {438, 166},
                            {438, 284},
                            {418, 284},
                            {418, 166},
                            {396, 166}}),
             Tone::kWhite, -45 * side);
    cut_face(pen, Path::polygon({{474, 62}, {496, 62}, {496, 106}, {474, 106}}), Tone::kWhite,
             -45 * side);
    pen.shape(Path::box({396, 184}, 22, 88), Tone::kShade, Weight::kDetail);
    // Wheel: pad, spoke, rim.
    cut_face(pen,
             Path::cast({{664, 126},
                         {716, 126},
                         {742, 182},
                         {800, 236},
                         {892, 240},
                         {892, 286},
                         {876, 286},
                         {868, 262},
                         {640, 262},
                         {632, 286},
                         {612, 286},
                         {612, 246},
                         {742, 242},
                         {690, 176},
                         {664, 154}},
                        8),
             Tone::kWhite, 45 * side);
    cut_face(pen, Path::cast({{664, 66}, {716, 66}, {716, 104}, {664, 104}}, 3), Tone::kWhite,
             45 * side);
  });
  // Rust on the faces that meet.
  for (const double side : {-1.0, 1.0}) {
    const auto at = [side](double x, double half) { return Point{x, 330 + side * half}; };
    const bool up = side < 0;
    // rust() lays its crumbs on the left of its walk: up the sheet they come out on the left.
    const auto right_face = [&](double x, double from, double to) {
      up ? rust(pen, at(x, to), at(x, from), 15) : rust(pen, at(x, from), at(x, to), 15);
    };
    const auto left_face = [&](double x, double from, double to) {
      up ? rust(pen, at(x, from), at(x, to), 15) : rust(pen, at(x, to), at(x, from), 15);
    };
    right_face(209, 64, 103);
    right_face(209, 129, 148);
    left_face(471, 64, 104);
    left_face(471, 128, 146);
    right_face(499, 64, 104);
    right_face(499, 128, 162);
    left_face(661, 68, 102);
    left_face(661, 128, 152);
  }
  pen.feature("hub face round the pilot", {217, 413});
  pen.feature("disc, inboard face", {464, 246});
  pen.feature("disc, outboard face", {507, 414});
  pen.feature("wheel's mounting pad", {654, 415});
  pen.feature("stud: look for a waist or stretched thread", {270, 214});
}

// Right front strut from behind, the wheel to the right.
void stabiliser_link_strut(Pen& pen) {
  // Wheel and tyre.
  pen.stroke(Path::cast({{690, 196}, {880, 196}, {880, 612}, {690, 612}}, 46), Weight::kContext);
  pen.line({790, 200}, {790, 608}, Weight::kContext);
  for (double y = 222; y < 600; y += 28) pen.line({806, y}, {866, y}, Weight::kContext);
  // Strut tower and subframe.
  pen.stroke(Path::lines({{262, 116}, {330, 52}, {610, 52}, {650, 116}}), Weight::kContext);
  pen.shape(Path::cast({{58, 560}, {300, 560}, {330, 618}, {58, 618}}, 12), Tone::kWhite,
            Weight::kContext);
  // Lower arm.
  pen.shape(Path::cast({{250, 574}, {610, 574}, {640, 600}, {610, 618}, {250, 610}}, 10),
            Tone::kWhite, Weight::kContext);

  // Knuckle and hub.
  pen.shape(
      Path::cast({{536, 380}, {628, 400}, {652, 470}, {640, 560}, {590, 582}, {540, 540}}, 22),
      Tone::kWhite, Weight::kHeavy);
  pen.shape(Path::box({640, 420}, 56, 124, 8), Tone::kWhite, Weight::kLine);
  pen.circle({600, 572}, 20, Tone::kWhite, Weight::kLine);

  // The strut: rod, mount, spring, tube; drawn upright in its own frame, top at the origin.
  {
    const Pen::Frame frame(pen, {460, 66}, -8);
    pen.shape(Path::box({-12, 6}, 24, 70), Tone::kWhite, Weight::kLine);
    pen.shape(Path::box({-30, 220}, 60, 250, 8), Tone::kWhite, Weight::kHeavy);
    pen.line({-16, 300}, {-16, 400}, Weight::kDetail);
    coil_spring(pen, {0, 52}, {0, 246}, 82, 4, 20, Tone::kWhite);
    pen.shape(Path::cast({{-108, 238}, {108, 238}, {92, 268}, {-92, 268}}, 10), Tone::kWhite,
              Weight::kHeavy);
    pen.shape(Path::cast({{-100, 28}, {100, 28}, {90, 54}, {-90, 54}}, 10), Tone::kWhite,
              Weight::kHeavy);
    pen.shape(Path::cast({{-72, -4}, {72, -4}, {86, 30}, {-86, 30}}, 12), Tone::kShade,
              Weight::kHeavy);
    pen.shape(Path::box({-20, -22}, 40, 22, 4), Tone::kWhite, Weight::kLine);
    pen.feature("strut mount: listen here when steering at rest", {0, 13});
    // Clamp to the knuckle: two bolts.
    pen.shape(Path::cast({{-40, 350}, {62, 350}, {72, 470}, {-40, 470}}, 10), Tone::kWhite,
              Weight::kHeavy);
    hex_bolt(pen, {30, 380}, 18);
    hex_bolt(pen, {36, 440}, 18);
    // Bracket of the link.
    pen.shape(Path::cast({{-34, 292}, {-34, 338}, {-118, 330}, {-118, 296}}, 8), Tone::kWhite,
              Weight::kHeavy);
  }

  // Stabiliser bar: from the bush on the subframe to the end eye.
  const Point upper{400, 392};
  const Point lower{352, 532};
  pen.tube(Path()
               .move({58, 512})
               .line({190, 512})
               .curve({260, 512}, {250, 560}, {300, 556})
               .line({352, 548}),
           30, Tone::kWhite, Weight::kHeavy);
  // Bush and its clamp.
  pen.shape(Path::cast({{112, 482}, {196, 482}, {206, 562}, {102, 562}}, 20), Tone::kShade,
            Weight::kHeavy);
  pen.line({126, 484}, {120, 560}, Weight::kDetail);
  pen.line({182, 484}, {188, 560}, Weight::kDetail);
  pen.shape(Path::box({76, 548}, 156, 18, 5), Tone::kWhite, Weight::kLine);

  // The link.
  pen.tube(Path::lines({upper, lower}), 18, Tone::kPart, Weight::kHeavy);
  for (const Point& joint : {upper, lower}) {
    pen.circle(joint, 31, Tone::kPart, Weight::kHeavy);
    stud_nut(pen, joint, 20, 10);
  }
  pen.feature("upper joint nut", upper);
  pen.feature("lower joint nut, fails first", lower);
  pen.feature("bar bush on the subframe", {154, 516});
}

constexpr std::array<Scene, 3> kScenes{{{"front-hub-section", front_hub_section},
                                        {"hub-face-rust-rings", hub_face_rust_rings},
                                        {"stabiliser-link-strut", stabiliser_link_strut}}};

}  // namespace

std::span<const Scene> chassis_scenes() { return kScenes; }

}  // namespace baylore::drawings
