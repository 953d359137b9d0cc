// The jobs of one terminal: jobs/TERMINAL/ID.json, each replaced whole at every change.
#pragma once

#include <string>
#include <vector>

#include "files/disk.h"
#include "job/job.h"
#include "shop/finding.h"

namespace baylore::job {

struct Loaded {
  std::vector<Job> jobs;    // sorted by number, then id; finished ones included
  shop::Findings findings;  // files that are no jobs: set aside, never deleted
};
Loaded load_jobs(files::Disk& disk, const std::string& shop_folder, const std::string& terminal);
files::Result<void> save_job(files::Disk& disk, const std::string& shop_folder,
                             const std::string& terminal, const Job& job);

// A new job with the lowest number that no open or parked job carries.
Job new_job(const std::vector<Job>& jobs);

}  // namespace baylore::job
