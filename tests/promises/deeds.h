// What people do at a terminal that reaches the disk, one by one, through the very functions the
// programs call; and what a terminal that starts afterwards finds. The promises' tests fail, cut,
// fill and kill these.
#pragma once

#include <functional>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "files/disk.h"

namespace baylore::test {

// Folders on the disk under test.
struct Place {
  std::string shop;
  std::string state;
  std::string stick;
};
Place place_in(const std::string& folder);

// Path relative to the place's folder -> bytes.
using Scene = std::map<std::string, std::string>;

struct Deed {
  std::string name;
  Scene scene;  // what is there before
  // Does it; true when the person is told that it is kept.
  std::function<bool(files::Disk&, const Place&)> act;
  // Whether it may be asked for once more after it was done.
  bool repeats = true;
  // What may be as before although all went well: of no harm, and put right by hand.
  std::set<std::string> may_lag = {};
};

// Made once: sealing the packs takes a while.
const std::vector<Deed>& deeds();

// What a start finds, having taken up what was cut off: by kind of thing ("texts", "records"), in
// words that two equal finds have in common.
struct Found {
  std::map<std::string, std::string> kinds;
  // What must never be: a file that is read and was not written whole, an earlier version under a
  // name that is not its own.
  std::vector<std::string> broken;
};
Found found_at_start(files::Disk& disk, const Place& place);

// Judges what was found after a deed was disturbed: what of `kinds` is neither as it was before
// nor as it is when all went well, or, when it was acknowledged, is not the latter. Empty: the
// promises were kept.
std::string judge(const Deed& deed, const Found& now, const Found& before, const Found& done,
                  bool acknowledged);

}  // namespace baylore::test
