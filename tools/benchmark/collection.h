// Reads a classic retrieval test collection of the kind that universities hand out: a file of
// documents and one of queries, both in records of `.I`, `.T`, `.W` ..., and one of judgements.
#pragma once

#include <string>
#include <vector>

#include "files/result.h"
#include "shop_text.h"
#include "trec.h"

namespace baylore::benchmark {

struct Collection {
  std::string name;
  std::vector<Document> documents;
  std::vector<Question> questions;  // those with judgements
  Judged judged;                    // relevant or not, gain 1
};

// The collection in `folder`: its file names contain `.all`, `.qry` or `qrel`/`.rel`, in any case
// (cran.all.1400, CISI.QRY, MED.REL). Judgements begin with the query and the document, or are
// those of TREC (`QUERY 0 DOCUMENT GRADE`). Where they name queries that the query file does not
// number, they name them by their place, as Cranfield's do.
files::Result<Collection> read_collection(const std::string& folder);

// As a shop: a tip for every document, its body as the symptom.
files::Result<void> write_as_shop(const Collection& collection, const std::string& folder);

}  // namespace baylore::benchmark
