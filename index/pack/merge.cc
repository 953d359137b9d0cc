#include "pack/merge.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <map>
#include <set>

#include "pack/diff.h"
#include "shop/document.h"
#include "shop/scan.h"

namespace baylore::pack {
namespace {

using shop::scan::kByteOrderMark;

using Lines = std::vector<std::string>;

enum class Unit { line, value, list, prose, entry };

// A stretch of a text that is merged by itself.
struct Piece {
  std::string key;    // the same on every side: "entry:checks#1/Pressure left#1"
  std::string where;  // for people
  std::string above;  // of an entry: the key of its section
  Unit unit = Unit::prose;
  Lines lines;  // without the blank lines at its end
  Lines gap;    // those
  [[nodiscard]] std::string text() const {
    std::string all;
    for (const std::string& line : lines) all += line;
    return all;
  }
};

bool same(const Lines& a, const Lines& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const std::string& x, const std::string& y) { return bare(x) == bare(y); });
}

// A text cut into pieces, every line in exactly one of them.
class Cut {
 public:
  explicit Cut(std::string_view text) {
    mark_ = text.starts_with(kByteOrderMark);
    if (mark_) text.remove_prefix(kByteOrderMark.size());
    lines_ = lines_with_ends(text);
    document_ = shop::Document::parse(std::string(text));
    find_starts();
    std::sort(starts_.begin(), starts_.end(),
              [](const Start& a, const Start& b) { return a.line < b.line; });
    for (std::size_t i = 0; i < starts_.size(); ++i) {
      const std::size_t end = i + 1 < starts_.size() ? starts_[i + 1].line : lines_.size();
      add(starts_[i], end);
    }
  }

  [[nodiscard]] const std::vector<Piece>& pieces() const { return pieces_; }
  [[nodiscard]] const Piece* find(const std::string& key) const {
    const auto found = places_.find(key);
    return found == places_.end() ? nullptr : &pieces_[found->second];
  }
  [[nodiscard]] bool has_mark() const { return mark_; }
  [[nodiscard]] std::string usual_ending() const {
    return !lines_.empty() && lines_.front().ends_with("\r\n") ? "\r\n" : "\n";
  }

 private:
  struct Start {
    std::size_t line = 0;  // from 0
    Piece piece;
  };

  void start(int line, std::string key, std::string where, Unit unit, std::string above = {}) {
    // A heading that stands twice is two pieces, told apart by their order.
    const int again = ++counts_[key];
    Piece piece{fmt::format("{}#{}", key, again), std::move(where), std::move(above), unit, {}, {}};
    starts_.push_back({static_cast<std::size_t>(line - 1), std::move(piece)});
  }

  void find_starts() {
    int body = 1;
    const auto line = [&](int number) {
      return shop::scan::right_trimmed(bare(lines_[static_cast<std::size_t>(number) - 1]));
    };
    if (!lines_.empty() && line(1) == "---") {
      int end = 2;
      const auto count = static_cast<int>(lines_.size());
      while (end <= count && line(end) != "---" && line(end) != "...") ++end;
      if (end <= count) {
        start(1, "front", "front matter", Unit::line);
        for (const shop::Field& field : document_.front()) {
          if (field.line <= 1 || field.line >= end) continue;
          start(field.line, "field:" + field.key, field.label,
                field.items.empty() ? Unit::value : Unit::list);
        }
        start(end, "front-end", "front matter", Unit::line);
        body = end + 1;
      }
    }
    int first = static_cast<int>(lines_.size()) + 1;
    for (const shop::Section& section : document_.sections()) first = std::min(first, section.line);
    if (body < first) start(body, "preamble", "Text before the sections", Unit::prose);
    for (const shop::Section& section : document_.sections()) {
      if (section.line < body) continue;
      start(section.line, "section:" + section.key, section.heading, Unit::prose);
      const std::string above = starts_.back().piece.key;
      for (const shop::Entry& entry : section.entries) {
        start(entry.line, fmt::format("entry:{}/{}", above, entry.name),
              fmt::format("{} / {}", section.heading, entry.name), Unit::entry, above);
      }
    }
  }

  void add(const Start& from, std::size_t end) {
    // Rows of a table are entries too, and stay in their section's prose: no line twice.
    if (from.line >= end) return;
    Piece piece = from.piece;
    std::size_t blank = end;
    while (blank > from.line && shop::scan::is_blank(bare(lines_[blank - 1]))) --blank;
    const auto at = [&](std::size_t line) {
      return lines_.begin() + static_cast<std::ptrdiff_t>(line);
    };
    piece.lines.assign(at(from.line), at(blank));
    piece.gap.assign(at(blank), at(end));
    places_.emplace(piece.key, pieces_.size());
    pieces_.push_back(std::move(piece));
  }

  bool mark_ = false;
  Lines lines_;
  shop::Document document_;
  std::map<std::string, int> counts_;
  std::vector<Start> starts_;
  std::vector<Piece> pieces_;
  std::map<std::string, std::size_t> places_;
};

// The items under a key, each with the lines that belong to it; the first is the key's own line.
std::vector<Lines> items_of(const Lines& lines) {
  std::vector<Lines> items;
  for (const std::string& line : lines) {
    if (items.empty() || (shop::scan::bullet(bare(line)) && !items.empty())) {
      items.push_back({line});
    } else {
      items.back().push_back(line);
    }
  }
  return items;
}

// What an item says, whatever its lines end in.
std::string said(const Lines& item) {
  std::string text;
  for (const std::string& line : item) {
    text += bare(line);
    text += '\n';
  }
  return text;
}

// What the items say, without the key's own line.
std::set<std::string> said_by(const std::vector<Lines>& items) {
  std::set<std::string> all;
  for (std::size_t i = 1; i < items.size(); ++i) all.insert(said(items[i]));
  return all;
}

// A list as a set: what either side added is in it, what either side took out is not. False when
// the key's own line differs.
bool merge_list(const Lines& base, const Lines& ours, const Lines& theirs, Lines& into) {
  const auto b = items_of(base);
  const auto o = items_of(ours);
  const auto t = items_of(theirs);
  if (o.empty() || t.empty() || !same(o.front(), t.front())) return false;
  const auto in_base = said_by(b);
  const auto in_ours = said_by(o);
  const auto in_theirs = said_by(t);
  into = o.front();
  std::vector<Lines> added;
  for (std::size_t i = 1; i < o.size(); ++i) {
    const std::string item = said(o[i]);
    if (in_base.count(item) == 0) {
      added.push_back(o[i]);
    } else if (in_theirs.count(item) > 0) {
      into.insert(into.end(), o[i].begin(), o[i].end());
    }
  }
  for (std::size_t i = 1; i < t.size(); ++i) {
    const std::string item = said(t[i]);
    if (in_base.count(item) == 0 && in_ours.count(item) == 0) added.push_back(t[i]);
  }
  std::sort(added.begin(), added.end());
  for (const Lines& item : added) into.insert(into.end(), item.begin(), item.end());
  return true;
}

class Merger {
 public:
  Merger(const Cut& base, const Cut& ours, const Cut& theirs, InConflict show)
      : base_(base), ours_(ours), theirs_(theirs), show_(show) {}
  // Ours stands in the pieces of these keys, whatever the base says.
  void keep_ours(std::set<std::string> keys) { kept_ours_ = std::move(keys); }

  Merged merge() {
    for (const Cut* side : {&base_, &ours_, &theirs_}) {
      for (const Piece& piece : side->pieces()) {
        if (!decided_.insert(piece.key).second) continue;
        if (auto taken = decide(piece.key)) kept_.emplace(piece.key, std::move(*taken));
      }
    }
    keep_headings();
    std::string text = ours_.has_mark() ? std::string(kByteOrderMark) : std::string();
    write(order(), text);
    return {std::move(text), std::move(conflicts_)};
  }

 private:
  static const Lines& lines_of(const Piece* piece) {
    static const Lines kNone;
    return piece == nullptr ? kNone : piece->lines;
  }

  // What becomes of one piece; nothing when it goes.
  std::optional<Piece> decide(const std::string& key) {
    const Piece* b = base_.find(key);
    const Piece* o = ours_.find(key);
    const Piece* t = theirs_.find(key);
    if (o == nullptr && t == nullptr) return std::nullopt;
    if (kept_ours_.count(key) > 0) return o != nullptr ? std::optional(*o) : std::nullopt;
    if (o != nullptr && t != nullptr) {
      Piece taken = *o;
      // The blank lines behind it are nobody's statement.
      if (b != nullptr && same(o->gap, b->gap)) taken.gap = t->gap;
      if (same(o->lines, t->lines)) return taken;
      if (b != nullptr && same(o->lines, b->lines)) {
        taken.lines = t->lines;
        return taken;
      }
      if (b != nullptr && same(t->lines, b->lines)) return taken;
      Lines merged;
      if (merge_inside(b, *o, *t, merged)) {
        taken.lines = std::move(merged);
        return taken;
      }
      conflict(*o, b, o, t, taken);
      return taken;
    }
    const Piece* there = o != nullptr ? o : t;
    if (b == nullptr) return *there;                        // new on one side
    if (same(there->lines, b->lines)) return std::nullopt;  // taken out, and otherwise untouched
    Piece taken = *there;
    conflict(*there, b, o, t, taken);
    return taken;
  }

  static bool merge_inside(const Piece* b, const Piece& o, const Piece& t, Lines& into) {
    // A list that lost its last item is still one.
    const bool list = o.unit == Unit::list || t.unit == Unit::list;
    if (list) return merge_list(lines_of(b), o.lines, t.lines, into);
    if (o.unit == Unit::prose) return merge_lines(lines_of(b), o.lines, t.lines, into);
    return false;
  }

  void conflict(const Piece& like, const Piece* b, const Piece* o, const Piece* t, Piece& into) {
    const auto text_of = [](const Piece* piece) {
      return piece == nullptr ? std::string() : piece->text();
    };
    conflicts_.push_back({like.where, text_of(b), text_of(o), text_of(t)});
    if (show_ == InConflict::ours) return;
    into.lines = {"<<<<<<< ours\n"};
    const auto put = [&](const Piece* piece) {
      for (const std::string& line : lines_of(piece))
        into.lines.push_back(std::string(bare(line)) + "\n");
    };
    put(o);
    into.lines.emplace_back("=======\n");
    put(t);
    into.lines.emplace_back(">>>>>>> theirs\n");
  }

  // An entry that stays needs its section's heading.
  void keep_headings() {
    std::map<std::string, Piece> more;
    for (const auto& [key, piece] : kept_) {
      if (piece.above.empty() || kept_.count(piece.above) > 0) continue;
      for (const Cut* side : {&ours_, &theirs_}) {
        if (const Piece* heading = side->find(piece.above)) more.emplace(piece.above, *heading);
      }
    }
    kept_.merge(more);
  }

  // The keys of `side` that `among` has too, in the side's order.
  static std::vector<std::string> shared(const Cut& side, const Cut& among) {
    std::vector<std::string> keys;
    for (const Piece& piece : side.pieces()) {
      if (among.find(piece.key) != nullptr) keys.push_back(piece.key);
    }
    return keys;
  }

  // What the base had keeps its order, or the order that one side gave it; what a side added comes
  // behind what it stands behind there.
  std::vector<std::string> order() {
    const bool ours_moved = shared(ours_, base_) != shared(base_, ours_);
    const bool theirs_moved = shared(theirs_, base_) != shared(base_, theirs_);
    const Cut& leading = ours_moved ? ours_ : theirs_moved ? theirs_ : base_;
    std::vector<std::string> old;
    std::set<std::string> known;
    for (const Cut* side : {&leading, &base_}) {
      for (const std::string& key : shared(*side, base_)) {
        if (kept_.count(key) > 0 && known.insert(key).second) old.push_back(key);
      }
    }
    std::map<std::string, std::size_t> place;
    for (std::size_t i = 0; i < old.size(); ++i) place[old[i]] = i + 1;
    const auto ours = added(ours_, place);
    const auto theirs = added(theirs_, place);
    std::vector<std::string> all;
    std::set<std::string> put;
    const auto put_list = [&](const std::vector<std::string>& keys) {
      for (const std::string& key : keys) {
        if (put.insert(key).second) all.push_back(key);
      }
    };
    for (std::size_t i = 0; i <= old.size(); ++i) {
      if (i > 0) put_list({old[i - 1]});
      const auto o = ours.find(i);
      const auto t = theirs.find(i);
      const std::vector<std::string> none;
      const auto& left = o == ours.end() ? none : o->second;
      const auto& right = t == theirs.end() ? none : t->second;
      put_list(right < left ? right : left);
      put_list(right < left ? left : right);
    }
    return all;
  }

  // What a side added, by the place it stands behind.
  std::map<std::size_t, std::vector<std::string>> added(
      const Cut& side, const std::map<std::string, std::size_t>& place) const {
    std::map<std::size_t, std::vector<std::string>> found;
    std::size_t behind = 0;
    for (const Piece& piece : side.pieces()) {
      if (const auto old = place.find(piece.key); old != place.end()) {
        behind = old->second;
      } else if (kept_.count(piece.key) > 0) {
        found[behind].push_back(piece.key);
      }
    }
    return found;
  }

  void write(const std::vector<std::string>& keys, std::string& into) const {
    const std::string ending = ours_.usual_ending();
    const auto put = [&](const std::string& line, bool last) {
      into += bare(line);
      if (!last || line.ends_with('\n')) into += ending;
    };
    for (std::size_t i = 0; i < keys.size(); ++i) {
      const Piece& piece = kept_.at(keys[i]);
      const bool last = i + 1 == keys.size();
      for (std::size_t j = 0; j < piece.lines.size(); ++j)
        put(piece.lines[j], last && piece.gap.empty() && j + 1 == piece.lines.size());
      for (const std::string& line : piece.gap) put(line, false);
      // Headings stand apart from what is before them.
      const bool heading = !last && kept_.at(keys[i + 1]).unit == Unit::prose;
      if (heading && piece.gap.empty() && piece.unit != Unit::line) into += ending;
    }
  }

  const Cut& base_;
  const Cut& ours_;
  const Cut& theirs_;
  InConflict show_;
  std::set<std::string> kept_ours_;
  std::set<std::string> decided_;
  std::map<std::string, Piece> kept_;
  std::vector<Difference> conflicts_;
};

bool same_text(std::string_view a, std::string_view b) {
  return same(lines_with_ends(a), lines_with_ends(b));
}

// What differs, with the key of its piece.
std::vector<std::pair<std::string, Difference>> differing(const Cut& left, const Cut& right) {
  std::vector<std::pair<std::string, Difference>> found;
  for (const Piece& piece : left.pieces()) {
    const Piece* other = right.find(piece.key);
    if (other == nullptr) {
      if (!piece.lines.empty()) found.push_back({piece.key, {piece.where, {}, piece.text(), {}}});
    } else if (!same(piece.lines, other->lines)) {
      found.push_back({piece.key, {piece.where, {}, piece.text(), other->text()}});
    }
  }
  for (const Piece& piece : right.pieces()) {
    if (left.find(piece.key) == nullptr && !piece.lines.empty())
      found.push_back({piece.key, {piece.where, {}, {}, piece.text()}});
  }
  return found;
}

}  // namespace

std::vector<Difference> differences(std::string_view ours, std::string_view theirs) {
  std::vector<Difference> found;
  for (auto& [key, difference] : differing(Cut(ours), Cut(theirs)))
    found.push_back(std::move(difference));
  return found;
}

std::string combine(std::string_view ours, std::string_view theirs,
                    const std::set<std::size_t>& taken) {
  const Cut left(ours);
  const Cut right(theirs);
  const auto places = differing(left, right);
  std::set<std::string> kept;
  for (std::size_t i = 0; i < places.size(); ++i) {
    if (taken.count(i) == 0) kept.insert(places[i].first);
  }
  if (kept.empty()) return std::string(theirs);
  if (kept.size() == places.size()) return std::string(ours);
  // With ours as the common ancestor everything that differs is theirs but for what is kept.
  Merger merger(left, left, right, InConflict::ours);
  merger.keep_ours(std::move(kept));
  return merger.merge().text;
}

Merged merge_texts(std::string_view base, std::string_view ours, std::string_view theirs,
                   InConflict show) {
  if (same_text(ours, theirs) || same_text(base, theirs)) return {std::string(ours), {}};
  if (same_text(base, ours)) return {std::string(theirs), {}};
  const Cut cut_base(base);
  const Cut cut_ours(ours);
  const Cut cut_theirs(theirs);
  return Merger(cut_base, cut_ours, cut_theirs, show).merge();
}

std::string merge_records(std::string_view ours, std::string_view theirs) {
  std::string merged(ours);
  if (!merged.empty() && !merged.ends_with('\n')) merged += '\n';
  std::set<std::string> known;
  for (const std::string& line : lines_with_ends(ours)) known.emplace(bare(line));
  for (const std::string& line : lines_with_ends(theirs)) {
    if (known.emplace(bare(line)).second) merged += std::string(bare(line)) + '\n';
  }
  return merged;
}

}  // namespace baylore::pack
