// The rivals for one place on the car as a picture for the office.
#pragma once

#include <string>

#include "files/result.h"
#include "quality/standing.h"

namespace baylore::cli {

// Left the interval bars of the comeback share, right the curves of those still in service. Curves
// are told apart by dashes, marks and a letter, not by colour. The path ends in .svg or .png.
files::Result<void> plot_standing(const std::string& path, const std::string& title,
                                  const quality::Standing& standing);

}  // namespace baylore::cli
