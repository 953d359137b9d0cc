// The shop's language: makes and models, synonyms, components with their systems, read from
// vocabulary/*.md.
#pragma once

#include <string>
#include <vector>

#include "files/disk.h"
#include "shop/document.h"
#include "shop/finding.h"

namespace baylore::shop {

struct Model {
  std::string make;
  std::string name;
  int first_year = 0;
  int last_year = 0;
  std::vector<std::string> engines;
};

struct Component {
  std::string name;
  std::string system;
  std::vector<std::string> also;
};

// Wordings that lead to others and not back: who types `vibrates` may mean a tyre, who types `tyre`
// does not mean every vibration.
struct OneWay {
  std::vector<std::string> from;
  std::vector<std::string> to;
};

struct Vocabulary {
  std::vector<Model> models;  // `## Makes`, `### Make`, `- model: Name | years | engine; engine`
  std::vector<std::vector<std::string>> synonyms;  // `## Synonyms`, `- no crank = won't turn over`
  std::vector<std::vector<std::string>> abbreviations;  // `## Abbreviations`, `- AC = aircon`
  std::vector<OneWay> one_way;        // in either section, `- pulls left = pulls right -> tracking`
  std::vector<Component> components;  // `## Components`, `### name`, `- system:`, `- also: a; b`
  Findings findings;
};

// Adds what one document says.
void read_vocabulary(const Document& document, const std::string& path, Vocabulary& into);
// All files of vocabulary/.
Vocabulary read_vocabulary(files::Disk& disk, const std::string& shop_folder);

}  // namespace baylore::shop
