// baylore-drawings: draws the demo shop's pictures.
//
//   baylore-drawings OUTDIR [NAME...]
//
// Writes every picture, or the named ones, as OUTDIR/NAME.png, and prints where the features of
// each lie, in the form of a tip's mark lines. The same program gives the same files each time.

#include <algorithm>
#include <cstdio>
#include <string>
#include <vector>

#include "pen.h"
#include "scenes.h"

namespace {

using baylore::drawings::Feature;
using baylore::drawings::Pen;
using baylore::drawings::Scene;

bool draw(const Scene& scene, const std::string& folder) {
  Pen pen;
  scene.draw(pen);
  const std::string file = folder + "/" + scene.name + ".png";
  if (!pen.write(file)) {
    std::fprintf(stderr, "%s cannot be written\n", file.c_str());
    return false;
  }
  std::printf("%s.png\n", scene.name);
  int number = 0;
  for (const Feature& feature : pen.features()) {
    std::printf("- mark %d: %.3f %.3f %s\n", ++number, feature.x, feature.y, feature.name.c_str());
  }
  return true;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fprintf(stderr, "baylore-drawings OUTDIR [NAME...]\n");
    return 2;
  }
  std::vector<std::string> wanted(argv + 2, argv + argc);
  const std::size_t asked = wanted.size();
  bool all_written = true;
  for (const auto& scenes :
       {baylore::drawings::engine_scenes(), baylore::drawings::cooling_scenes(),
        baylore::drawings::starting_scenes(), baylore::drawings::brake_scenes(),
        baylore::drawings::chassis_scenes(), baylore::drawings::body_scenes(),
        baylore::drawings::fuel_scenes(), baylore::drawings::electric_scenes()}) {
    for (const Scene& scene : scenes) {
      if (asked != 0 && std::erase(wanted, scene.name) == 0) continue;
      all_written = draw(scene, argv[1]) && all_written;
    }
  }
  for (const std::string& name : wanted) {
    std::fprintf(stderr, "no picture is called %s\n", name.c_str());
  }
  return all_written && wanted.empty() ? 0 : 1;
}
