// What must hold for any bytes at all, for every reader of outside text. libFuzzer calls these
// through entry.cc; replay_test.cc puts the kept inputs through the same ones in every test run.
#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <string_view>

namespace baylore::fuzz {

// Gives back the promise that `bytes` broke, or nothing. Pure, thread-safe.
using Promise = std::string (*)(std::string_view bytes);

std::string quantity(std::string_view bytes);     // trade/quantity.h, trade/unit.h
std::string expectation(std::string_view bytes);  // trade/expectation.h, trade/correction.h
std::string torque(std::string_view bytes);       // trade/torque_spec.h
std::string thread(std::string_view bytes);      // trade/thread.h, classes of trade/torque_window.h
std::string code(std::string_view bytes);        // trade/code.h
std::string vin(std::string_view bytes);         // trade/vin.h
std::string tip(std::string_view bytes);         // shop/document.h, shop/tip.h
std::string records(std::string_view bytes);     // shop/records.h
std::string vocabulary(std::string_view bytes);  // shop/vocabulary.h
std::string query(std::string_view bytes);       // search/understand.h
std::string part(std::string_view bytes);        // shop/part.h, shop/part_book.h
std::string history(std::string_view bytes);     // quality/history.h, quality/standing.h
std::string pack(std::string_view bytes);        // pack/pack.h, pack/preview.h and all they read
std::string bag(std::string_view bytes);         // pack/bag.h
std::string minisign(std::string_view bytes);    // pack/minisign.h
std::string intake(std::string_view bytes);      // shop/picture_file.h, shop/exif.h
std::string settings(std::string_view bytes);  // shop.md, and what the terminal keeps: job/, drafts
std::string store(std::string_view bytes);     // store/store.h, store/build.h over damaged files

struct Target {
  const char* name;
  Promise promise;
  // The replay cuts an input short after each so many bytes; 0 where it is a list of steps.
  std::size_t cut = 1;
};
inline constexpr std::array<Target, 18> kTargets = {{{"quantity", quantity},
                                                     {"expectation", expectation},
                                                     {"torque", torque},
                                                     {"thread", thread},
                                                     {"code", code},
                                                     {"vin", vin},
                                                     {"tip", tip},
                                                     {"records", records},
                                                     {"vocabulary", vocabulary},
                                                     {"query", query},
                                                     {"part", part},
                                                     {"history", history},
                                                     {"pack", pack},
                                                     {"bag", bag},
                                                     {"minisign", minisign},
                                                     {"intake", intake},
                                                     {"settings", settings, 11},
                                                     {"store", store, 0}}};

}  // namespace baylore::fuzz
