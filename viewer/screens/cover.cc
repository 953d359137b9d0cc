// The cover over a panel that nobody has touched for long: whose bay it is, and the initials of
// those who have a job here. A tap goes on; nothing has to be typed, and nobody logs in.
#include <algorithm>

#include "viewer/screens/screens.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

constexpr std::size_t kMostNames = 4;

// The newest job of each who put initials on one, newest first.
std::vector<const job::Job*> jobs_by_name(const State& state) {
  std::vector<const job::Job*> all;
  for (const job::Job& job : state.jobs) {
    if (job.state != job::State::finished && !job.initials.empty()) all.push_back(&job);
  }
  std::sort(all.begin(), all.end(),
            [](const job::Job* a, const job::Job* b) { return a->touched > b->touched; });
  std::vector<const job::Job*> out;
  for (const job::Job* job : all) {
    const bool known = std::any_of(out.begin(), out.end(), [&](const job::Job* other) {
      return other->initials == job->initials;
    });
    if (!known && out.size() < kMostNames) out.push_back(job);
  }
  return out;
}

}  // namespace

void cover_screen(Ui& ui, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const Rect all = ui.screen();
  ui.fill(all, t.paper);
  const bool phone = ui.metrics().form() == Form::phone;
  const float x = phone ? 5.0F : 12.0F;
  const float w = all.w - 2 * x;
  // A tag as large as the panel allows, with the bay's name.
  const bool low = ui.metrics().low();
  const float tag_h = low ? all.h * 0.24F : std::clamp(all.h * 0.24F, 18.0F, 40.0F);
  const Rect tag{0, low ? 2.0F : all.h * (ui.metrics().text_scale > 1 ? 0.1F : 0.2F),
                 std::min(all.w * 0.86F, 190.0F), tag_h};
  const float cut = tag_h / 5;
  ui.polygon({{tag.x, tag.y},
              {tag.right() - cut, tag.y},
              {tag.right(), tag.y + cut},
              {tag.right(), tag.bottom() - cut},
              {tag.right() - cut, tag.bottom()},
              {tag.x, tag.bottom()}},
             t.ink);
  ui.disc(tag.right() - tag_h * 0.25F, tag.y + tag_h / 2, tag_h * 0.09F, t.paper);
  const float name_w = tag.w - x - tag_h * 0.5F;
  const Type name =
      ui.width(Type::number, state.terminal.name) <= name_w ? Type::number : Type::title;
  ui.text_in(x, tag.y + tag_h / 2 + ui.capitals(name) / 2, name_w, name, t.paper,
             state.terminal.name);
  float y = tag.bottom() + (low ? 2.0F : 6.0F);
  if (!state.shop.name.empty()) y += ui.paragraph(x, y, w, Type::title, t.ink, state.shop.name, 1);
  const std::vector<const job::Job*> jobs = jobs_by_name(state);
  ui.paragraph(
      x, y + 1, w, Type::text, t.muted,
      jobs.empty() ? tr("Tap to go on") : tr("Tap to go on, or your initials for your own job"));
  const bool two = phone && !low;
  const float key_w = std::min(60.0F, (w - 9) / (two ? 2 : 4));
  const float key_h = phone ? std::max(ui.finger(18), 9.0F) : 24.0F;
  for (std::size_t i = 0; i < jobs.size(); ++i) {
    const std::size_t in_row = two ? 2 : 4;
    const Rect cell{x + static_cast<float>(i % in_row) * (key_w + 3),
                    all.h - (key_h + 3) * static_cast<float>((jobs.size() + in_row - 1) / in_row) -
                        3 + (key_h + 3) * static_cast<float>(i / in_row),
                    key_w, key_h};
    if (key(ui, "initials:" + jobs[i]->id, cell, jobs[i]->initials, Type::title))
      out.push_back({Do::wake, jobs[i]->id});
  }
  if (ui.target("cover",
                {0, 0, all.w,
                 all.h - (jobs.empty() ? 0 : (key_h + 6) * (two && jobs.size() > 2 ? 2 : 1))}))
    out.push_back({Do::wake, {}});
}

}  // namespace baylore::viewer
