// The files of retrieval experiments: topics, judgements and runs, and lines judged by hand.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "evaluation.h"
#include "files/result.h"

namespace baylore::benchmark {

struct Question {
  std::string id;
  std::string words;
};

using Judged = std::map<std::string, Judgements>;  // by question

// `QID<TAB>words`, one a line; empty lines and lines that begin with # are left out.
files::Result<std::vector<Question>> read_topics(const std::string& path);

// `QID 0 ID GRADE`, blanks or tabs between. A grade of 0 or less is not relevant.
files::Result<Judged> read_qrels(const std::string& path);

// A line that was judged by hand: `QID<TAB>manner<TAB>twin<TAB>line`; the twin is the id of the
// same line without its slips, `-` when there is none.
struct JudgedLine {
  std::string id;
  std::string manner;
  std::string twin;  // empty: none
  std::string line;
};
files::Result<std::vector<JudgedLine>> read_judged_lines(const std::string& path);

// A fresh file, or one in the place of `path`. It is not flushed: for what a run can make again.
files::Result<void> write_plain(const std::string& path, const std::string& text);

// `QID Q0 ID RANK SCORE TAG`. The score only falls with the rank: standard tools sort by it, and
// the rank is what all engines have in common.
files::Result<void> write_run(const std::string& path, const std::string& tag,
                              const std::vector<Question>& questions,
                              const std::vector<Ranking>& rankings);

}  // namespace baylore::benchmark
