#include "trade/torque_spec.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "trade/scan.h"

namespace baylore::trade {
namespace {

constexpr std::size_t kMostStages = 12;
constexpr std::size_t kMostAngles = 4;
constexpr double kLargestTorque = 10000;  // N·m: past any fastener of a road vehicle
constexpr double kLargestAngle = 720;     // degrees
constexpr double kAgreement = 0.03;       // of two stated units: room for rounded handbook figures

using Kind = TorqueStage::Kind;

struct Piece {
  std::size_t from = 0, to = 0;  // in the folded text
};

bool word_at(std::string_view lowered, std::size_t i, std::string_view word) {
  if (!lowered.substr(i).starts_with(word)) return false;
  const bool free_before = i == 0 || !scan::is_letter(lowered[i - 1]);
  const std::size_t end = i + word.size();
  return free_before && (end == lowered.size() || !scan::is_letter(lowered[end]));
}

// Parts [from, to) at every `sign` and at every `word`; the pieces may be empty.
std::vector<Piece> parted(std::string_view lowered, std::size_t from, std::size_t to, char sign,
                          std::string_view word) {
  std::vector<Piece> pieces;
  std::size_t begin = from;
  for (std::size_t i = from; i < to;) {
    // `+-` and `+/-` are a tolerance, not a further angle.
    const std::string_view rest = lowered.substr(i, to - i);
    const bool tolerance = rest.starts_with("+-") || rest.starts_with("+/-");
    if (lowered[i] == sign && !tolerance) {
      pieces.push_back({begin, i});
      begin = ++i;
    } else if (word_at(lowered.substr(0, to), i, word)) {
      pieces.push_back({begin, i});
      i += word.size();
      begin = i;
    } else {
      ++i;
    }
  }
  pieces.push_back({begin, to});
  return pieces;
}

bool blank(std::string_view text, Piece piece) {
  return scan::trimmed(text.substr(piece.from, piece.to - piece.from)).empty();
}

Parsed<double> angle_of(const scan::Folded& plain, const scan::Span& span, std::size_t at) {
  if (!span.single) {
    return scan::refuse(plain, at, "an angle is one value", "write it as in `90°`");
  }
  const double degrees = convert(span.low, *span.unit, unit(UnitId::kDegree));
  if (!(degrees > 0) || degrees > kLargestAngle) {
    return scan::refuse(plain, at, "this angle is out of range",
                        "write more than 0° and at most 720°");
  }
  return degrees;
}

// Why a span is no torque, with the likely meaning.
Refusal not_a_torque(const scan::Folded& plain, const scan::Span& span, std::size_t at) {
  const std::string symbol(span.unit->symbol);
  const Dimension dimension = span.unit->dimension;
  std::string remedy = "write N·m, lbf·ft or lbf·in, or ° for an angle";
  if (span.unit->id == UnitId::kPound || span.unit->id == UnitId::kPoundForce) {
    remedy = "is it lbf·ft or lbf·in?";
  } else if (dimension == Dimension::kMass || dimension == Dimension::kForce) {
    remedy = "is it N·m or kgf·m?";
  }
  return scan::refuse(plain, at, symbol + " is no unit of torque", remedy);
}

std::optional<Refusal> torque_out_of_range(const scan::Folded& plain, const scan::Span& span,
                                           std::size_t at) {
  if (!(span.low > 0)) {
    return scan::refuse(plain, at, "a torque must be more than zero", "check the number");
  }
  if (convert(span.high, *span.unit, unit(UnitId::kNewtonMetre)) > kLargestTorque) {
    return scan::refuse(plain, at, "this torque is past any fastener of a vehicle",
                        "check the number and its unit");
  }
  return std::nullopt;
}

bool agree(double stated, double computed) {
  return std::fabs(stated - computed) <= kAgreement * std::fabs(computed);
}

// The first piece of a stage: a torque, or a torque with the same in another unit in brackets, or
// an angle.
std::optional<Refusal> read_head(const scan::Folded& plain, Piece piece, TorqueStage& stage) {
  const std::string_view text = plain.view();
  const std::size_t at = scan::skip_blanks(text, piece.from);
  std::size_t to = piece.to;
  std::optional<Piece> bracket;
  const std::size_t open = text.find('(', piece.from);
  if (open < piece.to) {
    const std::size_t close = text.find(')', open);
    if (close >= piece.to || !blank(text, {close + 1, piece.to})) {
      return scan::refuse(plain, open, "the brackets are not understood",
                          "write one other unit in them, as in `80 lbf·ft (108 N·m)`");
    }
    bracket = Piece{open + 1, close};
    to = open;
  }
  const Parsed<scan::Span> read = scan::span_within(plain, at, to);
  if (value_in(read) == nullptr) return reason_in(read);
  const scan::Span& span = *value_in(read);
  if (span.unit->dimension == Dimension::kAngle && !bracket) {
    const Parsed<double> angle = angle_of(plain, span, at);
    if (value_in(angle) == nullptr) return reason_in(angle);
    stage.degrees.push_back(*value_in(angle));
    return std::nullopt;
  }
  if (span.unit->dimension != Dimension::kTorque) return not_a_torque(plain, span, at);
  if (const auto refusal = torque_out_of_range(plain, span, at)) return refusal;
  if (bracket) {
    const std::size_t second_at = scan::skip_blanks(text, bracket->from);
    const Parsed<scan::Span> second = scan::span_within(plain, second_at, bracket->to);
    if (value_in(second) == nullptr) return reason_in(second);
    const scan::Span& other = *value_in(second);
    if (other.unit->dimension != Dimension::kTorque) return not_a_torque(plain, other, second_at);
    const double low = convert(span.low, *span.unit, *other.unit);
    const double high = convert(span.high, *span.unit, *other.unit);
    if (!agree(other.low, low) || !agree(other.high, high)) {
      return scan::refuse(plain, second_at, "the two units disagree",
                          authored(Quantity{span.low, span.unit}) + " is " +
                              shown(Quantity{low, other.unit}) + "; check both against the source");
    }
  }
  stage.low = span.low;
  stage.high = span.high;
  stage.unit = span.unit;
  return std::nullopt;
}

struct StageWord {
  std::string_view word;
  Kind kind;
};
constexpr std::array kStageWords = {
    StageWord{"hand tight", Kind::kHandTight},   StageWord{"hand-tight", Kind::kHandTight},
    StageWord{"finger tight", Kind::kHandTight}, StageWord{"loosen", Kind::kLoosen},
    StageWord{"back off", Kind::kLoosen},        StageWord{"slacken", Kind::kLoosen},
};

Parsed<TorqueStage> read_stage(const scan::Folded& plain, const std::string& lowered, Piece piece) {
  const std::string_view text = plain.view();
  TorqueStage stage;
  Piece rest = piece;
  rest.from = std::min(scan::skip_blanks(text, piece.from), piece.to);
  for (const StageWord& word : kStageWords) {
    if (word_at(std::string_view(lowered).substr(0, piece.to), rest.from, word.word)) {
      stage.kind = word.kind;
      rest.from += word.word.size();
      break;
    }
  }
  if (stage.kind != Kind::kTighten && blank(text, rest)) return stage;
  std::vector<Piece> pieces = parted(lowered, rest.from, rest.to, '+', "plus");
  // `+ 90°` alone: the angle follows on the stage before it.
  if (pieces.size() > 1 && blank(text, pieces.front())) pieces.erase(pieces.begin());
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const std::size_t at = scan::skip_blanks(text, pieces[i].from);
    if (blank(text, pieces[i])) {
      return scan::refuse(plain, pieces[i].from, "something is missing beside `+`",
                          "write it as in `60 N·m + 90°`");
    }
    if (stage.degrees.size() >= kMostAngles) {
      return scan::refuse(plain, at, "too many angles in one stage", "part the stages with `;`");
    }
    const bool head = i == 0 && stage.kind == Kind::kTighten;
    if (head) {
      if (const auto refusal = read_head(plain, pieces[i], stage)) return *refusal;
      continue;
    }
    const Parsed<scan::Span> read = scan::span_within(plain, at, pieces[i].to);
    if (value_in(read) == nullptr) return reason_in(read);
    if (value_in(read)->unit->dimension != Dimension::kAngle) {
      return scan::refuse(plain, at, "only an angle can follow here",
                          "part the stages with `;`, as in `20 N·m; 60 N·m + 90°`");
    }
    const Parsed<double> angle = angle_of(plain, *value_in(read), at);
    if (value_in(angle) == nullptr) return reason_in(angle);
    stage.degrees.push_back(*value_in(angle));
  }
  return stage;
}

std::string angles_text(const std::vector<double>& degrees) {
  std::string out;
  for (const double angle : degrees) {
    if (!out.empty()) out += " + ";
    out += authored_number(angle) + "°";
  }
  return out;
}

// The torque of a stage as number text in `to`, ends parted by `between`; empty without torque.
std::string number_text(const TorqueStage& stage, const Unit& to, std::string_view between) {
  if (stage.unit == nullptr) return "";
  const ShownRange range = shown_range(stage.low, stage.high, *stage.unit, to);
  if (*stage.low == *stage.high) return range.low_text;
  return range.low_text + std::string(between) + range.high_text;
}

std::string stage_text(const TorqueStage& stage, const Unit* to) {
  std::string out;
  if (stage.kind == Kind::kHandTight) out = "hand tight";
  if (stage.kind == Kind::kLoosen) out = "loosen";
  if (stage.unit != nullptr) {
    const Unit& shown_in = to != nullptr ? *to : *stage.unit;
    out = number_text(stage, shown_in, " .. ") + " " + std::string(shown_in.symbol);
  }
  const std::string angles = angles_text(stage.degrees);
  if (angles.empty()) return out;
  if (out.empty()) return angles;
  return out + (stage.kind == Kind::kLoosen ? " " : " + ") + angles;
}

std::string spec_text(const TorqueSpec& spec, const Unit* to) {
  std::string out;
  for (const TorqueStage& stage : spec.stages) {
    if (!out.empty()) out += "; ";
    out += stage_text(stage, to);
  }
  return out;
}

// The index of the last stage with a torque; stages.size() when there is none.
std::size_t last_torque(const TorqueSpec& spec) {
  for (std::size_t i = spec.stages.size(); i > 0; --i) {
    if (spec.stages[i - 1].unit != nullptr) return i - 1;
  }
  return spec.stages.size();
}

TorqueFigure figure(const TorqueSpec& spec, const Unit* to) {
  TorqueFigure out;
  const std::size_t main = last_torque(spec);
  const auto add = [&](const std::string& text) {
    if (text.empty()) return;
    if (!out.after.empty()) out.after += "; ";
    out.after += text;
  };
  if (main < spec.stages.size()) {
    const TorqueStage& stage = spec.stages[main];
    const Unit& shown_in = to != nullptr ? *to : *stage.unit;
    out.number = number_text(stage, shown_in, "–");
    out.unit = shown_in.symbol;
    if (!stage.degrees.empty()) add("+ " + angles_text(stage.degrees));
  }
  for (std::size_t i = main < spec.stages.size() ? main + 1 : 0; i < spec.stages.size(); ++i) {
    add(stage_text(spec.stages[i], to));
  }
  return out;
}

}  // namespace

bool TorqueSpec::has_angle() const {
  return std::any_of(stages.begin(), stages.end(), [](const TorqueStage& stage) {
    return stage.kind == Kind::kTighten && !stage.degrees.empty();
  });
}

const TorqueStage& TorqueSpec::last() const { return stages.back(); }

// Stages first (`;` or `then`), then within a stage the head and the angles after each `+`.
Parsed<TorqueSpec> parse_torque(std::string_view text) {
  const Parsed<scan::Folded> folded = scan::fold(text, 200);
  if (value_in(folded) == nullptr) return reason_in(folded);
  const scan::Folded& plain = *value_in(folded);
  const std::string lowered = scan::lowered(plain.view());
  if (lowered.empty()) {
    return Refusal{0, "the torque is missing", "write it as in `10 N·m` or `60 N·m + 90°`"};
  }
  TorqueSpec spec;
  for (const Piece& piece : parted(lowered, 0, lowered.size(), ';', "then")) {
    if (blank(plain.view(), piece)) {
      return scan::refuse(plain, piece.from, "a stage is empty",
                          "write stages as in `5 N·m; 10 N·m`");
    }
    if (spec.stages.size() == kMostStages) {
      return scan::refuse(plain, piece.from, "too many stages", "write at most 12");
    }
    const Parsed<TorqueStage> stage = read_stage(plain, lowered, piece);
    if (value_in(stage) == nullptr) return reason_in(stage);
    spec.stages.push_back(*value_in(stage));
  }
  return spec;
}

std::string authored(const TorqueSpec& spec) { return spec_text(spec, nullptr); }

std::string converted_text(const TorqueSpec& spec, const Unit& to) { return spec_text(spec, &to); }

const Unit& other_torque_unit(const TorqueSpec& spec) {
  const std::size_t main = last_torque(spec);
  if (main == spec.stages.size()) return unit(UnitId::kNewtonMetre);
  const TorqueStage& stage = spec.stages[main];
  return *companion_unit(Quantity{*stage.high, stage.unit});
}

TorqueFigure final_figure(const TorqueSpec& spec) { return figure(spec, nullptr); }

TorqueFigure final_figure_in(const TorqueSpec& spec, const Unit& to) { return figure(spec, &to); }

std::string stages_in_words(const TorqueSpec& spec) {
  if (spec.stages.size() < 2) return "";
  const Unit& other = other_torque_unit(spec);
  const std::size_t main = last_torque(spec);
  std::string out;
  for (std::size_t i = 0; i < spec.stages.size(); ++i) {
    const TorqueStage& stage = spec.stages[i];
    std::string part = stage_text(stage, nullptr);
    const bool same_unit = main < spec.stages.size() && stage.unit == spec.stages[main].unit;
    if (stage.unit != nullptr) {
      part = number_text(stage, *stage.unit, "–");
      if (!same_unit) {
        part += ' ';
        part += stage.unit->symbol;
      }
      if (i != main && stage.unit != &other) {
        part += " (";
        part += number_text(stage, other, "–");
        part += ')';
      }
      const std::string angles = angles_text(stage.degrees);
      if (!angles.empty()) part += " + " + angles;
    }
    out += (i == 0 ? "first " : ", then ") + part;
  }
  return out;
}

}  // namespace baylore::trade
