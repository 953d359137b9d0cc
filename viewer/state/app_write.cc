// Write: a tip's document, one field at a time or the whole as text.
#include <algorithm>

#include "files/names.h"
#include "job/trace.h"
#include "viewer/screens/screens.h"
#include "viewer/state/app.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

const WriteField* field_named(std::string_view key) {
  for (const WriteField& f : write_fields()) {
    if (f.key == key) return &f;
  }
  return nullptr;
}

std::vector<std::string> lines_of(std::string_view text) {
  std::vector<std::string> out;
  while (!text.empty()) {
    const std::size_t end = text.find('\n');
    std::string_view line = text.substr(0, end);
    while (!line.empty() && line.front() == ' ') line.remove_prefix(1);
    while (!line.empty() && line.back() == ' ') line.remove_suffix(1);
    if (line.starts_with("- ")) line.remove_prefix(2);
    if (!line.empty()) out.emplace_back(line);
    if (end == std::string_view::npos) break;
    text.remove_prefix(end + 1);
  }
  return out;
}

std::string one_line(std::string_view text) {
  std::string out;
  for (const char c : text) out.push_back(c == '\n' ? ' ' : c);
  while (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

}  // namespace

std::string get_field(const shop::Document& document, std::string_view key) {
  if (key == "whole") return document.bytes();
  const WriteField* field = field_named(key);
  if (field == nullptr) return {};
  if (field->section) {
    const shop::Section* section = document.section(key);
    if (section != nullptr) return section->body;
    // A file with only a title and some text: that text is its symptom.
    return key == "symptom" ? document.preamble() : std::string();
  }
  if (!field->list) {
    const std::string value = document.value(key);
    return value.empty() && key == "title" ? document.heading() : value;
  }
  std::string out;
  for (const std::string& item : document.list(key)) out += (out.empty() ? "" : "\n") + item;
  return out;
}

void put_field(shop::Document& document, std::string_view key, const std::string& text) {
  if (text == get_field(document, key)) return;  // an untouched field changes no byte
  if (key == "whole") {
    document = shop::Document::parse(text);
    return;
  }
  const WriteField* field = field_named(key);
  if (field == nullptr) return;
  if (field->section) {
    document.set_section(field->label, text);
  } else if (field->list) {
    document.set_list(key, lines_of(text));
  } else if (one_line(text).empty()) {
    document.remove(key);
  } else {
    document.set_value(key, one_line(text));
  }
}

void App::begin_writing(const std::string& path, const std::string& before,
                        shop::Document document) {
  forget_dropped();
  state_.write = Writing{};
  state_.write.active = true;
  state_.write.draft_id = files::new_id();
  state_.write.path = path;
  state_.write.before = before;
  state_.write.document = std::move(document);
  ui_.scroll_state("write fields") = {};
  unchecked_ = true;
}

void App::leave_field() {
  Writing& w = state_.write;
  if (w.field.empty()) return;
  const std::string old = w.document.bytes();
  put_field(w.document, w.field, w.buffer.text());
  if (w.document.bytes() != old && w.changed_at == 0) w.changed_at = now_;
  w.field.clear();
}

void App::load_field(const std::string& key) {
  Writing& w = state_.write;
  w.field = key;
  // A title that only fills the place of one is nothing to type behind.
  const std::string value = get_field(w.document, key);
  w.buffer = TextBuffer(key == "title" && value == job::kUntitled ? std::string() : value, true);
  if (key == "whole") w.buffer.place_caret(0);
  ui_.scroll_state("write text") = {};
}

// What the job knows is filled in: the author trims instead of typing.
void App::write_from(const job::Job& job, const shop::Outcome* outcome) {
  const search::Understood line = search::understand(job.line, *state_.vocabulary, job.dropped);
  shop::Document document = job::tip_from(job, line, outcome);
  document.set_value("author", job.initials.empty() ? state_.terminal.name : job.initials);
  document.set_value("written", files::now_text().substr(0, 10));
  begin_writing({}, {}, std::move(document));
  state_.write.changed_at = now_;
}

bool App::apply_write(const Action& action) {
  Writing& w = state_.write;
  switch (action.what) {
    case Do::write_new: {
      if (!w.active) {
        if (job::Job* now = state_.current()) {
          keep_line();
          write_from(*now, nullptr);
        }
      }
      if (state_.screen == Screen::menu) go_back();
      go(Screen::write);
      return true;
    }
    case Do::write_finished: {
      const auto of =
          std::find_if(state_.finished.begin(), state_.finished.end(),
                       [&](const shop::Finished& f) { return f.outcome.id == state_.came_back; });
      if (of == state_.finished.end()) return true;
      if (w.active) {
        state_.notice = Notice{tr("Another tip is being written"),
                               tr("Save it or drop its draft first."), true};
      } else {
        const auto own = std::find_if(state_.jobs.begin(), state_.jobs.end(),
                                      [&](const job::Job& j) { return j.id == of->outcome.job; });
        job::Job job;
        if (own != state_.jobs.end()) {
          job = *own;
        } else {
          // Another bay's: its record has the vehicle, the codes and the part.
          const shop::Car& car = of->outcome.car;
          job.vehicle = {car.make, car.model, car.year, car.engine};
          for (const std::string& code : of->outcome.codes) job.code_state[code] = "stored";
        }
        write_from(job, &of->outcome);
      }
      go(Screen::write);
      return true;
    }
    case Do::write_edit:
      if (!state_.tip || state_.tip->preview) return true;
      if (!w.active || w.path != state_.tip->row.path) {
        if (w.active) {
          state_.notice = Notice{tr("Another tip is being written"),
                                 tr("Save it or drop its draft first."), true};
          go(Screen::write);
          return true;
        }
        begin_writing(state_.tip->row.path, state_.tip->bytes,
                      shop::Document::parse(state_.tip->bytes));
      }
      go(Screen::write);
      return true;
    case Do::write_field:
      if (w.saving) return true;  // what was typed now would be in neither the file nor a draft
      leave_field();
      load_field(action.text);
      return true;
    case Do::write_fields:
      leave_field();
      return true;
    case Do::preview: {
      leave_field();
      const job::Job* now = state_.current();
      state_.tip = preview_of(w.document, w.path.empty() ? "tips/new.md" : w.path,
                              now != nullptr ? now->vehicle : search::Vehicle{});
      state_.fastener = 0;
      state_.picture = 0;
      ui_.scroll_state("tip") = {};
      go(Screen::tip);
      return true;
    }
    case Do::save_tip: {
      leave_field();
      if (w.saving) return true;
      if (get_field(w.document, "title").empty()) {
        w.failure = tr("A tip needs a title");
        return true;
      }
      w.saving = true;
      w.failure.clear();
      w.conflict = false;
      desk_->save_tip(w.draft_id, w.path, w.before, w.document.bytes());
      return true;
    }
    case Do::save_as_new: {
      // The other's version stays; ours becomes a tip of its own, with an id of its own.
      leave_field();
      w.document.set_value("id", files::new_id());
      w.document.set_value("title", say("{0} (second version)", get_field(w.document, "title")));
      w.path.clear();
      w.before.clear();
      return apply_write({Do::save_tip, {}});
    }
    case Do::drop_draft:
      leave_field();
      desk_->drop_draft(w.draft_id);
      state_.dropped = std::move(w);
      w = Writing{};
      state_.notice = Notice{tr("Draft dropped"), tr("Undo brings it back."), false, true};
      state_.screen = Screen::job;
      state_.back.clear();
      return true;
    default:
      return false;
  }
}

}  // namespace baylore::viewer
