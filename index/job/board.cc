#include "job/board.h"

#include <algorithm>
#include <tuple>
#include <utility>

#include "files/names.h"
#include "job/terminal.h"
#include "shop/records.h"

namespace baylore::job {
namespace {

std::int64_t touched_at(const Job& job) { return shop::instant_of(job.touched).value_or(0); }

// Written last; which terminal decides where the times are the same.
bool later(const Version& one, const Version& other) {
  return std::pair(touched_at(one.job), one.terminal) >
         std::pair(touched_at(other.job), other.terminal);
}

}  // namespace

std::string bay_of(const Version& version) {
  // Terminals nobody named are all called the same: their folders are not.
  const std::string& name = version.job.bay;
  return name.empty() || name == Terminal{}.name ? version.terminal : name;
}

bool taken_over(const Version& one, const Version& by) {
  return one.job.id == by.job.id && one.terminal != by.terminal &&
         by.job.taken_from == one.terminal && by.job.taken_touched == one.job.touched;
}

Board board_of(const std::vector<Version>& versions, const std::string& terminal) {
  std::map<std::string, std::vector<const Version*>> by_id;
  for (const Version& version : versions) by_id[version.job.id].push_back(&version);
  Board board;
  for (const auto& [id, all] : by_id) {
    std::vector<const Version*> living;
    for (const Version* one : all) {
      if (std::none_of(all.begin(), all.end(),
                       [&](const Version* by) { return taken_over(*one, *by); }))
        living.push_back(one);
    }
    // Files that each claim to be made of the other: nobody's work is hidden for that.
    if (living.empty()) living = all;
    std::sort(living.begin(), living.end(),
              [](const Version* one, const Version* other) { return later(*one, *other); });
    const auto is_own = [&](const Version* v) { return v->terminal == terminal; };
    const auto own = std::find_if(all.begin(), all.end(), is_own);
    const bool own_lives = std::any_of(living.begin(), living.end(), is_own);
    if (own != all.end() && !own_lives) {
      const Version& now = *living.front();
      board.gone[id] = Gone{(*own)->job.touched, bay_of(now), now.job.initials};
    }
    std::vector<std::string> others;
    for (const Version* v : living) {
      if (!is_own(v)) others.push_back(bay_of(*v));
    }
    if (own_lives) {
      if (!others.empty() && (*own)->job.state != State::finished) board.also[id] = others;
    } else {
      // A job that one of its bays finished is in hand for as long as another has it open.
      const auto in_hand = std::find_if(living.begin(), living.end(), [](const Version* v) {
        return v->job.state != State::finished;
      });
      if (in_hand != living.end()) {
        Elsewhere one{**in_hand, {}};
        for (const Version* v : living) {
          if (v != *in_hand) one.also.push_back(bay_of(*v));
        }
        board.elsewhere.push_back(std::move(one));
      }
    }
    const Job& last = living.front()->job;
    if (!last.cars.empty())
      board.past.push_back(Past{id, last.touched, last.complaint(), last.vehicle, last.cars,
                                bay_of(*living.front()), last.state});
  }
  std::sort(board.elsewhere.begin(), board.elsewhere.end(),
            [](const Elsewhere& one, const Elsewhere& other) {
              const auto place = [](const Elsewhere& e) {
                return std::tuple(bay_of(e.version), e.version.job.number, e.version.job.id);
              };
              return place(one) < place(other);
            });
  std::sort(board.past.begin(), board.past.end(), [](const Past& one, const Past& other) {
    return std::pair(shop::instant_of(one.touched).value_or(0), one.id) >
           std::pair(shop::instant_of(other.touched).value_or(0), other.id);
  });
  return board;
}

bool JobBook::update(files::Disk& disk, const std::string& shop_folder) {
  const std::string folder = files::join(shop_folder, "jobs");
  const auto listed = disk.list(folder);
  if (!listed) return false;
  bool changed = false;
  std::map<std::string, Kept> now;
  for (const files::Listed& file : *listed) {
    const std::size_t slash = file.path.find('/');
    if (file.status.folder || slash == std::string::npos || !file.path.ends_with(kJobEnding))
      continue;
    const std::string terminal = file.path.substr(0, slash);
    const std::string name = file.path.substr(slash + 1);
    if (!files::is_id(terminal) || name.find('/') != std::string::npos) continue;
    const files::Status& s = file.status;
    const auto old = files_.find(file.path);
    if (old != files_.end()) {
      const Kept& k = old->second;
      if (k.size == s.size && k.modified_ns == s.modified_ns && k.changed_ns == s.changed_ns &&
          k.inode == s.inode) {
        now.emplace(file.path, std::move(old->second));
        files_.erase(old);
        continue;
      }
    }
    changed = true;
    Kept kept{s.size, s.modified_ns, s.changed_ns, s.inode, {}};
    if (const auto bytes = disk.read(files::join(folder, file.path), files::kTextLimit)) {
      auto job = from_json(*bytes, file.path);
      if (job && job->id + std::string(kJobEnding) == name) {
        if (job->state == State::finished) {
          job->ticks.clear();
          job->readings.clear();
          job->frames.clear();
          job->skipped.clear();
          job->tried.clear();
        }
        kept.version.push_back(Version{terminal, std::move(job.value())});
      }
    }
    files_.erase(file.path);
    now.emplace(file.path, std::move(kept));
  }
  changed = changed || !files_.empty();  // what is left there is not on the disk any more
  files_ = std::move(now);
  return changed;
}

std::vector<Version> JobBook::versions() const {
  std::vector<Version> all;
  for (const auto& [path, kept] : files_)
    all.insert(all.end(), kept.version.begin(), kept.version.end());
  return all;
}

}  // namespace baylore::job
