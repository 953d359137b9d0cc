#include <array>

#include "parts.h"
#include "scenes.h"

namespace baylore::drawings {
namespace {

// Thermostat in its housing, the cover with the hose neck turned up beside it.
void thermostat_housing_open(Pen& pen) {
  // Engine edge.
  pen.stroke(Path::lines({{58, 612}, {130, 612}, {170, 580}, {560, 580}, {600, 620}}),
             Weight::kContext);
  // Cover from below: neck behind, face toward the viewer.
  pen.tube(Path::bent({{742, 310}, {752, 172}, {905, 128}}, 60), 92, Tone::kWhite, Weight::kHeavy);
  pen.tube(Path::bent({{756, 204}, {778, 156}, {905, 124}}, 40), 112, Tone::kWhite, Weight::kHeavy);
  hose_end(pen, {756, 204}, -65, 112);
  hose_clamp(pen, {822, 145}, -15, 112);
  {
    const Pen::Frame frame(pen, {742, 410}, 68);
    pen.shape(Path::cast({{-196, -30},
                          {-120, -118},
                          {120, -118},
                          {196, -30},
                          {196, 30},
                          {120, 118},
                          {-120, 118},
                          {-196, 30}},
                         60),
              Tone::kWhite, Weight::kHeavy);
    pen.circle({0, 0}, 104, Tone::kNone, Weight::kLine);
    pen.circle({0, 0}, 74, Tone::kShade, Weight::kLine);
    for (const double x : {-158.0, 158.0}) pen.circle({x, 0}, 16, Tone::kShade, Weight::kLine);
  }

  // Sensor beside the thermostat.
  const Point centre{322, 386};
  {
    const Pen::Frame frame(pen, {462, 236}, -46);
    pen.shape(Path::box({-30, -34}, 44, 68, 6), Tone::kWhite, Weight::kHeavy);
    pen.shape(Path::box({14, -24}, 26, 48, 3), Tone::kWhite, Weight::kLine);
    pen.line({14, -9}, {40, -9}, Weight::kDetail);
    pen.line({14, 9}, {40, 9}, Weight::kDetail);
    plug(pen, {40, 0}, 0, 50, 78, Tone::kPart, 2, 46);
    pen.feature("coolant sensor", {27, 0});
  }
  // Housing face with its two ears.
  pen.shape(Path::cast({{58, 336},
                        {150, 246},
                        {270, 206},
                        {374, 206},
                        {494, 246},
                        {586, 336},
                        {586, 436},
                        {494, 526},
                        {374, 566},
                        {270, 566},
                        {150, 526},
                        {58, 436}},
                       54),
            Tone::kPart, Weight::kHeavy);
  for (const double x : {104.0, 540.0}) hex_bolt(pen, {x, centre.y}, 30, x < 300 ? 10 : 24);
  // Groove, rubber ring, thermostat.
  pen.circle(centre, 158, Tone::kWhite, Weight::kLine);
  pen.shape(Path::circle(centre, 150).add(Path::circle(centre, 128)), Tone::kInk, Weight::kNone);
  pen.circle(centre, 128, Tone::kWhite, Weight::kLine);
  pen.circle(centre, 84, Tone::kWhite, Weight::kHeavy);
  pen.circle(centre, 72, Tone::kShade, Weight::kDetail);
  // Bridge over the valve.
  {
    const Pen::Frame frame(pen, centre, 32);
    pen.shape(Path::cast({{-104, -24},
                          {-40, -18},
                          {40, -18},
                          {104, -24},
                          {104, 24},
                          {40, 18},
                          {-40, 18},
                          {-104, 24}},
                         6),
              Tone::kWhite, Weight::kHeavy);
    pen.circle({0, 0}, 28, Tone::kWhite, Weight::kLine);
    pen.circle({0, 0}, 12, Tone::kShade, Weight::kDetail);
  }
  // Jiggle pin at the top of the flange.
  const Point pin{centre.x, centre.y - 106};
  pen.circle(pin, 15, Tone::kWhite, Weight::kLine);
  pen.dot(pin, 8);
  pen.feature("cover bolt", {104, centre.y});
  pen.feature("cover bolt", {540, centre.y});
  pen.feature("jiggle pin, up", pin);
  pen.feature("rubber ring in the groove", {centre.x, centre.y + 139});
}

// Deck of one bank from above, the head off, front to the left.
void head_gasket_rear_corner(Pen& pen) {
  pen.shape(Path::cast({{58, 130},
                        {120, 86},
                        {840, 86},
                        {902, 130},
                        {902, 530},
                        {862, 574},
                        {98, 574},
                        {58, 530}},
                       30),
            Tone::kWhite, Weight::kHeavy);
  const std::array<double, 4> columns{112, 358, 604, 850};
  // Water passages round the bores.
  for (int i = 0; i < 3; ++i) {
    const Point bore{235 + 246.0 * i, 330};
    for (const double at : {-120.0, -90.0, -60.0, 60.0, 90.0, 120.0}) {
      // The rear corner's passage comes closest to its bore.
      const bool corner = i == 2 && at == 60.0;
      const Point p = corner ? polar(bore, 150, 45) : polar(bore, 152, at);
      const Pen::Frame frame(pen, p, corner ? 135 : at + 90);
      pen.shape(Path::box({-24, -9}, 48, 18, 9), Tone::kShade, Weight::kDetail);
    }
  }
  // The narrow land between the two.
  const Path land = Path().arc({727, 330}, 112, 20, 70).arc({727, 330}, 139, 70, 20).close();
  pen.shape(land, Tone::kShade, Weight::kLine);
  pen.hatch(land, 45, 9, Weight::kLine);
  for (int i = 0; i < 3; ++i) {
    const Point bore{235 + 246.0 * i, 330};
    pen.circle(bore, 112, Tone::kPart, Weight::kHeavy);
    pen.circle(bore, 100, Tone::kWhite, Weight::kDetail);
    // Piston crown: valve pockets.
    for (const double dy : {-40.0, 40.0}) {
      pen.shape(Path::ellipse({bore.x, bore.y + dy}, 46, 28), Tone::kNone, Weight::kContext);
    }
  }
  // Oil drains and dowels.
  for (const double x : {235.0, 481.0, 727.0}) {
    pen.shape(Path::box({x - 34, 526}, 68, 26, 13), Tone::kShade, Weight::kDetail);
    pen.shape(Path::box({x - 34, 108}, 68, 26, 13), Tone::kShade, Weight::kDetail);
  }
  for (const double y : {168.0, 492.0}) {
    for (std::size_t i = 0; i < columns.size(); ++i) {
      const Point at{columns[i], y};
      pen.circle(at, 31, Tone::kWhite, Weight::kLine);
      pen.circle(at, 20, Tone::kShade, Weight::kHeavy);
    }
  }
  for (const double x : {112.0, 850.0}) {
    pen.circle({x, 258}, 12, Tone::kWhite, Weight::kLine);
    pen.circle({x, 258}, 6, Tone::kNone, Weight::kDetail);
  }
  pen.feature("bolt 1, front", {columns[0], 168});
  pen.feature("bolt 2", {columns[1], 168});
  pen.feature("bolt 3", {columns[2], 168});
  pen.feature("bolt 4, rear", {columns[3], 168});
  pen.feature("land beside cylinder 6", polar({727, 330}, 126, 42));
  pen.feature("bolt 8, rear outer", {columns[3], 492});
}

// Fan seen from the engine side: blades behind the motor and its three arms.
void fan(Pen& pen, Point centre, double r, double turn, Tone motor) {
  pen.circle(centre, r, Tone::kWhite, Weight::kHeavy);
  pen.circle(centre, r - 9, Tone::kNone, Weight::kDetail);
  for (int i = 0; i < 7; ++i) {
    const double at = turn + 360.0 / 7 * i;
    pen.shape(Path()
                  .move(polar(centre, r * 0.36, at - 8))
                  .curve(polar(centre, r * 0.6, at - 4), polar(centre, r * 0.8, at - 4),
                         polar(centre, r * 0.92, at + 8))
                  .line(polar(centre, r * 0.92, at + 36))
                  .curve(polar(centre, r * 0.75, at + 26), polar(centre, r * 0.55, at + 24),
                         polar(centre, r * 0.36, at + 22))
                  .close(),
              Tone::kWhite, Weight::kDetail);
  }
  for (int i = 0; i < 3; ++i) {
    const Pen::Frame frame(pen, centre, -90 + 120.0 * i);
    pen.shape(Path::polygon({{r * 0.2, -19}, {r + 2, -14}, {r + 2, 14}, {r * 0.2, 19}}),
              Tone::kWhite, Weight::kLine);
    pen.circle({r * 0.49, 0}, r * 0.125, motor, Weight::kHeavy);
  }
  pen.circle(centre, r * 0.41, motor, Weight::kHeavy);
  pen.circle(centre, r * 0.33, Tone::kNone, Weight::kDetail);
  pen.circle(centre, r * 0.12, Tone::kWhite, Weight::kLine);
}

void condenser_fan_shroud(Pen& pen) {
  // Radiator end tanks.
  pen.shape(Path::box({58, 78}, 30, 530, 10), Tone::kWhite, Weight::kContext);
  pen.shape(Path::box({872, 78}, 30, 530, 10), Tone::kWhite, Weight::kContext);
  pen.shape(Path::cast({{88, 78}, {872, 78}, {872, 606}, {88, 606}}, 22), Tone::kWhite,
            Weight::kHeavy);
  pen.line({480, 84}, {480, 190}, Weight::kDetail);
  pen.line({480, 490}, {480, 600}, Weight::kDetail);
  for (const double x : {110.0, 480.0, 850.0}) {
    pen.circle({x, 580}, 10, Tone::kShade, Weight::kDetail);
  }
  for (const double x : {180.0, 480.0, 780.0}) {
    pen.shape(Path::box({x - 34, 54}, 68, 48, 8), Tone::kWhite, Weight::kLine);
    pen.shape(Path::box({x - 16, 66}, 32, 22, 4), Tone::kShade, Weight::kDetail);
  }
  fan(pen, {282, 340}, 186, 8, Tone::kWhite);
  const Point centre{678, 340};
  fan(pen, centre, 186, -14, Tone::kPart);
  for (int i = 0; i < 3; ++i) {
    hex_bolt(pen, polar({282, 340}, 91, -90 + 120 * i), 15, 8);
    hex_bolt(pen, polar(centre, 91, -90 + 120 * i), 15, 20);
  }
  // Motor lead along the lower arm to the plug in the corner.
  wire(pen,
       Path()
           .move(polar(centre, 56, 55))
           .curve({740, 430}, {770, 460}, {784, 500})
           .curve({790, 530}, {780, 552}, {800, 556}),
       15);
  pen.shape(Path::box({752, 452}, 34, 20, 4), Tone::kWhite, Weight::kLine);
  plug(pen, {862, 556}, 180, 56, 72, Tone::kPart, 0, 0);
  pen.feature("motor screw 1", polar(centre, 91, -90));
  pen.feature("motor screw 2", polar(centre, 91, 30));
  pen.feature("motor screw 3", polar(centre, 91, 150));
  pen.feature("fan plug", {828, 556});
  pen.feature("shroud clip", {480, 77});
}

constexpr std::array<Scene, 3> kScenes{{{"thermostat-housing-open", thermostat_housing_open},
                                        {"head-gasket-rear-corner", head_gasket_rear_corner},
                                        {"condenser-fan-shroud", condenser_fan_shroud}}};

}  // namespace

std::span<const Scene> cooling_scenes() { return kScenes; }

}  // namespace baylore::drawings
