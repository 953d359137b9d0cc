#include "collection.h"

#include <cctype>
#include <optional>
#include <sstream>

#include "files/disk.h"

namespace baylore::benchmark {
namespace {

// `.I number` starts a record, `.T` and its like a field of it. Cranfield's files end with a stray
// `.I` that has no number: no record.
struct Record {
  std::string id;
  std::map<char, std::string> fields;
};

std::optional<char> field_mark(const std::string& line) {
  if (line.size() < 2 || line[0] != '.' || line[1] < 'A' || line[1] > 'Z') return std::nullopt;
  if (line.find_first_not_of(" \t\r", 2) != std::string::npos) return std::nullopt;
  return line[1];
}

std::vector<Record> records_of(const std::string& text) {
  std::vector<Record> records;
  std::istringstream in(text);
  std::string line;
  char field = 0;
  while (std::getline(in, line)) {
    if (line.rfind(".I", 0) == 0 && (line.size() == 2 || line[2] == ' ')) {
      std::istringstream number(line.substr(2));
      Record record;
      field = 0;
      if (number >> record.id) records.push_back(std::move(record));
      continue;
    }
    if (const std::optional<char> mark = field_mark(line)) {
      field = *mark;
    } else if (field != 0 && !records.empty()) {
      std::string& into = records.back().fields[field];
      into += line;
      into += '\n';
    }
  }
  return records;
}

// One line, single blanks.
std::string one_line(const std::string& text) {
  std::istringstream in(text);
  std::string word;
  std::string line;
  while (in >> word) line += (line.empty() ? "" : " ") + word;
  return line;
}

files::Result<Collection> read(const std::string& name, const std::string& documents,
                               const std::string& questions, const std::string& judgements,
                               bool by_ordinal) {
  files::Disk& disk = files::real_disk();
  const auto document_text = disk.read(documents, files::kTextLimit);
  if (!document_text) return document_text.failure();
  const auto question_text = disk.read(questions, files::kTextLimit);
  if (!question_text) return question_text.failure();
  const auto judged_text = disk.read(judgements, files::kTextLimit);
  if (!judged_text) return judged_text.failure();

  Collection collection;
  collection.name = name;
  for (Record& record : records_of(*document_text)) {
    collection.documents.push_back({record.id, one_line(record.fields['T']), record.fields['W']});
  }
  std::istringstream in(*judged_text);
  std::string line;
  while (std::getline(in, line)) {
    std::istringstream columns(line);
    std::string question;
    std::string document;
    if (columns >> question >> document) collection.judged[question][document] = 1;
  }
  int ordinal = 0;
  for (Record& record : records_of(*question_text)) {
    ++ordinal;
    std::string id = by_ordinal ? std::to_string(ordinal) : record.id;
    if (collection.judged.count(id) == 0) continue;
    collection.questions.push_back({std::move(id), one_line(record.fields['W'])});
  }
  return collection;
}

}  // namespace

files::Result<Collection> read_cranfield(const std::string& folder) {
  return read("cranfield", folder + "/cranfield/cran.all.1400", folder + "/cranfield/cran.qry",
              folder + "/cranfield/cranqrel", true);
}

files::Result<Collection> read_cisi(const std::string& folder) {
  return read("cisi", folder + "/cisi/CISI.ALL", folder + "/cisi/CISI.QRY",
              folder + "/cisi/CISI.REL", false);
}

}  // namespace baylore::benchmark
