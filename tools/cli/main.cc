// The command line of a shop's knowledge. One verb, one file; see verbs.h.
#include <cstdio>
#include <exception>

#include "files/names.h"
#include "pack/confined.h"
#include "verbs.h"

namespace {

using namespace baylore;

int run(int argc, char** argv) {
  pack::read_containers_with(files::with_program(BAYLORE_CONTAINER_INSTALLED, BAYLORE_CONTAINER));
  cli::Arguments arguments("baylore",
                           "Repair knowledge of the shop, searched in the words people use.");
  cli::add_build(arguments);
  cli::add_check(arguments);
  cli::add_search(arguments);
  cli::add_show(arguments);
  cli::add_sheet(arguments);
  cli::add_diagnose(arguments);
  cli::add_record(arguments);
  cli::add_stats(arguments);
  cli::add_pack(arguments);
  cli::add_unpack(arguments);
  cli::add_merge(arguments);
  cli::add_copies(arguments);
  cli::add_prepare(arguments);
  cli::add_vehicles(arguments);
  cli::add_vin(arguments);
  cli::add_code(arguments);
  cli::add_convert(arguments);
  cli::add_torque(arguments);
  cli::add_work_out(arguments);
  return arguments.run(argc, argv);
}

}  // namespace

// The parser and the library of JSON tell their errors by exceptions; they end here.
int main(int argc, char** argv) {
  try {
    return run(argc, argv);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "baylore: %s\n", error.what());
  }
  return cli::kCouldNotRun;
}
