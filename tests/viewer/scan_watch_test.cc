// A scanner that types and a hand that types, told apart. Speeds: common practice, no source.
#include "viewer/input/scan_watch.h"

#include <doctest/doctest.h>

#include <string>

namespace {

using baylore::viewer::ScanWatch;

// Types `text` with `gap` seconds between the keys, then the ending key; what was scanned.
std::string typed(ScanWatch& watch, const std::string& text, double gap, double from = 10) {
  double now = from;
  for (const char c : text) {
    watch.take(std::string(1, c), now);
    now += gap;
  }
  return watch.end(now);
}

}  // namespace

TEST_CASE("a barcode at a scanner's speed is a scan, the same digits from a hand are not") {
  ScanWatch watch;
  CHECK(typed(watch, "9520040149343", 0.002) == "9520040149343");
  CHECK(typed(watch, "9520040149343", 0.02, 20) == "9520040149343");
  CHECK(typed(watch, "9520040149343", 0.08, 30).empty());
  CHECK(typed(watch, "9520040149343", 0.25, 40).empty());
  // All in one late frame.
  CHECK(typed(watch, "9520040149343", 0, 60) == "9520040149343");
}

TEST_CASE("a key held down, a few quick keys and a late ending key are no scan") {
  ScanWatch watch;
  CHECK(typed(watch, "111111111111", 0.03).empty());
  CHECK(typed(watch, "12.6", 0.01, 20).empty());
  for (const char* c : {"8", "2", "0", "0", "0"}) watch.take(c, 30);
  CHECK(watch.end(31).empty());
}

TEST_CASE("a scan right after slow typing is only the scan") {
  ScanWatch watch;
  CHECK(watch.take("8", 5));
  CHECK(watch.take("2", 5.3));
  CHECK(watch.take("9", 6));
  CHECK_FALSE(watch.take("5", 6.01));
  for (int i = 0; i < 8; ++i) CHECK_FALSE(watch.take(std::to_string(i), 6.02 + i * 0.01));
  CHECK(watch.end(6.11) == "9501234567");
}

TEST_CASE("a prefix makes a scan of whatever follows, however slow") {
  ScanWatch watch("~");
  watch.take("~", 1);
  CHECK(watch.in_scan());
  watch.take("8", 2);
  watch.take("8", 4);
  CHECK(watch.in_scan());
  CHECK(watch.end(5) == "88");
  CHECK_FALSE(watch.in_scan());
  CHECK(typed(watch, "12", 0.3, 10).empty());
}
