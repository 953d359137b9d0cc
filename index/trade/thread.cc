#include "trade/thread.h"

#include <array>
#include <cmath>
#include <numbers>
#include <optional>

#include "trade/quantity.h"
#include "trade/scan.h"

namespace baylore::trade {
namespace {

// ISO 261 diameters and pitches met on vehicles, the coarse one first; 0 ends a row.
struct MetricRow {
  double diameter;
  std::array<double, 4> pitches;
  double area;  // printed stress area of the coarse thread, mm²; 0 where only the formula is used
};
constexpr std::array kMetric = {
    MetricRow{2, {0.4}, 0},
    MetricRow{2.5, {0.45}, 0},
    MetricRow{3, {0.5, 0.35}, 0},
    MetricRow{3.5, {0.6}, 0},
    MetricRow{4, {0.7, 0.5}, 0},
    MetricRow{5, {0.8, 0.5}, 14.2},
    MetricRow{6, {1, 0.75}, 20.1},
    MetricRow{7, {1, 0.75}, 28.9},
    MetricRow{8, {1.25, 1, 0.75}, 36.6},
    MetricRow{9, {1.25, 1, 0.75}, 0},
    MetricRow{10, {1.5, 1.25, 1, 0.75}, 58.0},
    MetricRow{11, {1.5, 1, 0.75}, 0},
    MetricRow{12, {1.75, 1.5, 1.25, 1}, 84.3},
    MetricRow{14, {2, 1.5, 1.25, 1}, 115},
    MetricRow{15, {1.5, 1}, 0},
    MetricRow{16, {2, 1.5, 1}, 157},
    MetricRow{17, {1.5, 1}, 0},
    MetricRow{18, {2.5, 2, 1.5, 1}, 0},
    MetricRow{20, {2.5, 2, 1.5, 1}, 0},
    MetricRow{22, {2.5, 2, 1.5, 1}, 0},
    MetricRow{24, {3, 2, 1.5, 1}, 0},
    MetricRow{27, {3, 2, 1.5, 1}, 0},
    MetricRow{30, {3.5, 2, 1.5, 1}, 0},
    MetricRow{33, {3.5, 2, 1.5}, 0},
    MetricRow{36, {4, 3, 2, 1.5}, 0},
};

// ASME B1.1 sizes: coarse and fine threads per inch.
struct InchRow {
  std::string_view size;
  double diameter_in;
  int coarse, fine;
  double area_in2;  // printed stress area of the coarse thread; 0 where only the formula is used
};
constexpr std::array kInchRows = {
    InchRow{"#4", 0.112, 40, 48, 0},       InchRow{"#5", 0.125, 40, 44, 0},
    InchRow{"#6", 0.138, 32, 40, 0},       InchRow{"#8", 0.164, 32, 36, 0},
    InchRow{"#10", 0.190, 24, 32, 0},      InchRow{"#12", 0.216, 24, 28, 0},
    InchRow{"1/4", 0.25, 20, 28, 0.0318},  InchRow{"5/16", 0.3125, 18, 24, 0.0524},
    InchRow{"3/8", 0.375, 16, 24, 0.0775}, InchRow{"7/16", 0.4375, 14, 20, 0.1063},
    InchRow{"1/2", 0.5, 13, 20, 0.1419},   InchRow{"9/16", 0.5625, 12, 18, 0.182},
    InchRow{"5/8", 0.625, 11, 18, 0.226},  InchRow{"3/4", 0.75, 10, 16, 0},
    InchRow{"7/8", 0.875, 9, 14, 0},       InchRow{"1", 1.0, 8, 12, 0},
};

constexpr std::string_view kThreadRemedy = "write it as in M8x1.25 or 5/16-18";

bool same(double a, double b) { return std::fabs(a - b) < 1e-9; }

const MetricRow* metric_row(double diameter) {
  for (const MetricRow& row : kMetric) {
    if (same(row.diameter, diameter)) return &row;
  }
  return nullptr;
}

const InchRow* inch_row(double diameter_in) {
  for (const InchRow& row : kInchRows) {
    if (same(row.diameter_in, diameter_in)) return &row;
  }
  return nullptr;
}

std::string pitches_of(const MetricRow& row) {
  std::string out;
  for (const double pitch : row.pitches) {
    if (pitch <= 0) break;
    if (!out.empty()) out += ", ";
    out += authored_number(pitch);
  }
  return out;
}

// ` LH` or ` left hand` at the end; the text without it.
bool take_left_hand(std::string_view& text) {
  const std::string low = scan::lowered(text);
  for (const std::string_view word : {"left hand", "left-hand", "lh"}) {
    if (low.size() > word.size() && low.ends_with(word) &&
        !scan::is_letter(low[low.size() - word.size() - 1])) {
      text = scan::trimmed(text.substr(0, text.size() - word.size()));
      return true;
    }
  }
  return false;
}

// A plain decimal (`1.25`, `1,25`) that fills the text.
std::optional<double> decimal(std::string_view text) {
  if (text.empty() || !scan::is_digit(text.front()) || text.find('/') != std::string_view::npos ||
      text.find(' ') != std::string_view::npos) {
    return std::nullopt;
  }
  return taken(parse_number(text));
}

std::string metric_name(double diameter_mm, double pitch_mm) {
  std::string name(1, 'M');
  name += authored_number(diameter_mm);
  name += 'x';
  name += authored_number(pitch_mm);
  return name;
}

Parsed<Thread> metric_thread(const scan::Folded& plain, std::string_view body) {
  std::size_t sign = body.find_first_of("xX*-");
  Thread thread;
  const std::string_view size =
      scan::trimmed(body.substr(0, sign == std::string_view::npos ? body.size() : sign));
  const std::optional<double> diameter = decimal(size);
  if (!diameter || *diameter < 1 || *diameter > 64) {
    return scan::refuse(plain, 1, "the diameter is not understood", std::string(kThreadRemedy));
  }
  thread.diameter_mm = *diameter;
  const MetricRow* row = metric_row(*diameter);
  if (sign == std::string_view::npos) {
    if (row == nullptr) {
      return scan::refuse(plain, 1, scan::quoted(plain.view()) + " has no usual pitch",
                          "write the pitch, as in M8x1.25");
    }
    thread.pitch_mm = row->pitches[0];
    thread.pitch_given = false;
  } else {
    const std::string_view rest = scan::trimmed(body.substr(sign + 1));
    const std::size_t at = sign + 2;
    if (rest.find_first_of("xX*-") != std::string_view::npos) {
      return scan::refuse(plain, at, "something follows the pitch",
                          "leave the length and the tolerance out");
    }
    const std::optional<double> pitch = decimal(rest);
    if (!pitch)
      return scan::refuse(plain, at, "the pitch is not understood", std::string(kThreadRemedy));
    if (*pitch > 6 || *pitch > *diameter / 3) {
      return scan::refuse(plain, at, authored_number(*pitch) + " mm is a length, not a pitch",
                          row != nullptr ? "usual pitches are " + pitches_of(*row) + " mm"
                                         : "write the pitch, as in M8x1.25");
    }
    if (*pitch < 0.2)
      return scan::refuse(plain, at, "the pitch is too small", std::string(kThreadRemedy));
    thread.pitch_mm = *pitch;
  }
  thread.standard = false;
  if (row != nullptr) {
    thread.coarse = same(row->pitches[0], thread.pitch_mm);
    for (const double pitch : row->pitches) {
      if (pitch > 0 && same(pitch, thread.pitch_mm)) thread.standard = true;
    }
  }
  thread.text = metric_name(thread.diameter_mm, thread.pitch_mm);
  return thread;
}

// Size, then `-` and threads per inch, then the series, either of which may be missing.
Parsed<Thread> inch_thread(const scan::Folded& plain, std::string_view body) {
  std::string low = scan::lowered(body);
  std::string series;
  for (const std::string_view word : {"unc", "unf"}) {
    if (low.ends_with(word)) {
      series = word;
      low.resize(low.size() - word.size());
    }
  }
  std::string size;
  for (const char c : low) {
    if (c != '"' && c != ' ') size += c;
  }
  std::string tpi_text;
  if (const std::size_t dash = size.find('-'); dash != std::string::npos) {
    tpi_text = size.substr(dash + 1);
    size.resize(dash);
    if (tpi_text.empty() && series.empty()) {
      return scan::refuse(plain, plain.text.size(), "the threads per inch are missing",
                          std::string(kThreadRemedy));
    }
  }
  if (size.starts_with("no.")) size = "#" + size.substr(3);
  const InchRow* row = nullptr;
  for (const InchRow& one : kInchRows) {
    if (one.size == size) row = &one;
  }
  // A bare `1-8` is more often a list of positions than a thread.
  if (row == nullptr || (row->size == "1" && series.empty())) {
    return scan::refuse(plain, 0, "this thread is not understood", std::string(kThreadRemedy));
  }
  int tpi = 0;
  if (!tpi_text.empty()) {
    const std::optional<double> read = decimal(tpi_text);
    if (!read || *read != std::floor(*read) || *read < 5 || *read > 80) {
      return scan::refuse(plain, body.find('-') + 1, "the threads per inch are not understood",
                          std::string(kThreadRemedy));
    }
    tpi = static_cast<int>(*read);
    // As for metric ones: no thread is cut so deep, and its stress area would be nonsense.
    if (row->diameter_in * tpi < 3) {
      return scan::refuse(plain, body.find('-') + 1, "too few threads per inch for this size",
                          std::string(row->size) + " is " + std::to_string(row->coarse) +
                              " coarse and " + std::to_string(row->fine) + " fine");
    }
    if ((series == "unc" && tpi != row->coarse) || (series == "unf" && tpi != row->fine)) {
      return scan::refuse(plain, body.find('-') + 1, "the series and the threads per inch disagree",
                          std::string(row->size) + " is " + std::to_string(row->coarse) +
                              " coarse and " + std::to_string(row->fine) + " fine");
    }
  } else if (!series.empty()) {
    tpi = series == "unc" ? row->coarse : row->fine;
  } else {
    return scan::refuse(plain, plain.text.size(), "coarse or fine?",
                        "write " + std::string(row->size) + "-" + std::to_string(row->coarse) +
                            " or " + std::string(row->size) + "-" + std::to_string(row->fine));
  }
  Thread thread;
  thread.metric = false;
  thread.diameter_mm = row->diameter_in * kInchMm;
  thread.threads_per_inch = tpi;
  thread.pitch_mm = kInchMm / tpi;
  thread.coarse = tpi == row->coarse;
  thread.standard = thread.coarse || tpi == row->fine;
  thread.pitch_given = !tpi_text.empty();
  thread.text = std::string(row->size) + "-" + std::to_string(tpi);
  if (thread.coarse) thread.text += " UNC";
  if (tpi == row->fine) thread.text += " UNF";
  return thread;
}

}  // namespace

Parsed<Thread> parse_thread(std::string_view text) {
  const Parsed<scan::Folded> folded = scan::fold(text, 64);
  if (value_in(folded) == nullptr) return reason_in(folded);
  const scan::Folded& plain = *value_in(folded);
  std::string_view body = plain.view();
  if (body.empty()) return Refusal{0, "the thread is missing", std::string(kThreadRemedy)};
  const std::string low = scan::lowered(body);
  for (const std::string_view pipe : {"npt", "bsp", "pipe"}) {
    if (low.find(pipe) != std::string::npos) {
      return scan::refuse(plain, low.find(pipe), "pipe threads are not handled here",
                          "write it in the free text");
    }
  }
  const bool left_hand = take_left_hand(body);
  const bool metric = !body.empty() && (body.front() == 'M' || body.front() == 'm');
  Parsed<Thread> read = metric ? metric_thread(plain, body.substr(1)) : inch_thread(plain, body);
  if (Thread* thread = value_in(read); thread != nullptr && left_hand) {
    thread->left_hand = true;
    thread->text += " LH";
  }
  return read;
}

double stress_area_by_formula(const Thread& thread) {
  if (thread.metric) {
    const double d = thread.diameter_mm - 0.9382 * thread.pitch_mm;
    return std::numbers::pi / 4 * d * d;
  }
  const double d = thread.diameter_mm / kInchMm - 0.9743 / thread.threads_per_inch;
  return 0.7854 * d * d * kInchMm * kInchMm;
}

double stress_area(const Thread& thread) {
  if (thread.coarse && thread.metric) {
    const MetricRow* row = metric_row(thread.diameter_mm);
    if (row != nullptr && row->area > 0) return row->area;
  }
  if (thread.coarse && !thread.metric) {
    const InchRow* row = inch_row(thread.diameter_mm / kInchMm);
    if (row != nullptr && row->area_in2 > 0) return row->area_in2 * kInchMm * kInchMm;
  }
  return stress_area_by_formula(thread);
}

}  // namespace baylore::trade
