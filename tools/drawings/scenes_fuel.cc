#include <array>

#include "parts.h"
#include "scenes.h"

namespace baylore::drawings {
namespace {

// Cut metal: hatched, heavy outline.
void cut(Pen& pen, const Path& path, double degrees) {
  pen.shape(path, Tone::kWhite, Weight::kNone);
  pen.hatch(path, degrees, 15, Weight::kContext);
  pen.stroke(path, Weight::kHeavy);
}

void injector(Pen& pen, double x, bool opened) {
  const Pen::Frame frame(pen, {x, 0});
  const Tone tone = opened ? Tone::kPart : Tone::kWhite;
  // Plug socket to the right.
  pen.shape(Path::cast({{20, 330}, {62, 304}, {82, 304}, {82, 350}, {20, 376}}, 6), tone,
            Weight::kLine);
  pen.shape(Path::box({-15, 252}, 30, 60), tone, Weight::kLine);
  pen.shape(Path::box({-22, 264}, 44, 20, 10), Tone::kInk, Weight::kLine);
  pen.shape(Path::box({-32, 306}, 64, 96, 8), tone, Weight::kHeavy);
  pen.line({-32, 328}, {32, 328}, Weight::kDetail);
  pen.shape(Path::polygon({{-24, 402},
                           {24, 402},
                           {24, 448},
                           {14, 464},
                           {14, 566},
                           {-14, 566},
                           {-14, 464},
                           {-24, 448}}),
            tone, Weight::kHeavy);
  pen.shape(Path::box({-17, 498}, 34, 16, 4), Tone::kInk, Weight::kLine);
  if (opened) {
    pen.shape(Path::box({-18, 318}, 36, 70), Tone::kWhite, Weight::kDetail);
    pen.hatch(Path::box({-18, 318}, 36, 70), 45, 9, Weight::kContext);
    pen.shape(Path::polygon({{-5, 256}, {5, 256}, {5, 548}, {0, 560}, {-5, 548}}), Tone::kShade,
              Weight::kDetail);
  }
}

// Rail lifted off its four injectors; the second one and its bore are cut open.
void injector_rail_tips(Pen& pen) {
  const std::array<double, 4> places{176, 392, 608, 824};
  // Head, cut along the bores.
  cut(pen, Path::polygon({{58, 424}, {905, 424}, {905, 600}, {58, 600}}), 45);
  for (const double x : places) {
    pen.shape(Path::polygon({{x - 34, 424},
                             {x + 34, 424},
                             {x + 34, 450},
                             {x + 20, 468},
                             {x + 20, 600},
                             {x - 20, 600},
                             {x - 20, 468},
                             {x - 34, 450}}),
              Tone::kWhite, Weight::kHeavy);
    // The bore is open toward the chamber.
    pen.shape(Path::box({x - 17, 590}, 34, 20), Tone::kWhite, Weight::kNone);
  }
  for (const double x : places) injector(pen, x, x == places[1]);
  // Drops under the leaking one.
  for (const Point& p : {Point{392, 582}, Point{386, 604}, Point{399, 612}}) pen.dot(p, 6);

  // Rail with its cups and ears.
  for (const double x : places) {
    pen.shape(Path::cast({{x - 30, 130}, {x + 30, 130}, {x + 30, 208}, {x - 30, 208}}, 8),
              Tone::kWhite, Weight::kHeavy);
    pen.line({x - 30, 194}, {x + 30, 194}, Weight::kDetail);
    pen.dashed(Path::lines({{x, 212}, {x, 250}}), Weight::kDetail, 9, 7);
    pen.shape(Path::cast({{x - 96, 122}, {x - 24, 122}, {x - 24, 176}, {x - 96, 176}}, 16),
              Tone::kWhite, Weight::kHeavy);
  }
  pen.shape(Path::box({64, 78}, 832, 60, 18), Tone::kWhite, Weight::kHeavy);
  pen.line({82, 92}, {878, 92}, Weight::kDetail);
  pen.tube(Path::bent({{850, 80}, {850, 52}, {905, 52}}, 18), 24, Tone::kWhite, Weight::kLine);
  pen.shape(Path::box({836, 62}, 28, 22, 3), Tone::kWhite, Weight::kLine);
  for (const double x : places) hex_bolt(pen, {x - 66, 152}, 18, 9);
  pen.feature("rail bolt 1", {places[0] - 66, 152});
  pen.feature("rail bolt 2", {places[1] - 66, 152});
  pen.feature("rail bolt 3", {places[2] - 66, 152});
  pen.feature("rail bolt 4", {places[3] - 66, 152});
  pen.feature("tip ring", {392, 506});
  pen.feature("leaking seat", {392, 588});
}

// Pump lifted from the head, the follower out of its bore, the three-lobed cam below.
void high_pressure_pump_follower(Pen& pen) {
  const double x = 460;
  // Head, cut through the follower's bore.
  cut(pen, Path::polygon({{136, 400}, {x - 62, 400}, {x - 62, 506}, {x - 96, 540}, {136, 600}}),
      45);
  cut(pen, Path::polygon({{784, 400}, {x + 62, 400}, {x + 62, 506}, {x + 96, 540}, {784, 600}}),
      -45);
  for (const double side : {-1.0, 1.0}) {
    const double at = x + side * 232;
    pen.shape(Path::box({at - 17, 400}, 34, 100, 3), Tone::kShade, Weight::kLine);
    pen.dashed(Path::lines({{at, 330}, {at, 396}}), Weight::kDetail, 10, 8);
  }
  // Cam: three lobes.
  const Point cam{x, 566};
  {
    const Pen::Clip clip(pen, Path::box({0, 0}, kSheetWidth, 622));
    Path lobes;
    for (int i = 0; i < 3; ++i) {
      const double at = -90 + 120.0 * i;
      const Point tip = polar(cam, 84, at);
      i == 0 ? lobes.move(polar(tip, 20, at - 50)) : lobes.line(polar(tip, 20, at - 50));
      lobes.arc(tip, 20, at - 40, at + 40);
      lobes.curve(polar(cam, 78, at + 26), polar(cam, 56, at + 40), polar(cam, 56, at + 60));
      lobes.curve(polar(cam, 56, at + 80), polar(cam, 78, at + 94),
                  polar(polar(cam, 84, at + 120), 20, at + 70));
    }
    pen.shape(lobes.close(), Tone::kPart, Weight::kHeavy);
    pen.circle(cam, 34, Tone::kWhite, Weight::kLine);
    pen.circle(cam, 12, Tone::kShade, Weight::kDetail);
  }

  // Follower, a cup with a worn patch on its lower face.
  pen.shape(Path::cast({{x - 58, 330}, {x + 58, 330}, {x + 58, 436}, {x - 58, 436}}, 8),
            Tone::kPart, Weight::kHeavy);
  pen.shape(Path::box({x - 58, 352}, 116, 12), Tone::kShade, Weight::kDetail);
  rust(pen, {x - 34, 436}, {x + 34, 436}, 16);
  pen.line({x - 58, 436}, {x + 58, 436}, Weight::kHeavy);

  // Pump: plunger and spring, flange, body, solenoid, unions.
  pen.shape(Path::box({x - 10, 236}, 20, 84, 3), Tone::kWhite, Weight::kLine);
  coil_spring(pen, {x, 236}, {x, 304}, 34, 3, 11, Tone::kWhite);
  pen.shape(Path::box({x - 44, 302}, 88, 14, 4), Tone::kWhite, Weight::kLine);
  pen.shape(Path::box({x - 64, 212}, 128, 34, 6), Tone::kWhite, Weight::kHeavy);
  pen.shape(Path::box({x - 64, 222}, 128, 12, 5), Tone::kInk, Weight::kNone);
  pen.shape(Path::cast({{x - 282, 172}, {x + 282, 172}, {x + 282, 212}, {x - 282, 212}}, 16),
            Tone::kWhite, Weight::kHeavy);
  pen.shape(Path::cast({{x - 116, 62}, {x + 116, 62}, {x + 132, 172}, {x - 132, 172}}, 20),
            Tone::kWhite, Weight::kHeavy);
  pen.line({x - 110, 92}, {x + 110, 92}, Weight::kDetail);
  pen.shape(Path::box({x - 66, 42}, 132, 24, 8), Tone::kWhite, Weight::kLine);
  for (const double side : {-1.0, 1.0}) bolt_side(pen, {x + side * 232, 172}, 90, 28, 150);
  // Metering valve with its plug, left.
  pen.shape(Path::box({x - 192, 78}, 76, 58, 8), Tone::kWhite, Weight::kHeavy);
  plug(pen, {x - 192, 107}, 180, 46, 74, Tone::kWhite, 2, 110);
  // Pipe union, right.
  pen.tube(Path::bent({{660, 108}, {806, 108}, {846, 200}, {905, 226}}, 60), 22, Tone::kWhite,
           Weight::kLine);
  pen.shape(Path::box({x + 116, 80}, 44, 56, 6), Tone::kWhite, Weight::kHeavy);
  pen.shape(Path::box({x + 160, 74}, 50, 68, 5), Tone::kPart, Weight::kHeavy);
  pen.line({x + 160, 96}, {x + 210, 96}, Weight::kDetail);
  pen.line({x + 160, 121}, {x + 210, 121}, Weight::kDetail);

  pen.feature("pump bolt 1", {x - 232, 156});
  pen.feature("pump bolt 2", {x + 232, 156});
  pen.feature("follower face", {x, 428});
  pen.feature("cam lobe", polar(cam, 56, -90));
  pen.feature("pipe union", {x + 185, 108});
}

// Section through one plug well: coil on top, boot, plug with a carbon track.
void coil_plug_well(Pen& pen) {
  const Pen::Frame middle(pen, {30, 0});
  const double x = 450;
  // Head around the well, the chamber below.
  cut(pen,
      Path()
          .move({110, 210})
          .line({x - 92, 210})
          .line({x - 92, 470})
          .line({x - 40, 500})
          .line({x - 40, 560})
          .line({x - 120, 574})
          .line({110, 616})
          .close(),
      45);
  cut(pen,
      Path()
          .move({790, 210})
          .line({x + 92, 210})
          .line({x + 92, 470})
          .line({x + 40, 500})
          .line({x + 40, 560})
          .line({x + 120, 574})
          .line({790, 616})
          .close(),
      -45);
  // Bolt boss on the right.
  pen.shape(Path::box({624, 158}, 76, 52), Tone::kWhite, Weight::kHeavy);
  pen.dashed(Path::lines({{650, 160}, {650, 270}, {674, 270}, {674, 160}}), Weight::kDetail, 9, 7);

  // Spark plug: insulator, hexagon, thread, electrodes.
  pen.shape(Path::box({x - 20, 262}, 40, 24, 6), Tone::kWhite, Weight::kLine);
  pen.shape(Path::polygon({{x - 30, 284}, {x + 30, 284}, {x + 34, 420}, {x - 34, 420}}),
            Tone::kWhite, Weight::kHeavy);
  pen.shape(Path::box({x - 62, 416}, 124, 46, 4), Tone::kWhite, Weight::kHeavy);
  pen.line({x - 30, 418}, {x - 30, 460}, Weight::kDetail);
  pen.line({x + 30, 418}, {x + 30, 460}, Weight::kDetail);
  pen.shape(Path::box({x - 52, 462}, 104, 24, 4), Tone::kWhite, Weight::kLine);
  pen.shape(Path::box({x - 40, 486}, 80, 76), Tone::kWhite, Weight::kHeavy);
  for (double y = 496; y < 556; y += 11) pen.line({x - 40, y}, {x + 40, y + 6}, Weight::kDetail);
  pen.shape(Path::polygon({{x - 16, 562}, {x + 16, 562}, {x + 9, 582}, {x - 9, 582}}), Tone::kWhite,
            Weight::kLine);
  pen.stroke(Path::lines({{x + 32, 562}, {x + 32, 602}, {x - 10, 602}}), Weight::kHeavy);

  // Coil: boot around the insulator, cut open; stem, head.
  for (const double side : {-1.0, 1.0}) {
    const Pen::Frame frame(pen, {x, 0}, 0, side, 1);
    pen.shape(Path::cast({{40, 214}, {78, 214}, {72, 360}, {52, 376}, {36, 372}, {38, 300}}, 8),
              Tone::kShade, Weight::kHeavy);
  }
  pen.shape(Path::box({x - 60, 150}, 120, 70, 6), Tone::kPart, Weight::kHeavy);
  coil_spring(pen, {x, 218}, {x, 262}, 17, 3, 7, Tone::kWhite);
  pen.shape(Path::cast({{x - 130, 62},
                        {x + 110, 62},
                        {x + 130, 96},
                        {x + 262, 110},
                        {x + 262, 150},
                        {x - 130, 150}},
                       14),
            Tone::kPart, Weight::kHeavy);
  pen.line({x - 112, 84}, {x + 96, 84}, Weight::kDetail);
  pen.line({x - 128, 128}, {x + 256, 128}, Weight::kDetail);
  bolt_side(pen, {662, 110}, 90, 28, 0);
  plug(pen, {x - 130, 106}, 180, 60, 82, Tone::kWhite, 3, 90);
  // The track: a thin burnt line with side branches.
  pen.stroke(Path::lines({{x + 10, 296},
                          {x + 3, 316},
                          {x + 14, 334},
                          {x + 4, 352},
                          {x + 12, 370},
                          {x + 2, 388},
                          {x + 13, 402},
                          {x + 10, 416}}),
             Weight::kHeavy);
  pen.stroke(Path::lines({{x + 14, 334}, {x + 24, 346}}), Weight::kLine);
  pen.stroke(Path::lines({{x + 4, 352}, {x - 10, 364}, {x - 8, 376}}), Weight::kLine);
  pen.stroke(Path::lines({{x + 2, 388}, {x - 14, 398}}), Weight::kLine);
  pen.feature("coil bolt", {662, 86});
  pen.feature("boot lip", {x - 54, 366});
  pen.feature("carbon track", {x + 12, 404});
  pen.feature("plug gap", {x, 592});
}

constexpr std::array<Scene, 3> kScenes{
    {{"injector-rail-tips", injector_rail_tips},
     {"high-pressure-pump-follower", high_pressure_pump_follower},
     {"coil-plug-well", coil_plug_well}}};

}  // namespace

std::span<const Scene> fuel_scenes() { return kScenes; }

}  // namespace baylore::drawings
