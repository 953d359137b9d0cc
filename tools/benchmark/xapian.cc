#include <xapian.h>

#include <algorithm>
#include <cctype>
#include <utility>

#include "engine.h"

namespace baylore::benchmark {
namespace {

// The query parser takes a capital letter for a name, which it does not stem.
std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char each) {
    return static_cast<char>(each < 128 ? std::tolower(each) : each);
  });
  return text;
}

files::Failure failed(const std::string& folder, const Xapian::Error& error) {
  return {files::Failure::Kind::other, folder, error.get_description(), ""};
}

class XapianEngine : public Engine {
 public:
  explicit XapianEngine(const std::string& folder) : database_(folder), enquire_(database_) {
    parser_.set_database(database_);
    parser_.set_stemmer(Xapian::Stem("english"));
    parser_.set_stemming_strategy(Xapian::QueryParser::STEM_SOME);
  }
  [[nodiscard]] std::string name() const override { return "Xapian"; }
  // No flags but the open last word: the line is words, not a query language.
  Ranking rank(const std::string& words, const Ask& ask) override {
    Ranking ranking;
    try {
      parser_.set_default_op(ask.all ? Xapian::Query::OP_AND : Xapian::Query::OP_OR);
      const unsigned flags = ask.last_open ? unsigned{Xapian::QueryParser::FLAG_PARTIAL} : 0U;
      enquire_.set_query(parser_.parse_query(lower(words), flags));
      const Xapian::MSet found = enquire_.get_mset(0, static_cast<Xapian::doccount>(ask.depth));
      for (Xapian::MSetIterator each = found.begin(); each != found.end(); ++each) {
        ranking.push_back(each.get_document().get_data());
      }
    } catch (const Xapian::Error&) {
      // A line that is no query finds nothing, as at anybody's terminal.
      ranking.clear();
    }
    return ranking;
  }

 private:
  Xapian::Database database_;
  Xapian::Enquire enquire_;
  Xapian::QueryParser parser_;
};

}  // namespace

files::Result<void> build_xapian(const std::string& folder, const Documents& documents) {
  try {
    Xapian::WritableDatabase database(folder, Xapian::DB_CREATE_OR_OVERWRITE | Xapian::DB_NO_SYNC);
    Xapian::TermGenerator generator;
    generator.set_stemmer(Xapian::Stem("english"));
    documents([&](const Document& document) {
      Xapian::Document entry;
      entry.set_data(document.id);
      generator.set_document(entry);
      generator.set_termpos(0);
      generator.index_text(document.title);
      generator.increase_termpos();
      generator.index_text(document.body);
      database.add_document(entry);
    });
    database.commit();
  } catch (const Xapian::Error& error) {
    return failed(folder, error);
  }
  return {};
}

files::Result<std::unique_ptr<Engine>> open_xapian(const std::string& folder) {
  try {
    return std::unique_ptr<Engine>(std::make_unique<XapianEngine>(folder));
  } catch (const Xapian::Error& error) {
    return failed(folder, error);
  }
}

}  // namespace baylore::benchmark
