#include "trec.h"

#include <fmt/format.h>

#include <algorithm>
#include <sstream>

#include "files/disk.h"

namespace baylore::benchmark {
namespace {

files::Failure broken(const std::string& path, std::size_t line, const std::string& what) {
  return {files::Failure::Kind::other, fmt::format("{}:{}", path, line), what, ""};
}

}  // namespace

files::Result<std::vector<Question>> read_topics(const std::string& path) {
  const auto text = files::real_disk().read(path, files::kTextLimit);
  if (!text) return text.failure();
  std::vector<Question> questions;
  std::istringstream in(*text);
  std::string line;
  for (std::size_t number = 1; std::getline(in, line); ++number) {
    if (!line.empty() && line.back() == '\r') line.pop_back();
    if (line.empty() || line[0] == '#') continue;
    const std::size_t tab = line.find('\t');
    if (tab == std::string::npos) return broken(path, number, "a topic needs QID<TAB>words");
    questions.push_back({line.substr(0, tab), line.substr(tab + 1)});
  }
  return questions;
}

files::Result<Judged> read_qrels(const std::string& path) {
  const auto text = files::real_disk().read(path, files::kTextLimit);
  if (!text) return text.failure();
  Judged judged;
  std::istringstream in(*text);
  std::string line;
  for (std::size_t number = 1; std::getline(in, line); ++number) {
    if (line.find_first_not_of(" \t\r") == std::string::npos || line[0] == '#') continue;
    std::istringstream columns(line);
    std::string question;
    std::string iteration;
    std::string id;
    double grade = 0;
    if (!(columns >> question >> iteration >> id >> grade)) {
      return broken(path, number, "a judgement needs QID 0 ID GRADE");
    }
    judged[question][id] = std::max(grade, 0.0);
  }
  return judged;
}

files::Result<std::vector<JudgedLine>> read_judged_lines(const std::string& path) {
  const auto text = files::real_disk().read(path, files::kTextLimit);
  if (!text) return text.failure();
  std::vector<JudgedLine> lines;
  std::istringstream in(*text);
  std::string row;
  for (std::size_t number = 1; std::getline(in, row); ++number) {
    if (row.empty() || row[0] == '#') continue;
    std::istringstream columns(row);
    JudgedLine line;
    if (!std::getline(columns, line.id, '\t') || !std::getline(columns, line.manner, '\t') ||
        !std::getline(columns, line.twin, '\t') || !std::getline(columns, line.line)) {
      return files::Failure{files::Failure::Kind::damaged, fmt::format("{}:{}", path, number),
                            "is no judged line", "write QID, manner, twin or -, line, with tabs"};
    }
    if (line.twin == "-") line.twin.clear();
    lines.push_back(std::move(line));
  }
  return lines;
}

files::Result<void> write_plain(const std::string& path, const std::string& text) {
  (void)files::real_disk().remove(path);
  auto output = files::real_disk().create(path);
  if (!output) return output.failure();
  if (auto written = (*output)->write(text); !written) return written;
  return (*output)->close();
}

files::Result<void> write_run(const std::string& path, const std::string& tag,
                              const std::vector<Question>& questions,
                              const std::vector<Ranking>& rankings) {
  std::string out;
  for (std::size_t i = 0; i < questions.size(); ++i) {
    const Ranking& ranking = rankings.at(i);
    for (std::size_t rank = 0; rank < ranking.size(); ++rank) {
      out += fmt::format("{} Q0 {} {} {} {}\n", questions[i].id, ranking[rank], rank + 1,
                         ranking.size() - rank, tag);
    }
  }
  return write_plain(path, out);
}

}  // namespace baylore::benchmark
