// The jobs of one terminal on disk.
#include "job/jobs.h"

#include <doctest/doctest.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include "files/names.h"

using namespace baylore;
using job::Job;
using job::load_jobs;
using job::new_job;
using job::save_job;
using job::State;

namespace {

struct Shop {
  std::string path = (std::filesystem::temp_directory_path() / "baylore-test-XXXXXX").string();
  Shop() { path = ::mkdtemp(path.data()); }
  ~Shop() {
    std::error_code ignored;
    std::filesystem::remove_all(path, ignored);
  }
  Shop(const Shop&) = delete;
  Shop& operator=(const Shop&) = delete;

  void put(const std::string& name, std::string_view bytes) const {
    const std::filesystem::path file = path + "/jobs/bay-7K2QF9/" + name;
    std::filesystem::create_directories(file.parent_path());
    std::ofstream(file, std::ios::binary) << bytes;
  }
  void save(const Job& job) const {
    REQUIRE(save_job(files::real_disk(), path, "bay-7K2QF9", job).ok());
  }
  [[nodiscard]] job::Loaded load() const {
    return load_jobs(files::real_disk(), path, "bay-7K2QF9");
  }
};

}  // namespace

TEST_CASE("a terminal without jobs has none, and nothing is wrong with that") {
  const Shop shop;
  CHECK(shop.load().jobs.empty());
  CHECK(shop.load().findings.empty());
}

TEST_CASE("numbers are the lowest that no job in hand carries") {
  std::vector<Job> jobs;
  for (int number = 1; number <= 3; ++number) {
    jobs.push_back(new_job(jobs));
    CHECK(jobs.back().number == number);
  }
  CHECK(files::is_id(jobs[0].id));
  CHECK(jobs[0].id != jobs[1].id);
  CHECK(jobs[0].started == jobs[0].touched);
  CHECK_FALSE(jobs[0].started.empty());
  jobs[1].state = State::parked;
  CHECK(new_job(jobs).number == 4);
  jobs[1].state = State::finished;
  CHECK(new_job(jobs).number == 2);
}

TEST_CASE("saved jobs are loaded by number, then id; a job saved again is there once") {
  const Shop shop;
  Job b;
  b.id = "b";
  b.number = 2;
  Job c;
  c.id = "c";
  c.number = 1;
  Job a;
  a.id = "a";
  a.number = 2;
  a.state = State::finished;
  for (const Job& job : {b, c, a}) shop.save(job);
  b.line = "noise";
  shop.save(b);
  const job::Loaded loaded = shop.load();
  REQUIRE(loaded.jobs.size() == 3);
  CHECK(loaded.jobs[0].id == "c");
  CHECK(loaded.jobs[1].id == "a");
  CHECK(loaded.jobs[2].id == "b");
  CHECK(loaded.jobs[2].line == "noise");
  CHECK(loaded.findings.empty());
  // Another terminal's jobs are its own.
  CHECK(load_jobs(files::real_disk(), shop.path, "bay-OTHER1").jobs.empty());
}

TEST_CASE("files that are no jobs are set aside with a finding and stay where they are") {
  const Shop shop;
  Job good;
  good.id = "good";
  shop.save(good);
  shop.put("bad.json", "{\"format\": \"baylore-job 1\", \"id\"");
  shop.put("good.sync-conflict-1.json", job::to_json(good));
  shop.put("notes.txt", "not a job");
  const job::Loaded loaded = shop.load();
  REQUIRE(loaded.jobs.size() == 1);
  CHECK(loaded.jobs[0].id == "good");
  REQUIRE(loaded.findings.size() == 2);
  CHECK(loaded.findings[0].file == "jobs/bay-7K2QF9/bad.json");
  CHECK(loaded.findings[1].file == "jobs/bay-7K2QF9/good.sync-conflict-1.json");
  CHECK(loaded.findings[1].message.find("good") != std::string::npos);
  CHECK(std::filesystem::exists(shop.path + "/jobs/bay-7K2QF9/bad.json"));
  CHECK(std::filesystem::exists(shop.path + "/jobs/bay-7K2QF9/good.sync-conflict-1.json"));
}

TEST_CASE("ids and terminals that would climb out of their folder are refused") {
  const Shop shop;
  Job job;
  job.id = "../../outside";
  CHECK_FALSE(save_job(files::real_disk(), shop.path, "bay", job).ok());
  job.id = "";
  CHECK_FALSE(save_job(files::real_disk(), shop.path, "bay", job).ok());
  job.id = "inside";
  CHECK_FALSE(save_job(files::real_disk(), shop.path, "../bay", job).ok());
  CHECK_FALSE(save_job(files::real_disk(), shop.path, "", job).ok());
  CHECK(load_jobs(files::real_disk(), shop.path, "../bay").jobs.empty());
  CHECK(std::filesystem::is_empty(shop.path));
}

TEST_CASE("a job that cannot be saved says so and leaves what was saved") {
  const Shop shop;
  Job job;
  job.id = "a";
  job.line = "first";
  shop.save(job);
  // A folder in the way of the jobs folder of another terminal.
  std::ofstream(shop.path + "/jobs/blocked") << "a file";
  CHECK_FALSE(save_job(files::real_disk(), shop.path, "blocked", job).ok());
  REQUIRE(shop.load().jobs.size() == 1);
  CHECK(shop.load().jobs[0].line == "first");
}
