// Reads a classic retrieval test collection: documents, queries and judgements.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "evaluation.h"
#include "files/result.h"

namespace baylore::benchmark {

struct Document {
  std::string id;
  std::string title;
  std::string body;
};

struct Question {
  std::string id;
  std::string words;
};

struct Collection {
  std::string name;
  std::vector<Document> documents;
  std::vector<Question> questions;           // those with judgements
  std::map<std::string, Judgements> judged;  // by question; relevant or not, gain 1
};

// Cranfield (cran.all.1400, cran.qry, cranqrel) from FOLDER/cranfield. Its judgements name a query
// by its ordinal, not by its `.I` number.
files::Result<Collection> read_cranfield(const std::string& folder);
// CISI (CISI.ALL, CISI.QRY, CISI.REL) from FOLDER/cisi.
files::Result<Collection> read_cisi(const std::string& folder);

}  // namespace baylore::benchmark
