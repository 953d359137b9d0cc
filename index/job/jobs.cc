#include "job/jobs.h"

#include <algorithm>
#include <set>
#include <tuple>
#include <utility>

#include "files/names.h"
#include "files/save.h"

namespace baylore::job {
namespace {

std::string folder_of_terminal(const std::string& terminal) {
  return files::join("jobs", terminal);
}

files::Failure bad_name(const std::string& name) {
  return {files::Failure::Kind::other, name, "is no name for a folder or file of jobs",
          "use letters, digits, dots, dashes and underscores, at most 64"};
}

}  // namespace

Loaded load_jobs(files::Disk& disk, const std::string& shop_folder, const std::string& terminal) {
  Loaded loaded;
  if (!files::is_id(terminal)) return loaded;
  const std::string below = folder_of_terminal(terminal);
  const std::string folder = files::join(shop_folder, below);
  const auto set_aside = [&](const std::string& name, const files::Failure& failure) {
    loaded.findings.push_back({files::join(below, name), 1, 1, shop::Level::warning, "job",
                               failure.what, failure.remedy});
  };
  const auto listed = disk.list(folder);
  if (!listed) {
    // A terminal without jobs has no folder yet.
    if (listed.failure().kind != files::Failure::Kind::missing) set_aside("", listed.failure());
    return loaded;
  }
  for (const files::Listed& file : *listed) {
    if (file.status.folder || !file.path.ends_with(kJobEnding)) continue;
    const std::string path = files::join(folder, file.path);
    const auto text = disk.read(path, files::kTextLimit);
    if (!text) {
      if (text.failure().kind != files::Failure::Kind::missing)
        set_aside(file.path, text.failure());
      continue;
    }
    auto job = from_json(*text, path);
    if (!job) {
      set_aside(file.path, job.failure());
    } else if (job->id + std::string(kJobEnding) != file.path) {
      // A copy that a file sync made of two versions: loading both would give one job two lives.
      set_aside(file.path, {files::Failure::Kind::other, path, "is a copy of job " + job->id,
                            "delete it when the job itself is right"});
    } else {
      loaded.jobs.push_back(std::move(*job));
    }
  }
  std::sort(loaded.jobs.begin(), loaded.jobs.end(), [](const Job& one, const Job& other) {
    return std::tie(one.number, one.id) < std::tie(other.number, other.id);
  });
  return loaded;
}

files::Result<void> save_job(files::Disk& disk, const std::string& shop_folder,
                             const std::string& terminal, const Job& job) {
  if (!files::is_id(terminal)) return bad_name(terminal);
  if (!files::is_id(job.id)) return bad_name(job.id);
  const std::string folder = files::join(shop_folder, folder_of_terminal(terminal));
  return files::replace(disk, files::join(folder, job.id + std::string(kJobEnding)), to_json(job));
}

Job new_job(const std::vector<Job>& jobs) {
  std::set<int> taken;
  for (const Job& job : jobs) {
    if (job.state != State::finished) taken.insert(job.number);
  }
  Job job;
  job.id = files::new_id();
  job.number = 1;
  while (taken.contains(job.number)) ++job.number;
  job.started = files::now_text();
  job.touched = job.started;
  return job;
}

}  // namespace baylore::job
