#include "viewer/services/waiting.h"

#include <algorithm>
#include <utility>

#include "files/names.h"
#include "files/save.h"
#include "job/jobs.h"
#include "shop/records.h"

namespace baylore::viewer {
namespace {

// Whether `one` was touched after `other`; a time that cannot be read proves nothing.
bool is_newer(const job::Job& one, const job::Job& other) {
  const auto at = shop::instant_of(one.touched);
  const auto other_at = shop::instant_of(other.touched);
  return at && other_at && *at > *other_at;
}

}  // namespace

void WaitingJobs::read() {
  const std::string folder = files::join(state_, "waiting");
  const auto listed = disk_.list(folder);
  if (!listed) return;
  for (const files::Listed& file : *listed) {
    if (file.status.folder || !file.path.ends_with(job::kJobEnding)) continue;
    const auto bytes = disk_.read(files::join(folder, file.path), files::kTextLimit);
    if (!bytes) continue;
    auto job = job::from_json(*bytes, file.path);
    if (job && job->id + std::string(job::kJobEnding) == file.path)
      jobs_[job->id] = std::move(*job);
  }
}

files::Result<void> WaitingJobs::keep(const job::Job& job) {
  jobs_[job.id] = job;
  return files::replace(disk_, path_of(job.id), job::to_json(job));
}

files::Result<void> WaitingJobs::taken(const std::string& id) {
  if (jobs_.erase(id) == 0) return {};
  const std::string path = path_of(id);
  const auto removed = disk_.remove(path);
  if (!removed) {
    if (removed.failure().kind == files::Failure::Kind::missing) return {};
    return removed;
  }
  return disk_.sync_folder(files::folder_of(path));
}

void WaitingJobs::drop_older_than(const std::vector<job::Job>& shop_has) {
  for (const job::Job& theirs : shop_has) {
    const auto waits = jobs_.find(theirs.id);
    if (waits != jobs_.end() && is_newer(theirs, waits->second))
      static_cast<void>(taken(theirs.id));
  }
}

void WaitingJobs::put_over(std::vector<job::Job>& jobs) const {
  for (const auto& [id, job] : jobs_) {
    const auto same = [&id = id](const job::Job& one) { return one.id == id; };
    const auto at = std::find_if(jobs.begin(), jobs.end(), same);
    if (at == jobs.end()) {
      jobs.push_back(job);
    } else if (!is_newer(*at, job)) {
      *at = job;
    }
  }
}

std::string WaitingJobs::path_of(const std::string& id) const {
  return files::join(files::join(state_, "waiting"), id + std::string(job::kJobEnding));
}

files::Result<void> save_or_keep(files::Disk& disk, const std::string& shop_folder,
                                 const std::string& terminal, const job::Job& job,
                                 const files::Result<void>& there, WaitingJobs& waiting) {
  auto saved = there;
  if (saved) saved = job::save_job(disk, shop_folder, terminal, job);
  if (saved) {
    // What waited is older than what the shop has now; should its file stay, `touched` tells.
    static_cast<void>(waiting.taken(job.id));
  } else {
    static_cast<void>(waiting.keep(job));
  }
  return saved;
}

}  // namespace baylore::viewer
