#pragma once

#include <span>

#include "pen.h"

namespace baylore::drawings {

// The things that come back on many sheets. Sizes are sheet units; `turn` and `degrees` are
// clockwise from the right.

/// Flanged hexagon head seen from the front; `r` is the flange.
void hex_bolt(Pen& pen, Point centre, double r, double turn = 30);

/// Nut on a stud, seen from the front.
void stud_nut(Pen& pen, Point centre, double r, double turn = 30);

/// Round head with an inner hexagon, seen from the front.
void socket_bolt(Pen& pen, Point centre, double r);

/// Bolt from the side: the underside of the head at `seat`, the shank pointing along `degrees`.
/// `thread` is the shank's diameter; `length` 0 draws the head alone.
void bolt_side(Pen& pen, Point seat, double degrees, double thread, double length);

/// A wheel in a belt or chain run. Turned `back`, the belt touches it with its flat side.
struct Wheel {
  Point centre;
  double r = 0;
  bool back = false;
};

/// The closed run of a belt around `wheels`, given in clockwise order.
Path belt_run(std::span<const Wheel> wheels);

/// Pulley seen from the front, with `spokes` webs (0 for a plain disc) around a hub of `hub`.
void pulley(Pen& pen, Point centre, double r, double hub, int spokes, Tone tone);

/// Toothed wheel with a bored web.
void sprocket(Pen& pen, Point centre, double r, int teeth, double turn, Tone tone);

/// Outline of a wheel with square teeth between radius `root` and `tip`.
Path toothed(Point centre, double root, double tip, int teeth, double turn);

/// Roller chain along `run`.
void chain(Pen& pen, const Path& run);

/// The cut end of a hose: a line across it at `at`.
void hose_end(Pen& pen, Point at, double degrees, double width);

/// Worm-drive clamp around a hose of `width` at `centre`; `degrees` is the hose's direction.
void hose_clamp(Pen& pen, Point centre, double degrees, double width);

/// Raised ring (bead, union nut, flange from the side) across a pipe.
void collar(Pen& pen, Point centre, double degrees, double width, double thickness, Tone tone);

/// Electrical plug: its front face at `face`, the wires leaving along `degrees`; `across` is the
/// width of the face, `wires` the number of leads drawn `lead` long.
void plug(Pen& pen, Point face, double degrees, double across, double length, Tone tone, int wires,
          double lead);

/// One lead along `run`.
void wire(Pen& pen, const Path& run, double width = 9, Tone tone = Tone::kWhite);

/// Twisted pair of leads along `run`.
void twisted_pair(Pen& pen, const Path& run, double width);

/// Braided earth strap along `run`.
void braid(Pen& pen, const Path& run, double width);

/// Ribbed protecting sleeve along `run`.
void sleeve(Pen& pen, const Path& run, double width, Tone tone);

/// Rust on a face seen from its edge: dark crumbs along the line from `a` to `b`, on its left.
void rust(Pen& pen, Point a, Point b, double thickness);

/// Axis line, long and short dashes, from `a` to `b`.
void axis(Pen& pen, Point a, Point b);

/// Ring terminal around a bolt at `centre`, its crimp pointing along `degrees`.
void ring_terminal(Pen& pen, Point centre, double r, double degrees, Tone tone);

/// Coil spring from the side between the seats `a` and `b`.
void coil_spring(Pen& pen, Point a, Point b, double r, int coils, double rod, Tone tone);

/// Rubber boot with folds, from radius `from` at `a` to radius `to` at `b`.
void boot(Pen& pen, Point a, Point b, double from, double to, int folds, Tone tone);

/// Box seen from the front, its top and one side in parallel projection.
/// `corner` is the front face's top left; `depth` the shift to the back face.
void block(Pen& pen, Point corner, double width, double height, Point depth, Tone tone,
           Weight outline);

/// Torn edge: a wavy line from `a` to `b`, where a part goes on outside the picture.
void torn(Pen& pen, Point a, Point b, Weight weight);

/// The earth sign hanging from `top`.
void earth_sign(Pen& pen, Point top, double width);

}  // namespace baylore::drawings
