// The tips of a shop as plain text in one file, so that an engine that is given them waits neither
// for their files nor for their being understood.
#pragma once

#include <fstream>
#include <string>

#include "engine.h"

namespace baylore::benchmark {

class TextWriter {
 public:
  explicit TextWriter(const std::string& file);
  void add(const Document& document);
  // False when something could not be written.
  bool close();

 private:
  std::ofstream out_;
};

// All documents of such a file, in order.
Documents texts_of(const std::string& file);

}  // namespace baylore::benchmark
