#include "texts.h"

#include <cstddef>

namespace baylore::benchmark {

TextWriter::TextWriter(const std::string& file) : out_(file, std::ios::binary) {}

// The three lengths in a line, then the bytes.
void TextWriter::add(const Document& document) {
  out_ << document.id.size() << ' ' << document.title.size() << ' ' << document.body.size() << '\n'
       << document.id << document.title << document.body;
}

bool TextWriter::close() {
  out_.close();
  return !out_.fail();
}

Documents texts_of(const std::string& file) {
  return [file](const std::function<void(const Document&)>& visit) {
    std::ifstream in(file, std::ios::binary);
    Document document;
    std::size_t id = 0;
    std::size_t title = 0;
    std::size_t body = 0;
    while (in >> id >> title >> body && in.get() == '\n') {
      const auto take = [&](std::string& text, std::size_t size) {
        text.resize(size);
        in.read(text.data(), static_cast<std::streamsize>(size));
      };
      take(document.id, id);
      take(document.title, title);
      take(document.body, body);
      visit(document);
    }
  };
}

}  // namespace baylore::benchmark
