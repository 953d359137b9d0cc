#include <array>

#include "parts.h"
#include "scenes.h"

namespace baylore::drawings {
namespace {

// Control unit: a ribbed case with its plug.
void unit(Pen& pen, Point corner, double width, double height, Tone tone) {
  pen.shape(Path::box(corner, width, height, 8), tone, Weight::kHeavy);
  for (double x = corner.x + 16; x < corner.x + width - 10; x += 15) {
    pen.line({x, corner.y + 12}, {x, corner.y + height - 26}, Weight::kDetail);
  }
  pen.shape(Path::box({corner.x + 14, corner.y + height - 18}, width - 28, 26, 4), Tone::kShade,
            Weight::kLine);
}

// The car from above, nose to the left, with the bus and what hangs on it.
void can_bus_terminators(Pen& pen) {
  for (const double x : {196.0, 706.0}) {
    for (const double y : {84.0, 546.0}) {
      pen.shape(Path::box({x - 62, y - 14}, 124, 46, 16), Tone::kWhite, Weight::kContext);
    }
  }
  pen.shape(Path()
                .move({130, 100})
                .curve({300, 84}, {600, 86}, {830, 100})
                .curve({900, 112}, {905, 200}, {905, 330})
                .curve({905, 460}, {900, 548}, {830, 560})
                .curve({600, 574}, {300, 576}, {130, 560})
                .curve({70, 540}, {58, 430}, {58, 330})
                .curve({58, 230}, {70, 120}, {130, 100})
                .close(),
            Tone::kWhite, Weight::kContext);
  // Windscreen, roof, rear window.
  pen.stroke(Path().move({372, 140}).curve({320, 230}, {320, 430}, {372, 520}), Weight::kContext);
  pen.stroke(Path().move({440, 156}).curve({402, 240}, {402, 420}, {440, 504}), Weight::kContext);
  pen.stroke(Path().move({740, 160}).curve({764, 240}, {764, 420}, {740, 500}), Weight::kContext);
  pen.stroke(Path().move({800, 150}).curve({832, 240}, {832, 420}, {800, 510}), Weight::kContext);
  pen.stroke(Path::lines({{440, 156}, {740, 160}}), Weight::kContext);
  pen.stroke(Path::lines({{440, 504}, {740, 500}}), Weight::kContext);
  pen.stroke(Path::lines({{372, 140}, {800, 150}}), Weight::kContext);
  pen.stroke(Path::lines({{372, 520}, {800, 510}}), Weight::kContext);

  // The line: engine unit, brake unit, socket, rear; stubs branch off it.
  const Path line =
      Path::bent({{168, 300}, {168, 356}, {420, 356}, {560, 356}, {640, 452}, {806, 452}}, 46);
  twisted_pair(pen, Path::lines({{320, 252}, {320, 356}}), 18);
  twisted_pair(pen, Path::lines({{420, 356}, {420, 440}}), 18);
  twisted_pair(pen, Path::lines({{520, 262}, {520, 356}}), 18);
  twisted_pair(pen, Path::lines({{680, 270}, {680, 452}}), 18);
  twisted_pair(pen, line, 18);
  for (const Point& p : {Point{320, 356}, Point{420, 356}, Point{520, 356}, Point{680, 452}}) {
    pen.dot(p, 12);
  }
  unit(pen, {104, 192}, 128, 104, Tone::kPart);
  unit(pen, {268, 168}, 104, 78, Tone::kWhite);
  unit(pen, {470, 178}, 100, 78, Tone::kWhite);
  unit(pen, {630, 186}, 100, 78, Tone::kWhite);
  // Diagnostic socket: two rows of eight, the sixth of each row in use by the bus.
  pen.shape(Path::cast({{326, 438}, {514, 438}, {496, 520}, {344, 520}}, 10), Tone::kWhite,
            Weight::kHeavy);
  for (int i = 0; i < 8; ++i) {
    const double x = 360 + 16.6 * i;
    pen.shape(Path::box({x, 456}, 9, 18, 1), i == 5 ? Tone::kInk : Tone::kWhite, Weight::kDetail);
    pen.shape(Path::box({x, 486}, 9, 18, 1), i == 5 ? Tone::kInk : Tone::kWhite, Weight::kDetail);
  }
  // Capped plug at the left rear.
  {
    const Pen::Frame frame(pen, {806, 452});
    pen.shape(Path::box({-4, -22}, 22, 44, 4), Tone::kInk, Weight::kLine);
    pen.shape(Path::box({16, -26}, 66, 52, 16), Tone::kPart, Weight::kHeavy);
    pen.line({34, -24}, {34, 24}, Weight::kDetail);
    pen.shape(Path::box({44, -9}, 26, 18, 2), Tone::kWhite, Weight::kLine);
  }
  // Tail lamp with its seal.
  pen.shape(Path::box({866, 330}, 38, 84, 10), Tone::kShade, Weight::kHeavy);
  pen.shape(Path::box({876, 340}, 28, 64, 6), Tone::kWhite, Weight::kLine);
  pen.feature("engine module, first 120 ohm", {168, 236});
  pen.feature("diagnostic socket, pins 6 and 14", {420, 512});
  pen.feature("brake control module", {320, 200});
  pen.feature("capped plug, second 120 ohm", {854, 452});
  pen.feature("tail lamp seal above it", {871, 350});
}

void air(Pen& pen, Point from, Point to) {
  pen.line(from, to, Weight::kLine);
  const double back = bearing(to, from);
  pen.shape(Path::polygon(
                {polar(to, 12, back + 180), polar(to, 16, back - 32), polar(to, 16, back + 32)}),
            Tone::kInk, Weight::kNone);
}

// Battery pack behind the rear seat from above, seat at the top, left of the car at the left.
void hybrid_battery_fan_duct(Pen& pen) {
  // Seat back.
  pen.stroke(Path().move({58, 44}).curve({300, 84}, {660, 84}, {905, 44}), Weight::kContext);
  pen.stroke(Path().move({58, 104}).curve({300, 138}, {660, 138}, {905, 104}), Weight::kContext);
  // Pack with its blocks.
  pen.shape(Path::box({330, 172}, 560, 336, 16), Tone::kWhite, Weight::kHeavy);
  for (int i = 0; i < 14; ++i) {
    pen.shape(Path::box({446 + 22.0 * i, 206}, 16, 240, 3), Tone::kNone, Weight::kDetail);
  }
  pen.line({434, 180}, {434, 500}, Weight::kDetail);
  pen.line({766, 180}, {766, 500}, Weight::kDetail);
  for (const Point& p : {Point{352, 194}, Point{868, 194}, Point{352, 486}, Point{868, 486}}) {
    hex_bolt(pen, p, 14);
  }
  // Junction box, service plug with its lever.
  pen.shape(Path::box({782, 214}, 92, 224, 8), Tone::kWhite, Weight::kLine);
  pen.shape(Path::box({792, 232}, 72, 90, 8), Tone::kPart, Weight::kHeavy);
  pen.stroke(Path::bent({{806, 306}, {806, 250}, {850, 250}, {850, 306}}, 14), Weight::kHeavy);
  pen.circle({828, 304}, 8, Tone::kShade, Weight::kDetail);
  // High-voltage cables, shaded.
  for (const double d : {0.0, 33.0}) {
    pen.tube(Path::bent({{801 + d, 446}, {801 + d, 552 + d}, {58, 552 + d}}, 40), 22, Tone::kShade,
             Weight::kHeavy);
    collar(pen, {801 + d, 446}, 90, 30, 18, Tone::kWhite);
  }
  // Fan: scroll housing and wheel, its outlet into the pack.
  const Point fan{282, 392};
  pen.shape(Path()
                .move({390, 446})
                .line({390, 512})
                .line({282, 512})
                .curve({200, 512}, {156, 450}, {160, 386})
                .curve({164, 314}, {220, 270}, {288, 272})
                .curve({350, 276}, {396, 330}, {390, 446})
                .close(),
            Tone::kPart, Weight::kHeavy);
  pen.circle(fan, 86, Tone::kWhite, Weight::kHeavy);
  for (int i = 0; i < 24; ++i) {
    const double at = 15.0 * i;
    pen.stroke(Path()
                   .move(polar(fan, 58, at))
                   .curve(polar(fan, 66, at + 2), polar(fan, 74, at + 8), polar(fan, 82, at + 14)),
               Weight::kDetail);
  }
  pen.circle(fan, 54, Tone::kWhite, Weight::kLine);
  pen.circle(fan, 36, Tone::kPart, Weight::kHeavy);
  pen.circle(fan, 8, Tone::kShade, Weight::kDetail);
  air(pen, {392, 478}, {428, 478});
  air(pen, {522, 470}, {600, 470});
  air(pen, {640, 470}, {718, 470});
  // Duct from the grille, its seal at the fan's mouth.
  pen.shape(Path()
                .move({70, 246})
                .line({184, 246})
                .curve({192, 300}, {216, 316}, {252, 330})
                .line({212, 402})
                .curve({130, 378}, {72, 330}, {70, 246})
                .close(),
            Tone::kWhite, Weight::kHeavy);
  {
    const Pen::Frame frame(pen, {232, 366}, 30);
    pen.shape(Path::box({-9, -46}, 18, 92, 6), Tone::kInk, Weight::kLine);
    pen.feature("duct seal", {0, 0});
  }
  // Grille with its felt.
  pen.shape(Path::box({58, 172}, 140, 76, 10), Tone::kWhite, Weight::kHeavy);
  for (double x = 76; x < 190; x += 18) pen.line({x, 182}, {x, 214}, Weight::kLine);
  pen.shape(Path::box({66, 222}, 124, 18, 3), Tone::kShade, Weight::kLine);
  air(pen, {128, 122}, {128, 158});
  air(pen, {124, 268}, {136, 316});
  pen.feature("grille and felt", {84, 231});
  pen.feature("fan, 12 V motor", polar(fan, 70, 60));
  pen.feature("service plug: out before any trim near the pack", {828, 276});
  pen.feature("orange cables: keep off", {600, 568});
}

// Automatic transaxle from the left, bell housing to the left.
void transaxle_check_plug(Pen& pen) {
  // Engine side.
  pen.stroke(Path::lines({{112, 60}, {58, 80}}), Weight::kContext);
  pen.stroke(Path::lines({{112, 590}, {58, 560}}), Weight::kContext);
  // Case.
  pen.shape(Path::cast({{250, 120},
                        {400, 92},
                        {640, 92},
                        {720, 150},
                        {840, 170},
                        {880, 250},
                        {880, 440},
                        {800, 540},
                        {620, 560},
                        {300, 560},
                        {250, 520}},
                       34),
            Tone::kWhite, Weight::kHeavy);
  // Pan along the bottom.
  pen.shape(Path::cast({{300, 546}, {660, 536}, {640, 592}, {330, 592}}, 14), Tone::kWhite,
            Weight::kHeavy);
  pen.shape(Path::box({292, 534}, 376, 20, 6), Tone::kWhite, Weight::kHeavy);
  for (double x = 316; x < 660; x += 54) hex_bolt(pen, {x, 544}, 9);
  // Ribs.
  pen.stroke(Path::bent({{300, 190}, {420, 170}, {560, 170}}, 20), Weight::kDetail);
  pen.stroke(Path::bent({{300, 240}, {400, 226}, {470, 226}}, 20), Weight::kDetail);
  pen.line({300, 480}, {400, 486}, Weight::kDetail);
  pen.line({300, 430}, {400, 440}, Weight::kDetail);
  pen.circle({800, 300}, 44, Tone::kNone, Weight::kDetail);
  pen.line({760, 210}, {842, 226}, Weight::kDetail);
  // Bell housing.
  pen.shape(Path::cast({{96, 70},
                        {136, 58},
                        {206, 92},
                        {268, 150},
                        {286, 520},
                        {210, 590},
                        {136, 612},
                        {96, 600}},
                       26),
            Tone::kWhite, Weight::kHeavy);
  pen.line({130, 66}, {130, 606}, Weight::kDetail);
  for (const double y : {112.0, 330.0, 560.0}) hex_bolt(pen, {113, y}, 14);
  // Window with the flexplate's edge and one converter bolt.
  const Path window = Path::box({160, 404}, 96, 110, 16);
  pen.shape(window, Tone::kPart, Weight::kHeavy);
  {
    const Pen::Clip clip(pen, Path::box({163, 407}, 90, 104, 14));
    pen.shape(Path::box({168, 390}, 22, 140), Tone::kWhite, Weight::kLine);
    for (double y = 398; y < 520; y += 11) pen.line({168, y}, {190, y}, Weight::kDetail);
  }
  hex_bolt(pen, {220, 458}, 21, 14);

  // Left drive shaft, toward the viewer.
  const Point shaft{590, 424};
  pen.circle(shaft, 94, Tone::kWhite, Weight::kHeavy);
  pen.circle(shaft, 76, Tone::kShade, Weight::kLine);
  pen.circle(shaft, 62, Tone::kWhite, Weight::kHeavy);
  pen.circle(shaft, 46, Tone::kNone, Weight::kDetail);
  pen.circle(shaft, 30, Tone::kWhite, Weight::kLine);
  // Check plug's hole above it, the plug out, a thin stream.
  const Point check{626, 268};
  pen.circle(check, 38, Tone::kPart, Weight::kHeavy);
  pen.circle(check, 23, Tone::kInk, Weight::kLine);
  pen.stroke(Path()
                 .move({check.x + 4, check.y + 8})
                 .curve({check.x + 36, check.y + 10}, {check.x + 96, check.y + 90},
                        {check.x + 100, check.y + 352}),
             Weight::kHeavy);
  bolt_side(pen, {720, 236}, 160, 34, 30);
  pen.dashed(Path::lines({{688, 248}, {662, 257}}), Weight::kDetail, 8, 6);
  // Drain plug under the pan, fill plug on top.
  bolt_side(pen, {450, 592}, -90, 32, 0);
  pen.shape(Path::box({470, 70}, 60, 26, 4), Tone::kPart, Weight::kHeavy);
  bolt_side(pen, {500, 72}, 90, 32, 0);
  pen.feature("drain plug", {450, 606});
  pen.feature("check plug", check);
  pen.feature("converter bolt window", {220, 458});
  pen.feature("fill plug", {500, 56});
}

constexpr std::array<Scene, 3> kScenes{{{"can-bus-terminators", can_bus_terminators},
                                        {"hybrid-battery-fan-duct", hybrid_battery_fan_duct},
                                        {"transaxle-check-plug", transaxle_check_plug}}};

}  // namespace

std::span<const Scene> electric_scenes() { return kScenes; }

}  // namespace baylore::drawings
