#pragma once

#include <span>

#include "pen.h"

namespace baylore::drawings {

/// One picture: the file's name without `.png`, and how it is drawn.
struct Scene {
  const char* name;
  void (*draw)(Pen& pen);
};

// The pictures, by the part of the vehicle they show.
std::span<const Scene> engine_scenes();
std::span<const Scene> cooling_scenes();
std::span<const Scene> fuel_scenes();
std::span<const Scene> brake_scenes();
std::span<const Scene> starting_scenes();
std::span<const Scene> chassis_scenes();
std::span<const Scene> body_scenes();
std::span<const Scene> electric_scenes();

}  // namespace baylore::drawings
