#include "parts.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace baylore::drawings {
namespace {

double distance(Point a, Point b) { return std::hypot(b.x - a.x, b.y - a.y); }

}  // namespace

void hex_bolt(Pen& pen, Point centre, double r, double turn) {
  pen.circle(centre, r, Tone::kWhite, Weight::kLine);
  pen.shape(Path::regular(centre, r * 0.66, 6, turn), Tone::kWhite, Weight::kDetail);
  if (r > 17) pen.circle(centre, r * 0.40, Tone::kNone, Weight::kContext);
}

void stud_nut(Pen& pen, Point centre, double r, double turn) {
  pen.shape(Path::regular(centre, r, 6, turn), Tone::kWhite, Weight::kLine);
  pen.circle(centre, r * 0.80, Tone::kNone, Weight::kDetail);
  pen.circle(centre, r * 0.48, Tone::kShade, Weight::kDetail);
}

void socket_bolt(Pen& pen, Point centre, double r) {
  pen.circle(centre, r, Tone::kWhite, Weight::kLine);
  pen.shape(Path::regular(centre, r * 0.52, 6, 0), Tone::kShade, Weight::kDetail);
}

void bolt_side(Pen& pen, Point seat, double degrees, double thread, double length) {
  const Pen::Frame frame(pen, seat, degrees);
  const double half = thread / 2;
  if (length > 0) {
    pen.shape(Path::polygon({{0, -half},
                             {length - half * 0.5, -half},
                             {length, -half * 0.6},
                             {length, half * 0.6},
                             {length - half * 0.5, half},
                             {0, half}}),
              Tone::kWhite, Weight::kLine);
    for (double x = length * 0.45; x < length - half * 0.5; x += 7) {
      pen.line({x, -half}, {x + 4, half}, Weight::kDetail);
    }
  }
  pen.shape(Path::box({-8, -thread * 1.15}, 8, thread * 2.3, 3), Tone::kWhite, Weight::kLine);
  pen.shape(Path::box({-8 - thread * 0.75, -thread * 0.88}, thread * 0.75, thread * 1.76, 4),
            Tone::kWhite, Weight::kLine);
  pen.line({-8 - thread * 0.75, -thread * 0.42}, {-8, -thread * 0.42}, Weight::kDetail);
  pen.line({-8 - thread * 0.75, thread * 0.42}, {-8, thread * 0.42}, Weight::kDetail);
}

// A straight run between two wheels touches both. With n the normal of the run and s = +1 for a
// wheel run clockwise, -1 for one run the other way, the touching points are centre + s r n, and
// the run is at right angles to n: D . n = s1 r1 - s2 r2, D the line between the centres.
Path belt_run(std::span<const Wheel> wheels) {
  const std::size_t count = wheels.size();
  std::vector<double> normal(count);
  for (std::size_t i = 0; i < count; ++i) {
    const Wheel& a = wheels[i];
    const Wheel& b = wheels[(i + 1) % count];
    const double reach = (a.back ? -a.r : a.r) - (b.back ? -b.r : b.r);
    const double open = std::acos(std::clamp(reach / distance(a.centre, b.centre), -1.0, 1.0));
    normal[i] = bearing(a.centre, b.centre) - open * 180 / std::numbers::pi;
  }
  Path run;
  for (std::size_t i = 0; i < count; ++i) {
    const Wheel& wheel = wheels[i];
    const double flip = wheel.back ? 180 : 0;
    const double from = normal[(i + count - 1) % count] + flip;
    double to = normal[i] + flip;
    if (wheel.back) {
      while (to > from) to -= 360;
      while (to < from - 360) to += 360;
    } else {
      while (to < from) to += 360;
      while (to > from + 360) to -= 360;
    }
    run.arc(wheel.centre, wheel.r, from, to);
  }
  return run.close();
}

void pulley(Pen& pen, Point centre, double r, double hub, int spokes, Tone tone) {
  pen.circle(centre, r, tone, Weight::kHeavy);
  pen.circle(centre, r * 0.89, Tone::kNone, Weight::kDetail);
  for (int i = 0; i < spokes; ++i) {
    const double at = 360.0 * i / spokes - 90;
    pen.line(polar(centre, hub + 6, at), polar(centre, r * 0.80, at), Weight::kDetail);
  }
  pen.circle(centre, hub, tone, Weight::kLine);
}

Path toothed(Point centre, double root, double tip, int teeth, double turn) {
  Path path;
  const double pitch = 360.0 / teeth;
  for (int i = 0; i < teeth; ++i) {
    const double at = turn + pitch * i;
    const Point foot = polar(centre, root, at - pitch * 0.30);
    i == 0 ? path.move(foot) : path.line(foot);
    path.line(polar(centre, tip, at - pitch * 0.16));
    path.line(polar(centre, tip, at + pitch * 0.16));
    path.line(polar(centre, root, at + pitch * 0.30));
  }
  return path.close();
}

void sprocket(Pen& pen, Point centre, double r, int teeth, double turn, Tone tone) {
  pen.shape(toothed(centre, r * 0.90, r, teeth, turn), tone, Weight::kLine);
  pen.circle(centre, r * 0.78, Tone::kNone, Weight::kDetail);
}

void chain(Pen& pen, const Path& run) {
  pen.band(run, 20, Tone::kInk);
  pen.beads(run, 11, 12, 12, Tone::kWhite, true);
  pen.beads(run, 4.5, 0.1, 23.9, Tone::kInk, true);
}

void hose_end(Pen& pen, Point at, double degrees, double width) {
  pen.line(polar(at, width / 2, degrees - 90), polar(at, width / 2, degrees + 90), Weight::kHeavy);
}

void hose_clamp(Pen& pen, Point centre, double degrees, double width) {
  const Pen::Frame frame(pen, centre, degrees);
  const double half = width / 2 + 5;
  pen.shape(Path::box({-11, -half}, 22, half * 2, 5), Tone::kWhite, Weight::kLine);
  for (double y = -half * 0.72; y < half - 8; y += 8) {
    pen.line({-4, y}, {4, y + 3}, Weight::kDetail);
  }
  pen.shape(Path::box({-15, -half - 16}, 30, 20, 5), Tone::kWhite, Weight::kLine);
  pen.line({-7, -half - 6}, {7, -half - 6}, Weight::kDetail);
}

void collar(Pen& pen, Point centre, double degrees, double width, double thickness, Tone tone) {
  const Pen::Frame frame(pen, centre, degrees);
  pen.shape(Path::box({-thickness / 2, -width / 2}, thickness, width, std::min(5.0, thickness / 3)),
            tone, Weight::kLine);
}

void plug(Pen& pen, Point face, double degrees, double across, double length, Tone tone, int wires,
          double lead) {
  const Pen::Frame frame(pen, face, degrees);
  const double half = across / 2;
  for (int i = 0; i < wires; ++i) {
    const double y = wires == 1 ? 0 : -half * 0.55 + across * 0.55 * i / (wires - 1);
    if (lead > 0) wire(pen, Path::lines({{length - 4, y}, {length + lead, y}}), 8);
  }
  pen.shape(Path::box({length - 4, -half * 0.74}, length * 0.28, across * 0.74, 4), Tone::kInk,
            Weight::kLine);
  pen.shape(Path::box({0, -half}, length, across, 6), tone, Weight::kHeavy);
  pen.line({length * 0.22, -half}, {length * 0.22, half}, Weight::kDetail);
  pen.shape(Path::box({length * 0.30, -across * 0.17}, length * 0.58, across * 0.34, 4),
            Tone::kWhite, Weight::kDetail);
  pen.line({length * 0.42, -across * 0.17}, {length * 0.42, across * 0.17}, Weight::kDetail);
}

void wire(Pen& pen, const Path& run, double width, Tone tone) {
  pen.tube(run, width, tone, Weight::kDetail);
}

void twisted_pair(Pen& pen, const Path& run, double width) {
  constexpr double kStep = 5;
  constexpr double kTurn = 46;
  const std::vector<Station> stations = pen.along(run, kStep);
  for (const double side : {-1.0, 1.0}) {
    Path lead;
    for (std::size_t i = 0; i < stations.size(); ++i) {
      const double turn = 2 * std::numbers::pi * kStep * static_cast<double>(i) / kTurn;
      const Point p =
          polar(stations[i].at, side * width / 2 * std::sin(turn), stations[i].degrees + 90);
      i == 0 ? lead.move(p) : lead.line(p);
    }
    wire(pen, lead, 8, side < 0 ? Tone::kWhite : Tone::kShade);
  }
}

void braid(Pen& pen, const Path& run, double width) {
  pen.tube(run, width, Tone::kPart, Weight::kLine);
  const double half = width / 2 - 1;
  for (const Station& s : pen.along(run, 11)) {
    for (const double side : {-1.0, 1.0}) {
      const Point edge = polar(s.at, half * side, s.degrees + 90);
      const Point other = polar(polar(s.at, -half * side, s.degrees + 90), 13, s.degrees);
      pen.line(edge, other, Weight::kContext);
    }
  }
}

void sleeve(Pen& pen, const Path& run, double width, Tone tone) {
  pen.tube(run, width, tone, Weight::kLine);
  for (const Station& s : pen.along(run, 9)) {
    pen.line(polar(s.at, width / 2, s.degrees + 90), polar(s.at, width / 2, s.degrees - 90),
             Weight::kDetail);
  }
}

// The crumbs follow a fixed pattern that does not look regular.
void rust(Pen& pen, Point a, Point b, double thickness) {
  const Pen::Frame frame(pen, a, bearing(a, b));
  const double length = distance(a, b);
  pen.shape(Path::box({0, -thickness}, length, thickness), Tone::kShade, Weight::kNone);
  int i = 0;
  for (double x = 4; x < length - 2; x += 7, ++i) {
    const double high = thickness * (0.55 + 0.35 * ((i * 7) % 5) / 4.0);
    pen.dot({x, -high}, 2.2 + 0.5 * ((i * 3) % 4));
    pen.dot({x + 3, -thickness * 0.3}, 1.8 + 0.4 * (i % 3));
  }
}

void axis(Pen& pen, Point a, Point b) {
  const Pen::Frame frame(pen, a, bearing(a, b));
  const double length = distance(a, b);
  for (double x = 0; x < length; x += 54) {
    pen.line({x, 0}, {std::min(x + 32, length), 0}, Weight::kContext);
    if (x + 46 < length) pen.line({x + 42, 0}, {x + 46, 0}, Weight::kContext);
  }
}

void ring_terminal(Pen& pen, Point centre, double r, double degrees, Tone tone) {
  {
    const Pen::Frame frame(pen, centre, degrees);
    pen.shape(Path::cast({{0, -r * 0.62},
                          {r * 1.5, -r * 0.45},
                          {r * 2.7, -r * 0.45},
                          {r * 2.7, r * 0.45},
                          {r * 1.5, r * 0.45},
                          {0, r * 0.62}},
                         4),
              tone, Weight::kLine);
    pen.line({r * 1.55, -r * 0.4}, {r * 1.55, r * 0.4}, Weight::kDetail);
    pen.line({r * 2.2, -r * 0.4}, {r * 2.2, r * 0.4}, Weight::kDetail);
  }
  pen.circle(centre, r, tone, Weight::kLine);
}

// The far halves of the coils first, then the near halves over them.
void coil_spring(Pen& pen, Point a, Point b, double r, int coils, double rod, Tone tone) {
  const Pen::Frame frame(pen, a, bearing(a, b));
  const double pitch = distance(a, b) / coils;
  for (int i = 0; i < coils; ++i) {
    const double x = pitch * i;
    pen.tube(Path()
                 .move({x + pitch * 0.5, r})
                 .curve({x + pitch * 0.62, r * 0.4}, {x + pitch * 0.88, -r * 0.4}, {x + pitch, -r}),
             rod, Tone::kWhite, Weight::kDetail);
  }
  for (int i = 0; i < coils; ++i) {
    const double x = pitch * i;
    const Point top{x, -r};
    const Point low{x + pitch * 0.5, r};
    const Path near =
        Path().move(top).curve({x + pitch * 0.12, -r * 0.4}, {x + pitch * 0.38, r * 0.4}, low);
    pen.tube(near, rod, tone, Weight::kLine);
    pen.circle(top, rod / 2, tone, Weight::kLine);
    pen.circle(low, rod / 2, tone, Weight::kLine);
    // The rounded ends belong to the rod: take the line between them away again.
    pen.tube(near, rod, tone, Weight::kNone);
  }
}

void boot(Pen& pen, Point a, Point b, double from, double to, int folds, Tone tone) {
  const Pen::Frame frame(pen, a, bearing(a, b));
  const double pitch = distance(a, b) / folds;
  for (int i = 0; i < folds; ++i) {
    const double r = from + (to - from) * (i + 0.5) / folds;
    pen.shape(Path::box({pitch * i, -r}, pitch, r * 2, pitch * 0.42), tone, Weight::kLine);
  }
  const double end = distance(a, b);
  pen.shape(Path::box({-14, -from * 0.8}, 16, from * 1.6, 4), tone, Weight::kLine);
  pen.shape(Path::box({end - 2, -to * 0.8}, 16, to * 1.6, 4), tone, Weight::kLine);
}

void block(Pen& pen, Point corner, double width, double height, Point depth, Tone tone,
           Weight outline) {
  const Point tr{corner.x + width, corner.y};
  const Point br{corner.x + width, corner.y + height};
  const Point bl{corner.x, corner.y + height};
  pen.shape(Path::polygon({corner, corner + depth, tr + depth, tr}), tone, outline);
  if (depth.x > 0) {
    pen.shape(Path::polygon({tr, tr + depth, br + depth, br}), tone, outline);
  } else {
    pen.shape(Path::polygon({corner, corner + depth, bl + depth, bl}), tone, outline);
  }
  pen.shape(Path::polygon({corner, tr, br, bl}), tone, outline);
}

void torn(Pen& pen, Point a, Point b, Weight weight) {
  const Pen::Frame frame(pen, a, bearing(a, b));
  const double length = distance(a, b);
  const int waves = std::max(1, static_cast<int>(length / 60));
  const double step = length / waves;
  Path path;
  path.move({0, 0});
  for (int i = 0; i < waves; ++i) {
    const double x = step * i;
    path.curve({x + step * 0.35, -11}, {x + step * 0.65, 11}, {x + step, 0});
  }
  pen.stroke(path, weight);
}

void earth_sign(Pen& pen, Point top, double width) {
  pen.line(top, {top.x, top.y + width * 0.45}, Weight::kLine);
  for (int i = 0; i < 3; ++i) {
    const double half = width / 2 * (1 - 0.33 * i);
    const double y = top.y + width * (0.45 + 0.17 * i);
    pen.line({top.x - half, y}, {top.x + half, y}, Weight::kLine);
  }
}

}  // namespace baylore::drawings
