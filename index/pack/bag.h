// BagIt bags, versions 0.93 to 1.0 (RFC 8493 and its drafts): what a bag holds, and whether it is
// complete and valid. Nothing is written.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "files/disk.h"
#include "pack/reason.h"

namespace baylore::pack {

// One file of a bag, by what was seen of it.
struct BagFile {
  std::string path;  // relative to the bag's folder
  std::uint64_t size = 0;
  std::map<std::string, std::string> digests;  // by name, lower-case hexadecimal digits
};

// All that a judgement needs.
struct BagContent {
  std::vector<BagFile> files;  // by path
  // All files outside of data/; the bytes only of those that lie in no other folder.
  std::map<std::string, std::string> tags;
  bool has_data = false;       // there is a folder data/, be it empty
  std::vector<Reason> faults;  // met while reading: links, devices, files that cannot be read
};

// Tag files are kept in memory while a bag is judged, so they have a limit of their own.
inline constexpr std::uint64_t kTagLimit = files::kTextLimit;

// The check sums that a bag with these files has to be tested by: those of its manifests.
std::vector<std::string> digests_needed(const std::vector<std::string>& paths);

// Reads an unzipped bag. Fails when the folder cannot be listed; what is wrong inside is a fault.
files::Result<BagContent> read_bag_folder(files::Disk& disk, const std::string& folder);

// What a bag says of itself.
struct Bag {
  std::string version;                                    // "1.0"
  std::string encoding;                                   // of its tag files: "UTF-8"
  std::vector<std::pair<std::string, std::string>> info;  // bag-info.txt, in its order
  std::vector<Reason> reasons;                            // why it is not valid; none: it is
  [[nodiscard]] bool valid() const { return reasons.empty(); }
  // The first value of a label, in small or capital letters; empty when there is none.
  [[nodiscard]] std::string value(std::string_view label) const;
};

// Complete and valid after the rules of the version that the bag names. Pure, thread-safe.
Bag judge_bag(const BagContent& content);

// Of the names alone: what a pack has no such file outside of data/ for.
std::vector<Reason> judge_tag_names(const std::vector<std::string>& paths);

// Where a pack is stricter than a bag: version 1.0, UTF-8, SHA-512 alone, nothing to be fetched, a
// tag manifest that lists every other tag file, no name that name_fault() finds fault with, no two
// names that differ in capitals only, and outside of data/ no files but those a pack has. `bag` is
// what judge_bag() said; what it found is not said again.
std::vector<Reason> judge_pack(const BagContent& content, const Bag& bag);

// The tag files of a pack.
inline constexpr std::string_view kBagit = "bagit.txt";
inline constexpr std::string_view kBagInfo = "bag-info.txt";
inline constexpr std::string_view kManifest = "manifest-sha512.txt";
inline constexpr std::string_view kTagManifest = "tagmanifest-sha512.txt";
inline constexpr std::string_view kSignature = "tagmanifest-sha512.txt.minisig";
inline constexpr std::string_view kSigner = "signer.pub";

}  // namespace baylore::pack
