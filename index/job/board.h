// The jobs of all terminals of a shop, and which of them is whose.
//
// A terminal writes only in its own folder, so a job that another bay takes over is a copy there
// under the same id. It names whose it was (`taken-from`) and which version (`taken-touched`): that
// version is done with, for as long as its own terminal has not written another. What is left are
// the living versions of a job, one unless two bays took it at once, or its first bay worked on
// while it was being taken: then both live, and it is said. No clock decides between them.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "files/disk.h"
#include "job/job.h"

namespace baylore::job {

struct Version {
  std::string terminal;  // its folder
  Job job;
};

// What a version's terminal is called: the name in it, else its folder.
std::string bay_of(const Version& version);

// Whether `by` is what another terminal made of exactly this version.
bool taken_over(const Version& one, const Version& by);

// A living version of a job that this terminal does not have.
struct Elsewhere {
  Version version;                // the one written last, where several live
  std::vector<std::string> also;  // bays that have another living version
};
// This terminal's version of a job is done with.
struct Gone {
  std::string touched;  // of the version that was taken
  std::string bay;      // who has it now
  std::string initials;
};
// A job of a car whose VIN was known.
struct Past {
  std::string id;
  std::string touched;
  std::string complaint;
  search::Vehicle vehicle;
  std::vector<std::string> cars;
  std::string bay;
  State state = State::open;
};

struct Board {
  std::vector<Elsewhere> elsewhere;  // open and parked, by bay, then number
  std::map<std::string, Gone> gone;  // job's id -> where it went
  // Of jobs in hand here: bays that have another living version.
  std::map<std::string, std::vector<std::string>> also;
  std::vector<Past> past;  // last written first
};
Board board_of(const std::vector<Version>& versions, const std::string& terminal);

// All jobs of a shop's folder, read again only where a file changed. Of finished ones it holds what
// lists show, not ticks and readings: they may be years of them.
class JobBook {
 public:
  // True when anything is not as it was. A folder out of reach changes nothing.
  bool update(files::Disk& disk, const std::string& shop_folder);
  [[nodiscard]] std::vector<Version> versions() const;

 private:
  struct Kept {
    std::uint64_t size = 0;
    std::int64_t modified_ns = 0;
    std::int64_t changed_ns = 0;
    std::uint64_t inode = 0;
    std::vector<Version> version;  // none when the file is no job
  };
  std::map<std::string, Kept> files_;  // by path below jobs/
};

}  // namespace baylore::job
