#include "collection.h"

#include <algorithm>
#include <cctype>
#include <initializer_list>
#include <map>
#include <optional>
#include <set>
#include <sstream>
#include <string_view>

#include "files/disk.h"
#include "files/names.h"
#include "files/save.h"

namespace baylore::benchmark {
namespace {

constexpr std::uint64_t kLimit = 1U << 30U;

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

// "001" and "1" are the same record.
std::string number_of(const std::string& text) {
  const std::size_t at = text.find_first_not_of('0');
  return at == std::string::npos ? "0" : text.substr(at);
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
      if (number >> record.id) {
        record.id = number_of(record.id);
        records.push_back(std::move(record));
      }
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

// The text of the one file whose name holds one of `marks` and, so that `cranqrel.readme` is not
// taken for the judgements, does not end in `.readme`.
files::Result<std::string> text_of(const std::string& folder,
                                   std::initializer_list<std::string_view> marks) {
  files::Disk& disk = files::real_disk();
  const auto listed = disk.list(folder);
  if (!listed) return listed.failure();
  for (const files::Listed& each : *listed) {
    std::string name(files::name_of(each.path));
    for (char& c : name) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    if (each.status.folder || name.ends_with(".readme")) continue;
    const bool marked = std::any_of(marks.begin(), marks.end(), [&](std::string_view mark) {
      return name.find(mark) != std::string::npos;
    });
    if (marked) return disk.read(folder + "/" + each.path, kLimit);
  }
  return files::Failure{files::Failure::Kind::missing, folder,
                        "holds no file with " + std::string(*marks.begin()) + " in its name",
                        "name a folder with documents, queries and judgements"};
}

Judged read_judgements(const std::string& text) {
  std::vector<std::vector<std::string>> rows;
  std::istringstream in(text);
  std::string line;
  while (std::getline(in, line)) {
    std::istringstream columns(line);
    std::vector<std::string> row;
    std::string word;
    while (columns >> word) row.push_back(word);
    if (row.size() >= 2) rows.push_back(std::move(row));
  }
  const auto all = [&](auto test) { return std::all_of(rows.begin(), rows.end(), test); };
  const bool trec = all([](const auto& row) { return row.size() == 4 && row[1] == "0"; }) &&
                    !all([](const auto& row) { return row[2] == "0"; });
  Judged judged;
  for (const std::vector<std::string>& row : rows) {
    if (trec && row[3].starts_with('0')) continue;
    judged[number_of(row[0])][number_of(row[trec ? 2 : 1])] = 1;
  }
  return judged;
}

}  // namespace

files::Result<Collection> read_collection(const std::string& folder) {
  const auto documents = text_of(folder, {".all"});
  if (!documents) return documents.failure();
  const auto questions = text_of(folder, {".qry"});
  if (!questions) return questions.failure();
  const auto judgements = text_of(folder, {"qrel", ".rel"});
  if (!judgements) return judgements.failure();

  Collection collection;
  collection.name = files::name_of(folder);
  for (Record& record : records_of(*documents)) {
    collection.documents.push_back({record.id, one_line(record.fields['T']), record.fields['W']});
  }
  collection.judged = read_judgements(*judgements);
  std::vector<Record> asked = records_of(*questions);
  std::set<std::string> numbers;
  for (const Record& record : asked) numbers.insert(record.id);
  const bool by_place =
      !std::all_of(collection.judged.begin(), collection.judged.end(),
                   [&](const auto& each) { return numbers.count(each.first) > 0; });
  for (std::size_t i = 0; i < asked.size(); ++i) {
    std::string id = by_place ? std::to_string(i + 1) : asked[i].id;
    if (collection.judged.count(id) == 0) continue;
    collection.questions.push_back({std::move(id), one_line(asked[i].fields['W'])});
  }
  return collection;
}

files::Result<void> write_as_shop(const Collection& collection, const std::string& folder) {
  if (auto made = files::make_folders(files::real_disk(), folder + "/tips"); !made) return made;
  if (auto written = write_plain(folder + "/shop.md", "---\nname: Benchmark\n---\n"); !written) {
    return written;
  }
  for (const Document& document : collection.documents) {
    // An empty document has no title, and a tip without one is broken: a dash stands in, no word.
    const std::string title = document.title.empty() ? "-" : document.title;
    auto written = write_plain(
        folder + "/tips/" + document.id + ".md",
        "---\nid: " + document.id + "\ntitle: " + title + "\n---\n\n## Symptom\n" + document.body);
    if (!written) return written;
  }
  return {};
}

}  // namespace baylore::benchmark
