// Jobs that the shop's folder did not take: full, read-only, or away. Kept at STATE/waiting/ID.json
// until it takes them (FORMAT.md). Not thread-safe: the desk's writer alone.
#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "files/disk.h"
#include "job/job.h"

namespace baylore::viewer {

class WaitingJobs {
 public:
  WaitingJobs(files::Disk& disk, std::string state_folder)
      : disk_(disk), state_(std::move(state_folder)) {}

  // What an earlier run of the program left. A file that is no job is skipped and left where it is.
  void read();
  // Kept in memory even when the state folder takes it no better than the shop: the next change or
  // the next look at the shop tries again.
  files::Result<void> keep(const job::Job& job);
  // The shop has this job as it is now. Its file is gone for good before another change is
  // written: an old version that came back would be taken for news.
  files::Result<void> taken(const std::string& id);
  // Lets go of what the shop has in a newer version. `touched` tells, for both were written by this
  // terminal: a file may be left here by a disk that did not let it be removed.
  void drop_older_than(const std::vector<job::Job>& shop_has);
  // The jobs the shop has, with what waits here in place of what is older there.
  void put_over(std::vector<job::Job>& jobs) const;

  [[nodiscard]] const std::map<std::string, job::Job>& jobs() const { return jobs_; }

 private:
  [[nodiscard]] std::string path_of(const std::string& id) const;

  files::Disk& disk_;
  std::string state_;
  std::map<std::string, job::Job> jobs_;  // by id
};

// Saves a job into the shop, or keeps it here until the shop takes it; what the shop said. `there`
// is whether the shop's folder is.
files::Result<void> save_or_keep(files::Disk& disk, const std::string& shop_folder,
                                 const std::string& terminal, const job::Job& job,
                                 const files::Result<void>& there, WaitingJobs& waiting);

}  // namespace baylore::viewer
