// Another location beside the demo shop, and packs from it and from strangers on a stick: for the
// tests and pictures of the Packs screens.
#pragma once

#include <string>

namespace baylore::test {

struct PackScene {
  std::string stick;    // the folder the packs lie in
  std::string trusted;  // paths: from Hexley Road, whose key is trusted
  std::string unknown;  // from Quay Lane, whose key nobody here knows
  std::string unsigned_pack;
  std::string altered;
  std::string trouble;   // what could not be made; empty: all of it was
  std::string key_line;  // of Quay Lane
};

// What both locations have in common is the demo's. Ids of the texts that differ:
inline constexpr const char* kHeaterTip = "01JD2Z6W0V4T9K3M8Q5XBN7RCE";  // torque changed at both
inline constexpr const char* kCapTip = "01JJ4MQ2YSZ0VWCKJGD0RJTDKW";     // changed there
inline constexpr const char* kGasketTip = "01JC8WEPF463GVDT2SG9CG0NC0";  // changed at both, apart
inline constexpr const char* kNewTip = "01JHEXLEYBELT";                  // new there
inline constexpr const char* kFaultyTip = "01JHEXLEYFAULT";              // new there, with a fault

// `shop` is a copy of the demo; the other shops and the stick are made below `work`.
PackScene make_pack_scene(const std::string& source_dir, const std::string& shop,
                          const std::string& work);

}  // namespace baylore::test
