// How long a terminal waits while a line is being typed, letter by letter, over any shop.
#pragma once

#include <string>

namespace baylore::benchmark {

// Prints it; 0, or 2 when it could not run.
int typing(const std::string& shop);

}  // namespace baylore::benchmark
