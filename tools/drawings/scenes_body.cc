#include <array>

#include "parts.h"
#include "scenes.h"

namespace baylore::drawings {
namespace {

void drop(Pen& pen, Point tip, double size) {
  pen.shape(
      Path()
          .move(tip)
          .curve({tip.x - size * 0.2, tip.y + size * 0.5}, {tip.x - size * 0.5, tip.y + size * 0.7},
                 {tip.x - size * 0.5, tip.y + size})
          .curve({tip.x - size * 0.5, tip.y + size * 1.55},
                 {tip.x + size * 0.5, tip.y + size * 1.55}, {tip.x + size * 0.5, tip.y + size})
          .curve({tip.x + size * 0.5, tip.y + size * 0.7}, {tip.x + size * 0.2, tip.y + size * 0.5},
                 tip)
          .close(),
      Tone::kInk, Weight::kNone);
}

// Driver's door from inside with its card off, hinges to the left.
void door_module_drip_path(Pen& pen) {
  // Window frame above, pillar and boot at the left.
  pen.stroke(Path::lines({{196, 96}, {330, 40}}), Weight::kContext);
  pen.line({866, 96}, {866, 40}, Weight::kContext);
  pen.stroke(Path::lines({{58, 60}, {58, 612}}), Weight::kContext);
  pen.shape(Path::cast({{150, 96}, {902, 96}, {902, 560}, {860, 618}, {190, 618}, {150, 540}}, 26),
            Tone::kWhite, Weight::kHeavy);
  pen.line({158, 130}, {898, 130}, Weight::kDetail);
  pen.line({164, 574}, {888, 574}, Weight::kDetail);
  boot(pen, {84, 330}, {140, 330}, 32, 28, 4, Tone::kShade);
  for (const double y : {196.0, 474.0}) {
    pen.shape(Path::box({104, y}, 60, 44, 6), Tone::kWhite, Weight::kLine);
    pen.circle({90, y + 22}, 15, Tone::kWhite, Weight::kLine);
  }
  // Foil on its bead of butyl, the lower left corner lifted.
  const Path foil = Path::cast({{214, 160}, {846, 160}, {846, 548}, {330, 548}, {214, 430}}, 34);
  pen.shape(foil, Tone::kWhite, Weight::kLine);
  pen.stroke(Path::cast({{228, 174}, {832, 174}, {832, 534}, {336, 534}, {228, 426}}, 28),
             Weight::kContext);
  pen.dashed(Path::lines({{216, 446}, {216, 548}, {316, 548}}), Weight::kContext, 10, 8);
  pen.shape(Path::polygon({{216, 434}, {326, 546}, {330, 446}}), Tone::kPart, Weight::kLine);
  // Speaker opening, card clips.
  pen.circle({706, 442}, 78, Tone::kWhite, Weight::kLine);
  pen.circle({706, 442}, 64, Tone::kNone, Weight::kDetail);
  pen.circle({706, 442}, 26, Tone::kNone, Weight::kDetail);
  for (const Point& p : {Point{184, 150}, Point{874, 150}, Point{874, 400}, Point{182, 330}}) {
    pen.circle(p, 9, Tone::kShade, Weight::kDetail);
  }
  // Inner handle and its cable, through the hole in the foil.
  const Point hole{470, 226};
  pen.shape(Path::box({640, 190}, 150, 64, 14), Tone::kWhite, Weight::kLine);
  pen.shape(Path::box({672, 206}, 96, 30, 12), Tone::kWhite, Weight::kDetail);
  pen.shape(Path::ellipse(hole, 30, 22), Tone::kShade, Weight::kHeavy);
  wire(pen, Path().move({640, 222}).curve({590, 222}, {540, 236}, {474, 226}), 14);
  pen.feature("module plug, facing up", {330, 322});
  pen.feature("handle cable hole: water comes in", hole);
  pen.feature("foil corner lifted", {292, 482});
  pen.feature("drain slots", {526, 597});
  pen.feature("harness boot at the hinge", {112, 330});

  // Module with its plug on top and the harness to the boot.
  wire(pen,
       Path()
           .move({330, 300})
           .curve({330, 250}, {262, 236}, {240, 280})
           .curve({220, 330}, {190, 330}, {152, 330}),
       20);
  pen.shape(Path::box({272, 344}, 158, 94, 10), Tone::kPart, Weight::kHeavy);
  for (double y = 368; y < 424; y += 15) pen.line({294, y}, {408, y}, Weight::kDetail);
  pen.shape(Path::box({288, 298}, 84, 48, 6), Tone::kPart, Weight::kHeavy);
  pen.shape(Path::box({312, 311}, 36, 22, 4), Tone::kWhite, Weight::kDetail);
  // The water's way: hole, down the cable's slack, onto the plug.
  pen.dashed(Path().move({448, 246}).curve({420, 280}, {396, 270}, {372, 298}), Weight::kLine, 3,
             9);
  drop(pen, {452, 250}, 13);
  drop(pen, {410, 276}, 13);
  drop(pen, {374, 292}, 13);
  // Drain slots in the bottom fold.
  for (const double x : {330.0, 526.0, 722.0}) {
    pen.shape(Path::box({x - 36, 590}, 72, 14, 7), Tone::kInk, Weight::kNone);
  }
}

// Under the left front seat from the front, the tunnel to the left.
void under_seat_airbag_plug(Pen& pen) {
  // Floor, tunnel.
  pen.stroke(Path().move({58, 330}).curve({110, 350}, {96, 560}, {160, 600}).line({905, 600}),
             Weight::kContext);
  // Cushion.
  pen.shape(Path::cast({{120, 60}, {860, 60}, {880, 190}, {820, 216}, {160, 216}, {100, 190}}, 40),
            Tone::kWhite, Weight::kHeavy);
  pen.stroke(Path().move({250, 62}).curve({230, 110}, {230, 170}, {250, 214}), Weight::kDetail);
  pen.stroke(Path().move({730, 62}).curve({750, 110}, {750, 170}, {730, 214}), Weight::kDetail);
  pen.stroke(Path().move({112, 150}).curve({300, 168}, {680, 168}, {868, 150}), Weight::kDetail);
  // Harness to the tunnel, behind the rail's foot.
  wire(pen,
       Path()
           .move({376, 486})
           .curve({330, 480}, {344, 560}, {250, 560})
           .curve({170, 560}, {150, 480}, {58, 470}),
       16);
  // Cross tube and the legs down to the rails.
  pen.tube(Path::lines({{206, 258}, {774, 258}}), 30, Tone::kWhite, Weight::kLine);
  for (const double side : {-1.0, 1.0}) {
    const Pen::Frame frame(pen, {490, 0}, 0, side, 1);
    pen.shape(Path::cast({{256, 216}, {316, 216}, {322, 430}, {250, 430}}, 8), Tone::kWhite,
              Weight::kHeavy);
    // Upper and lower rail, end on.
    pen.shape(Path::cast({{236, 430},
                          {336, 430},
                          {336, 492},
                          {316, 492},
                          {316, 452},
                          {256, 452},
                          {256, 492},
                          {236, 492}},
                         5),
              Tone::kWhite, Weight::kHeavy);
    pen.shape(Path::cast({{246, 466}, {326, 466}, {326, 536}, {246, 536}}, 6), Tone::kWhite,
              Weight::kLine);
    pen.shape(Path::box({268, 480}, 36, 40, 4), Tone::kShade, Weight::kDetail);
    // Foot with its bolt.
    pen.shape(Path::cast({{220, 536}, {352, 536}, {366, 600}, {206, 600}}, 10), Tone::kWhite,
              Weight::kHeavy);
    hex_bolt(pen, {286, 568}, 25, 8);
  }
  // Seat motor on its bracket under the cross tube.
  pen.tube(Path::lines({{244, 330}, {740, 330}}), 12, Tone::kWhite, Weight::kDetail);
  pen.shape(Path::cast({{588, 274}, {690, 274}, {690, 388}, {664, 402}, {588, 402}}, 8),
            Tone::kWhite, Weight::kLine);
  pen.shape(Path::box({604, 296}, 70, 68, 10), Tone::kWhite, Weight::kHeavy);
  pen.shape(Path::box({616, 364}, 46, 92, 14), Tone::kWhite, Weight::kHeavy);
  pen.line({616, 384}, {662, 384}, Weight::kDetail);
  pen.line({616, 438}, {662, 438}, Weight::kDetail);
  // Clip on the inner rail's leg.
  pen.shape(Path::box({236, 352}, 66, 48, 6), Tone::kWhite, Weight::kHeavy);
  pen.stroke(Path::lines({{302, 358}, {328, 358}, {336, 372}}), Weight::kHeavy);
  pen.stroke(Path::lines({{302, 394}, {318, 394}, {314, 384}, {322, 380}}), Weight::kHeavy);
  pen.feature("yellow plug, lock slider", {446, 494});
  pen.feature("rail clip, usually broken", {270, 376});
  // Harness: from the cushion, past the motor's bracket, to the plug; on to the tunnel.
  wire(pen, Path().move({720, 216}).curve({724, 300}, {742, 340}, {706, 392}), 16);
  sleeve(pen, Path().move({714, 376}).curve({690, 424}, {690, 470}, {640, 500}), 24, Tone::kWhite);
  wire(pen, Path().move({644, 498}).curve({600, 524}, {580, 500}, {530, 504}), 16);
  {
    const Pen::Frame frame(pen, {452, 495}, 7);
    pen.shape(Path::box({-82, -24}, 30, 48, 5), Tone::kPart, Weight::kLine);
    pen.shape(Path::box({54, -24}, 30, 48, 5), Tone::kPart, Weight::kLine);
    pen.shape(Path::box({-58, -40}, 62, 80, 8), Tone::kPart, Weight::kHeavy);
    pen.shape(Path::box({4, -34}, 54, 68, 8), Tone::kPart, Weight::kHeavy);
    pen.shape(Path::box({-34, -20}, 62, 30, 5), Tone::kWhite, Weight::kLine);
    pen.line({-14, -20}, {-14, 10}, Weight::kDetail);
    pen.line({-4, -20}, {-4, 10}, Weight::kDetail);
  }
  pen.feature("harness sleeve: rubs on the motor bracket", {694, 424});
  pen.feature("seat bolt, one of four", {776, 568});
}

constexpr std::array<Scene, 2> kScenes{{{"door-module-drip-path", door_module_drip_path},
                                        {"under-seat-airbag-plug", under_seat_airbag_plug}}};

}  // namespace

std::span<const Scene> body_scenes() { return kScenes; }

}  // namespace baylore::drawings
