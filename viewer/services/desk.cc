#include "viewer/services/desk.h"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <ctime>
#include <mutex>
#include <set>
#include <thread>

#include "diagnosis/experience.h"
#include "files/names.h"
#include "files/save.h"
#include "job/car.h"
#include "shop/check/check.h"
#include "shop/fold.h"
#include "shop/setting.h"
#include "shop/shop.h"
#include "shop/shop_disk.h"
#include "shop/sync_files.h"
#include "store/build.h"
#include "store/watch.h"
#include "viewer/services/drafts.h"
#include "viewer/services/memory.h"
#include "viewer/services/part_pages.h"
#include "viewer/services/sources.h"
#include "viewer/services/sticks.h"
#include "viewer/services/waiting.h"
#include "viewer/services/worker.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

constexpr int kOftenTips = 8;                // tips shown before anything is typed
constexpr std::size_t kFinishedTold = 5000;  // of which the list shows what is looked for
constexpr std::size_t kWords = 20000;        // for suggestions
constexpr int kTitles = 2000;                // of which the words are suggested
constexpr std::uint64_t kMountsLimit = 4U << 20U;
constexpr std::size_t kShopsOffered = 12;
constexpr auto kRestStep = std::chrono::milliseconds(50);
constexpr auto kDecodeLimit = std::chrono::milliseconds(6000);

void add_link(std::vector<TipLine>& to, const store::TipRow& row, const std::string& note) {
  for (const TipLine& line : to) {
    if (line.id == row.id) return;
  }
  to.push_back(TipLine{row.id, row.title, note});
}

// What the files of a shop say about each other, by path.
using Across = std::map<std::string, shop::Findings>;

TipPage page_of(const store::Store& store, const store::TipRow& row, std::string bytes,
                const search::Vehicle& vehicle, const std::vector<shop::Question>& questions,
                const Across& across, const diagnosis::Experience& experience) {
  TipPage page;
  page.row = row;
  const diagnosis::Proved proved = experience.proved(row.id);
  page.proved = diagnosis::in_words(proved);
  page.unproved = proved.right == 0;
  const shop::Document document = shop::Document::parse(bytes);
  page.tip = shop::read_tip(document, row.path);
  page.findings = shop::check_tip(document, page.tip);
  if (const auto found = across.find(row.path); found != across.end()) {
    page.findings.insert(page.findings.end(), found->second.begin(), found->second.end());
    std::stable_sort(
        page.findings.begin(), page.findings.end(),
        [](const shop::Finding& a, const shop::Finding& b) { return a.line < b.line; });
  }
  page.bytes = std::move(bytes);
  page.fit = search::fit_of(page.tip.fits, vehicle);
  page.cautions = shop::cautions_for(page.tip.system, page.tip.component);
  page.safety = shop::safety_critical(page.tip.system);
  for (const shop::MistakenFor& other : page.tip.mistaken_for) {
    if (const auto found = store.find(other.tip)) add_link(page.mistaken, *found, other.note);
  }
  for (const auto& [other, note] : store.mistaken_by(row)) add_link(page.mistaken, other, note);
  for (const shop::Question& q : questions) {
    if (q.tip == row.id) page.questions.push_back(q);
  }
  return page;
}

std::string clock_text() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  localtime_r(&now, &local);
  std::array<char, 8> text{};
  std::strftime(text.data(), text.size(), "%H:%M", &local);
  return text.data();
}

// Whether what changed has a part in how parts lasted. Nothing named: it may have.
bool concerns_parts(const store::Changed& paths) {
  return !paths || std::any_of(paths->begin(), paths->end(), [](const std::string& path) {
    return path.starts_with("parts/") || path.starts_with("records/") ||
           path.starts_with("received/") || path == "shop.md";
  });
}

}  // namespace

struct Desk::Inside {
  // What the last news said, as far as news can differ: most looks at the folder find what was
  // there before, and must wake nobody.
  struct Told {
    bool gone = false;
    std::string problem;
    std::uint64_t stamp = 0;  // of the store; 0: none
    std::vector<std::string> questions;
    std::vector<std::string> often;
    std::size_t records = 0;
    bool operator==(const Told&) const = default;
  };

  explicit Inside(DeskOptions o)
      : options(std::move(o)),
        whole_disk(options.disk != nullptr ? *options.disk : files::real_disk()),
        shop_disk(whole_disk, options.shop),
        disk(options.demo_source.empty() ? static_cast<files::Disk&>(shop_disk) : whole_disk) {
    location = store::locate(options.shop, options.store_folder);
  }

  void emit(Event event) {
    {
      const std::lock_guard lock(mutex);
      events.push_back(std::move(event));
    }
    if (options.wake) options.wake();
  }

  // --- on the finder's thread

  bool ready() {
    if (reader) {
      static_cast<void>(reader->refresh());
      return true;
    }
    auto opened = store::Store::open(location);
    if (!opened) return false;
    reader.emplace(std::move(opened.value()));
    return true;
  }

  void tell_news(bool gone, const std::string& problem) {
    ShopNews news;
    news.gone = gone;
    news.problem = problem;
    if (!gone) copy_time = clock_text();
    news.copy_time = copy_time;
    Told now{gone, problem, 0, {}, {}, 0};
    if (!ready()) {
      if (news.problem.empty()) news.problem = tr("the shop cannot be indexed yet");
      if (std::exchange(told, now) != now) tell(std::move(news));
      return;
    }
    read_book();
    shop::Records doubts;
    for (const shop::Record& record : book.records()) {
      if (record.kind == "question" || record.kind == "settled") doubts.records.push_back(record);
    }
    questions = shop::open_questions(doubts);
    news.questions = questions;
    news.finished = shop::finished_jobs(book.records());
    if (news.finished.size() > kFinishedTold) news.finished.resize(kFinishedTold);
    news.often = often_used();
    now.stamp = reader->stamp();
    for (const shop::Question& question : questions) now.questions.push_back(question.id);
    now.records = book.records().size();
    for (const TipLine& line : news.often) now.often.push_back(line.id + line.note);
    if (std::exchange(told, now) == now) return;
    tell(std::move(news));
  }

  // What takes longer: of a hundred thousand tips some twenty milliseconds after every save, which
  // a search would have to wait for. The teller has a reader of its own.
  void tell(ShopNews news) {
    teller.post(
        [this, news = std::move(news)]() mutable {
          if (telling) {
            static_cast<void>(telling->refresh());
          } else if (auto opened = store::Store::open(location)) {
            telling.emplace(std::move(opened.value()));
          }
          if (telling) {
            news.settings = telling->settings();
            news.counts = telling->counts();
            if (!vocabulary || vocabulary_version != telling->documents_version()) {
              vocabulary = std::make_shared<const shop::Vocabulary>(telling->vocabulary());
              vocabulary_version = telling->documents_version();
            }
            news.vocabulary = vocabulary;
            news.words = suggestion_words(*telling, *vocabulary);
          }
          emit(std::move(news));
        },
        "tell");
  }

  void read_book() {
    if (book.update(disk, options.shop) && experience.take(book)) {
      tracks = std::make_shared<const search::TrackRecord>(experience.tracks());
    }
  }

  // Tips that jobs of this terminal worked on, most jobs first, filled up with the newest.
  std::vector<TipLine> often_used() {
    std::map<std::string, int> count;
    for (const job::Job& job : job::load_jobs(disk, options.shop, options.terminal).jobs) {
      if (!job.tip.empty()) ++count[job.tip];
    }
    std::vector<std::pair<int, std::string>> by_count;
    for (const auto& [id, n] : count) by_count.emplace_back(-n, id);
    std::sort(by_count.begin(), by_count.end());
    std::vector<TipLine> out;
    const auto add = [&](const store::TipRow& row, std::string note) {
      if (out.size() < kOftenTips &&
          std::none_of(out.begin(), out.end(), [&](const TipLine& t) { return t.id == row.id; })) {
        out.push_back(TipLine{row.id, row.title, std::move(note)});
      }
    };
    for (const auto& [n, id] : by_count) {
      const auto row = reader->find(id);
      if (row && row->status == "current")
        add(*row, say_count("used once here", "used {0} times here", -n, -n));
    }
    for (const store::TipRow& row : reader->newest(kOftenTips))
      add(row, row.system + (row.written.empty() ? "" : ", " + row.written));
    return out;
  }

  static std::vector<std::string> suggestion_words(const store::Store& store,
                                                   const shop::Vocabulary& vocabulary) {
    std::set<std::string> words;
    const auto add = [&](std::string_view text) {
      for (const std::string& word : shop::words_of(text)) {
        if (word.size() >= 3 && words.size() < kWords) words.insert(word);
      }
    };
    for (const shop::Model& model : vocabulary.models) {
      add(model.make);
      add(model.name);
    }
    for (const auto& group : vocabulary.synonyms) {
      for (const std::string& word : group) add(word);
    }
    for (const shop::Component& component : vocabulary.components) add(component.name);
    for (const std::string& title : store.newest_titles(kTitles)) add(title);
    return {words.begin(), words.end()};
  }

  // To be looked at by the next build: a later post takes an earlier one's place.
  void changed(store::Changed paths) {
    {
      const std::lock_guard lock(changed_mutex);
      if (!paths) {
        changed_paths.reset();
      } else if (changed_paths) {
        changed_paths->insert(changed_paths->end(), paths->begin(), paths->end());
      }
    }
    builder.post([this] { build(); }, "build");
  }

  void build() {
    store::Options build_options;
    {
      const std::lock_guard lock(changed_mutex);
      build_options.changed = std::exchange(changed_paths, std::vector<std::string>());
    }
    if (concerns_parts(build_options.changed) || !std::exchange(counted, true)) count_soon();
    build_options.stop = &stop_build;
    if (!stop) stop_build = false;
    // Every page is read once, at the start; later damage is met by the readers, who say so.
    build_options.check = !read_through;
    bool said = false;
    build_options.progress = [&](const store::Progress& p) {
      said = true;
      emit(Building{p.done, p.total});
    };
    const auto report = store::bring_up_to_date(disk, location, build_options);
    if (!report) {
      const std::lock_guard lock(changed_mutex);
      changed_paths.reset();  // what was not looked at is looked for next time
    }
    if (report) {
      read_through = true;
      if (report->rebuilt) give_back_memory();
      const bool changed = report->added + report->changed + report->removed > 0;
      if (changed || std::exchange(unchecked, false)) checker.post([this] { check(); }, "check");
    }
    const bool gone = !report && (report.failure().kind == files::Failure::Kind::missing ||
                                  report.failure().kind == files::Failure::Kind::gone);
    const bool back = shop_gone.exchange(gone) && !gone;
    // Somebody said stop: the store is as it was, and nothing is wrong.
    const bool given_up = !report && stop_build;
    const std::string problem = report || given_up ? std::string() : report.failure().text();
    if (said) emit(Building{0, 0});
    finder.post([this, gone, problem] { tell_news(gone, problem); }, "news");
    if (!gone) {
      writer.post([this] { save_waiting(); }, "waiting");
      if (back) {
        // What could not be read while it was away.
        tell_all_jobs();
        count_soon();
      }
    }
  }

  // --- on the counter's thread

  void count_soon() {
    counter.post([this] { count(); }, "count");
  }

  // Everything is read anew: a second for a hundred thousand records, and nobody waits for it.
  void count() {
    if (!shop_there()) return;  // what was counted before stays
    const auto settings = shop::read_settings(disk, options.shop);
    const quality::Counting counting{
        files::now_ns() / 1'000'000,
        settings ? settings->comeback_months : shop::Settings{}.comeback_months};
    shop::Findings findings;  // those of the files are the check's, those of records `stats` tells
    auto history = std::make_shared<const quality::History>(
        quality::read_history(disk, options.shop, counting, findings));
    auto told_of = std::make_shared<const Sources>(read_sources(disk, options.shop));
    finder.post([this, history = std::move(history), told_of = std::move(told_of)] {
      sources = told_of;
      standings.emplace(history);
      emit(Counted{history});
      if (const auto waiting_for = std::exchange(part_waited, std::nullopt))
        open_part(waiting_for->first, waiting_for->second);
    });
  }

  // --- on the finder's thread again

  void open_part(std::uint64_t serial, const PartAsked& asked) {
    if (!standings) {
      part_waited = std::pair(serial, asked);
      return;
    }
    const shop::PartBook& parts = standings->history().parts();
    const shop::PartBook::Found found = parts.find(asked.name);
    PartOpened opened{serial, std::nullopt, {}};
    if (found.places.size() > 1) {
      for (const auto& place : found.places) opened.choices.push_back(parts.number(place).name);
    } else if (found.places.size() == 1) {
      const bool store = ready();
      opened.page =
          part_page(*standings, asked, found.places.front(),
                    store ? reader->settings() : shop::Settings{}, store ? &*reader : nullptr);
      if (const auto told_of = sources->parts.find(opened.page->number().name);
          told_of != sources->parts.end())
        opened.page->told = told_of->second;
    }
    emit(std::move(opened));
  }

  void tell_records(const std::string& part) {
    RecordsTold told_of{part, {}};
    if (standings) {
      const auto found = standings->history().parts().find(part);
      read_book();
      if (found.places.size() == 1)
        told_of.records = records_behind(standings->history(), found.places.front(), found.lot,
                                         book.records(), disk, options.shop);
    }
    emit(std::move(told_of));
  }

  // --- on the checker's thread

  // The whole shop, one tip against another. It takes a third of a millisecond a tip, and in a
  // shared shop something changes all the time: nine tenths of the time it rests.
  void check() {
    using Clock = std::chrono::steady_clock;
    while (!stop && Clock::now() < rested) std::this_thread::sleep_for(kRestStep);
    if (stop) return;
    const auto begun = Clock::now();
    shop::CheckOptions check_options;
    check_options.threads = 1;
    check_options.stop = &stop;
    auto found = std::make_shared<Across>();
    {
      auto report = shop::check_shop(disk, options.shop, check_options);
      rested = Clock::now() + 9 * (Clock::now() - begun);
      if (!report || stop) return;
      for (shop::Finding& finding : report->across)
        (*found)[finding.file].push_back(std::move(finding));
    }
    give_back_memory();
    finder.post([this, found = std::move(found)]() mutable {
      across = std::move(found);
      emit(Checked{});
    });
  }

  // Files of the demo that are missing in its working copy; what was edited there stays.
  void copy_demo() {
    const auto listed = disk.list(options.demo_source);
    if (!listed) return;
    for (const files::Listed& file : *listed) {
      const std::string to = files::join(options.shop, file.path);
      if (file.status.folder || disk.status(to)) continue;
      if (const auto bytes =
              disk.read(files::join(options.demo_source, file.path), files::kTextLimit)) {
        static_cast<void>(files::write_once(disk, to, *bytes));
      }
    }
  }

  // --- on the writer's thread

  // Writing makes the folders that are missing; with the shop's own folder away that would start a
  // second, empty shop in its place, or on the bare mount point.
  files::Result<void> shop_there() {
    const auto status = disk.status(options.shop);
    if (status && status->folder && !shop_gone) return {};
    return files::Failure{files::Failure::Kind::gone, options.shop,
                          tr("the shop folder is not there"),
                          tr("look at the network or the stick")};
  }

  void write_job(const job::Job& job) {
    const auto saved =
        save_or_keep(disk, options.shop, options.terminal, job, shop_there(), waiting);
    emit(JobSaved{job.id, saved ? std::nullopt : std::optional(saved.failure())});
  }

  void save_waiting() {
    if (waiting.jobs().empty()) return;
    waiting.drop_older_than(job::load_jobs(disk, options.shop, options.terminal).jobs);
    const std::map<std::string, job::Job> again = waiting.jobs();
    for (const auto& [id, job] : again) write_job(job);
  }

  // --- on the porter's thread

  // What other bays did with their jobs, and with ours.
  void look_at_jobs() {
    if (jobs.update(disk, options.shop)) emit(BoardRead{board_now()});
  }

  [[nodiscard]] job::Board board_now() const {
    return job::board_of(jobs.versions(), options.terminal);
  }

  void mark_car(const std::string& job, const std::string& vin) {
    CarMarked event{job, {}, std::nullopt};
    if (auto there = shop_there(); !there) {
      event.failure = there.failure();
    } else if (auto marks = job::car_marks(disk, options.shop, options.terminal, vin)) {
      event.marks = std::move(marks.value());
    } else {
      event.failure = marks.failure();
    }
    emit(std::move(event));
  }

  // --- on the writer's thread

  // The jobs as this terminal left them: what waits here is newer than what the shop has of it.
  // What other bays took over meanwhile is left out.
  void tell_jobs(const std::map<std::string, job::Gone>& gone) {
    auto loaded = job::load_jobs(disk, options.shop, options.terminal);
    std::erase_if(loaded.jobs, [&](const job::Job& job) {
      const auto at = gone.find(job.id);
      return at != gone.end() && at->second.touched == job.touched;
    });
    waiting.put_over(loaded.jobs);
    emit(JobsRead{std::move(loaded.jobs), std::move(loaded.findings)});
  }

  // Other bays' first: what they took from here is not told as this terminal's.
  void tell_all_jobs() {
    porter.post([this] {
      static_cast<void>(jobs.update(disk, options.shop));
      job::Board board = board_now();
      auto gone = board.gone;
      writer.post([this, gone = std::move(gone), board = std::move(board)]() mutable {
        tell_jobs(gone);
        emit(BoardRead{std::move(board)});
      });
    });
  }

  void write_tip(const std::string& draft, std::string path, const std::string& before,
                 const std::string& text) {
    shop::Document document = shop::Document::parse(text);
    // The draft's own id: saved once more, it is the same tip.
    if (document.value("id").empty()) document.set_value("id", draft);
    const shop::Tip tip = shop::read_tip(document, path);
    auto saved = shop_there();
    if (saved && path.empty()) {
      auto placed = shop::save_new_tip(disk, options.shop, tip.system, tip.title, document.bytes());
      if (placed) path = std::move(placed.value());
      if (!placed) saved = placed.failure();
    } else if (saved) {
      saved = shop::save_tip(disk, options.shop, path, before, document.bytes());
    }
    TipSaved event{draft, path, tip.id, std::nullopt};
    if (!saved) {
      event.failure = saved.failure();
      emit(std::move(event));
      return;
    }
    static_cast<void>(remove_draft(disk, options.state_folder, draft));
    // Findable at once: no waiting for the watcher to notice. Said only then, because what is saved
    // is opened, and a tip the store does not know yet cannot be.
    changed(std::vector<std::string>{event.path});
    builder.post([this, event = std::move(event)]() mutable { emit(std::move(event)); });
  }

  void add_outcome(const shop::Record& record) {
    auto saved = shop_there();
    if (saved) saved = shop::append_record(disk, options.shop, options.terminal, record);
    emit(OutcomeSaved{saved ? std::nullopt : std::optional(saved.failure())});
    if (saved) count_soon();
    if (saved) finder.post([this] { tell_news(false, {}); }, "news");
  }

  void add_record(shop::Record record) {
    auto saved = shop_there();
    if (saved) saved = shop::append_record(disk, options.shop, options.terminal, record);
    emit(QuestionSaved{saved ? std::nullopt : std::optional(saved.failure())});
    if (saved) finder.post([this] { tell_news(false, {}); }, "news");
  }

  DeskOptions options;
  files::Disk& whole_disk;  // on which a shop may be started
  shop::ShopDisk shop_disk;
  files::Disk& disk;  // for all else; the demo's copy is made anew when it is gone
  store::Location location;
  std::atomic<bool> stop{false};
  std::atomic<bool> stop_build{false};  // this build only
  std::atomic<bool> shop_gone{false};   // as the last look at it found
  // the builder's
  bool read_through = false;  // the store was read page by page
  bool counted = false;       // what was fitted was asked to be counted
  bool unchecked = true;      // the shop was not cross-checked yet

  mutable std::mutex mutex;
  std::vector<Event> events;

  // finder's
  std::optional<store::Store> reader;
  shop::RecordBook book;
  diagnosis::Experience experience;
  std::shared_ptr<const search::TrackRecord> tracks;
  std::optional<Standings> standings;  // nothing: not counted yet
  std::shared_ptr<const Sources> sources = std::make_shared<Sources>();
  std::optional<std::pair<std::uint64_t, PartAsked>> part_waited;
  std::vector<shop::Question> questions;
  std::string copy_time;
  std::optional<Told> told;
  std::shared_ptr<const Across> across = std::make_shared<Across>();
  // teller's
  std::optional<store::Store> telling;
  std::shared_ptr<const shop::Vocabulary> vocabulary;
  std::uint64_t vocabulary_version = 0;
  // checker's
  std::chrono::steady_clock::time_point rested;
  // what the builder is to look at: nothing, some files, or (empty) everything
  std::mutex changed_mutex;
  store::Changed changed_paths;
  // porter's
  job::JobBook jobs;
  // writer's
  WaitingJobs waiting{disk, options.state_folder};

  Worker finder;
  Worker teller;
  Worker painter;
  Worker checker{Worker::Place::behind};
  Worker counter;
  Worker builder;
  Worker porter;
  Worker writer;
  std::unique_ptr<PackDesk> packs;
  std::unique_ptr<PhotoDesk> photos;
  std::unique_ptr<SheetDesk> sheets;
  std::unique_ptr<store::Watcher> watcher;
  std::unique_ptr<store::Watcher> jobs_watcher;
};

Desk::Desk(DeskOptions options) : inside_(std::make_unique<Inside>(std::move(options))) {
  Inside& in = *inside_;
  PackDeskOptions packs;
  packs.shop = in.options.shop;
  packs.store_folder = in.options.store_folder;
  packs.state_folder = in.options.state_folder;
  packs.places = in.options.pack_places;
  packs.mounts = in.options.mounts;
  packs.disk = &in.disk;
  packs.emit = [&in](PackEvent event) {
    std::visit([&in](auto& one) { in.emit(Event(std::move(one))); }, event);
  };
  packs.changed = [&in] { in.changed(std::nullopt); };
  in.packs = std::make_unique<PackDesk>(std::move(packs));
  PhotoDeskOptions photos;
  photos.shop = in.options.shop;
  photos.photo_program = in.options.photo_program;
  photos.places = in.options.photo_places;
  photos.mounts = in.options.mounts;
  photos.disk = &in.disk;
  photos.emit = [&in](PhotoEvent event) {
    std::visit([&in](auto& one) { in.emit(Event(std::move(one))); }, event);
  };
  in.photos = std::make_unique<PhotoDesk>(std::move(photos));
  in.sheets = std::make_unique<SheetDesk>(SheetDeskOptions{
      in.options.shop, in.options.state_folder, in.options.pack_places, in.options.mounts,
      in.options.photo_program, &in.disk, [&in](SheetEvent event) {
        std::visit([&in](auto& one) { in.emit(Event(std::move(one))); }, event);
      }});
  // What is there already can be searched before the first look at the files is done.
  in.finder.post([&in] {
    if (in.ready()) in.tell_news(false, {});
  });
  in.writer.post([&in] { in.waiting.read(); });
  in.tell_all_jobs();
  in.writer.post([&in] {
    for (Draft& draft : read_drafts(in.disk, in.options.state_folder)) {
      in.emit(DraftRead{std::move(draft.id), std::move(draft.path), std::move(draft.before),
                        std::move(draft.text)});
    }
  });
  in.builder.post([&in] {
    if (!in.options.demo_source.empty()) in.copy_demo();
    in.build();
  });
  in.watcher = std::make_unique<store::Watcher>(
      in.options.shop, [&in](store::Changed paths) { in.changed(std::move(paths)); });
  // The other watcher leaves jobs/ out: they are written at every tap.
  in.jobs_watcher = std::make_unique<store::Watcher>(
      files::join(in.options.shop, "jobs"),
      [&in](const store::Changed&) { in.porter.post([&in] { in.look_at_jobs(); }, "jobs"); });
}

Desk::~Desk() {
  inside_->packs.reset();
  inside_->photos.reset();
  inside_->sheets.reset();
  inside_->watcher.reset();
  inside_->jobs_watcher.reset();
  inside_->stop = true;
  inside_->stop_build = true;
  inside_->builder.clear();
  inside_->checker.clear();
  inside_->painter.clear();
  inside_->porter.clear();
  inside_->counter.clear();
  inside_->finder.clear();
  inside_->teller.clear();
  // What was asked to be written first; they hand on work to each other, so all are there until the
  // last has ended.
  for (Worker* worker : {&inside_->writer, &inside_->porter, &inside_->builder, &inside_->checker,
                         &inside_->counter, &inside_->painter, &inside_->finder, &inside_->teller})
    worker->end();
}

std::vector<Event> Desk::take() {
  const std::lock_guard lock(inside_->mutex);
  return std::exchange(inside_->events, {});
}

void Desk::search(std::uint64_t serial, search::Query query) {
  Inside& in = *inside_;
  in.finder.post(
      [&in, serial, query = std::move(query)]() mutable {
        if (!in.ready()) return;
        query.tracks = in.tracks;
        in.emit(Searched{serial, search::search(*in.reader, query)});
      },
      "search");
}

void Desk::open_tip(std::string id, search::Vehicle vehicle) {
  Inside& in = *inside_;
  in.finder.post(
      [&in, id = std::move(id), vehicle = std::move(vehicle)] {
        Opened opened{id, std::nullopt};
        if (in.ready()) {
          if (const auto row = in.reader->find(id)) {
            // The file itself when it is there, for it may be newer than the store; else the
            // store's copy.
            auto text = shop::read_text(in.disk, in.options.shop, row->path);
            std::optional<std::string> bytes =
                text ? std::optional(std::move(text.value())) : in.reader->bytes(row->doc);
            in.read_book();
            if (bytes)
              opened.page = page_of(*in.reader, *row, std::move(*bytes), vehicle, in.questions,
                                    *in.across, in.experience);
            if (opened.page) {
              const auto source = in.sources->texts.find({shop::Kind::tip, row->id});
              if (source != in.sources->texts.end()) opened.page->source = source->second;
            }
            if (opened.page && in.standings)
              opened.page->evidence = evidence_of(*in.standings, opened.page->tip.parts, vehicle);
          }
        }
        in.emit(std::move(opened));
      },
      "open");
}

void Desk::save_job(job::Job job) {
  Inside& in = *inside_;
  const std::string key = "job:" + job.id;
  in.writer.post([&in, job = std::move(job)] { in.write_job(job); }, key);
}

void Desk::mark_car(std::string job, std::string vin) {
  Inside& in = *inside_;
  in.porter.post([&in, job = std::move(job), vin = std::move(vin)] { in.mark_car(job, vin); });
}

void Desk::keep_draft(Draft draft) {
  Inside& in = *inside_;
  const std::string key = "draft:" + draft.id;
  in.writer.post(
      [&in, draft = std::move(draft)] {
        const auto kept = write_draft(in.disk, in.options.state_folder, draft);
        in.emit(DraftKept{draft.id, kept ? std::nullopt : std::optional(kept.failure())});
      },
      key);
}

void Desk::drop_draft(std::string id) {
  Inside& in = *inside_;
  in.writer.post([&in, id = std::move(id)] {
    static_cast<void>(remove_draft(in.disk, in.options.state_folder, id));
  });
}

void Desk::save_tip(std::string draft, std::string path, std::string before, std::string text) {
  Inside& in = *inside_;
  in.writer.post([&in, draft = std::move(draft), path = std::move(path), before = std::move(before),
                  text = std::move(text)] { in.write_tip(draft, path, before, text); });
}

void Desk::diagnose(std::uint64_t serial, diagnosis::Complaint complaint,
                    std::vector<diagnosis::Answer> answers, diagnosis::Options options) {
  Inside& in = *inside_;
  in.finder.post(
      [&in, serial, complaint = std::move(complaint), answers = std::move(answers),
       options = std::move(options)] {
        if (!in.ready()) return;
        in.read_book();
        Guide guide;
        guide.a_case = std::make_shared<const diagnosis::Case>(
            diagnosis::find_case(*in.reader, complaint, in.experience));
        guide.outlook = diagnosis::look(*guide.a_case, answers, options);
        in.emit(Guided{serial, std::move(guide)});
      },
      "diagnose");
}

void Desk::record(shop::Record record) {
  Inside& in = *inside_;
  in.writer.post([&in, record = std::move(record)] { in.add_outcome(record); });
}

void Desk::open_part(std::uint64_t serial, PartAsked asked) {
  Inside& in = *inside_;
  in.finder.post([&in, serial, asked = std::move(asked)] { in.open_part(serial, asked); }, "part");
}

void Desk::tell_records(std::string part) {
  Inside& in = *inside_;
  in.finder.post([&in, part = std::move(part)] { in.tell_records(part); }, "records");
}

void Desk::add_question(std::string tip, std::string who, std::string text) {
  Inside& in = *inside_;
  shop::Record record{
      files::new_id(),
      files::now_text(),
      "question",
      {{"tip", std::move(tip)}, {"who", std::move(who)}, {"text", std::move(text)}}};
  in.writer.post([&in, record = std::move(record)] { in.add_record(record); });
}

void Desk::settle_question(std::string question, std::string tip, std::string who) {
  Inside& in = *inside_;
  shop::Record record{
      files::new_id(),
      files::now_text(),
      "settled",
      {{"refers", std::move(question)}, {"tip", std::move(tip)}, {"who", std::move(who)}}};
  in.writer.post([&in, record = std::move(record)] { in.add_record(record); });
}

void Desk::decode(std::string key, std::string tip_path, std::string name, int max_side) {
  Inside& in = *inside_;
  in.painter.post([&in, key = std::move(key), tip_path = std::move(tip_path),
                   name = std::move(name), max_side] {
    const std::string path = shop::picture_path(in.disk, in.options.shop, tip_path, name);
    if (path.empty()) {
      in.emit(PictureDecoded{key, std::nullopt, say("no photo: {0}", name)});
      return;
    }
    auto decoded = photo::decode_picture(
        in.options.photo_program, files::join(in.options.shop, path), max_side, kDecodeLimit);
    if (decoded) {
      in.emit(PictureDecoded{key, std::move(decoded.value()), {}});
    } else {
      in.emit(PictureDecoded{key, std::nullopt, name + ": " + decoded.failure().what});
    }
  });
}

void Desk::start_shop(std::string folder, std::string name) {
  Inside& in = *inside_;
  in.writer.post([&in, folder = std::move(folder), name = std::move(name)] {
    ShopStarted event{folder, std::nullopt};
    shop::Document document;
    document.set_value("name", name);
    const auto made = files::make_folders(in.whole_disk, files::join(folder, "tips"));
    const auto written =
        made ? files::write_once(in.whole_disk, files::join(folder, "shop.md"), document.bytes())
             : files::Result<bool>(made.failure());
    if (!written) event.failure = written.failure();
    if (written) {
      // A shop without them is one all the same: `baylore prepare` writes them later.
      static_cast<void>(shop::write_sync_files(in.whole_disk, folder));
    }
    in.emit(std::move(event));
  });
}

void Desk::look_for_shops(std::vector<std::string> places) {
  Inside& in = *inside_;
  // Beside what is asked for: every stick and share that is mounted.
  in.porter.post(
      [&in, places = std::move(places)]() mutable {
        if (const auto table = in.disk.read(in.options.mounts, kMountsLimit)) {
          for (const Mount& mount : mounted_folders(*table)) places.push_back(mount.folder);
        }
        in.emit(ShopsFound{shops_in(in.disk, places, kShopsOffered)});
      },
      "shops");
}

void Desk::look_at_shop(std::string folder) {
  Inside& in = *inside_;
  in.porter.post([&in, folder = std::move(folder)] {
    const auto there = in.whole_disk.status(files::join(folder, "shop.md"));
    in.emit(ShopLooked{folder, there && !there->folder});
  });
}

void Desk::set_shop_value(std::string key, std::string item, std::string value) {
  Inside& in = *inside_;
  in.writer.post([&in, key = std::move(key), item = std::move(item), value = std::move(value)] {
    auto written = in.shop_there();
    if (written) written = shop::save_setting(in.disk, in.options.shop, key, item, value);
    in.emit(ShopChanged{written ? std::nullopt : std::optional(written.failure())});
    if (written) in.changed(std::vector<std::string>{"shop.md"});
  });
}

void Desk::stop_building() { inside_->stop_build = true; }

void Desk::look_again() {
  Inside& in = *inside_;
  in.changed(std::nullopt);
}

PackDesk& Desk::packs() { return *inside_->packs; }

PhotoDesk& Desk::photos() { return *inside_->photos; }
SheetDesk& Desk::sheets() { return *inside_->sheets; }

std::string Desk::busy() const {
  // In the order in which work hands on work: a build posts news, a save posts a build.
  if (!inside_->packs->quiet()) return "packs";
  if (!inside_->photos->quiet()) return "photos";
  if (!inside_->sheets->quiet()) return "sheets";
  if (!inside_->porter.quiet()) return "porter";
  if (!inside_->writer.quiet()) return "writer";
  if (!inside_->builder.quiet()) return "builder";
  if (!inside_->counter.quiet()) return "counter";
  if (!inside_->painter.quiet()) return "painter";
  if (!inside_->finder.quiet()) return "finder";
  if (!inside_->teller.quiet()) return "teller";
  return {};
}

TipPage preview_of(const shop::Document& document, const std::string& path,
                   const search::Vehicle& vehicle) {
  TipPage page;
  page.tip = shop::read_tip(document, path);
  page.findings = shop::check_tip(document, page.tip);
  page.row.id = page.tip.id;
  page.row.path = path;
  page.row.title = page.tip.title;
  page.bytes = document.bytes();
  page.fit = search::fit_of(page.tip.fits, vehicle);
  page.cautions = shop::cautions_for(page.tip.system, page.tip.component);
  page.safety = shop::safety_critical(page.tip.system);
  page.preview = true;
  return page;
}

}  // namespace baylore::viewer
