// Packs as somebody with bad intent would make them: a good one, and what is done to it.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <vector>

#include "pack/minisign.h"
#include "support/zip_maker.h"

namespace baylore::test {

// A pack before it is zipped.
struct Draft {
  std::string name = "p1";
  std::map<std::string, std::string> files;  // tag files and payload, by path in the pack
  std::vector<ZipPart> more;                 // put behind them as they are
  std::function<void(ZipWhole&)> zip;        // the last word on the container
};

struct Hostile {
  std::string name;
  // Of the whole pack; else of single files: the good tip in it is taken, the rest is not.
  bool refused = true;
  std::string bytes;
};

// A good pack with one tip, `good`, signed by `trusted`; and every way of turning it bad. The
// receiver trusts that key, holds a tip `ours`, and must not lose or gain by any of them.
// `stranger` is a key nobody trusts.
std::string good_pack(const pack::SecretKey& trusted);
std::vector<Hostile> hostile_packs(const pack::SecretKey& trusted, const pack::SecretKey& stranger);
// Those that are made to take time and memory; making them takes both, too.
std::vector<Hostile> heavy_packs(const pack::SecretKey& trusted, const pack::SecretKey& stranger);

}  // namespace baylore::test
