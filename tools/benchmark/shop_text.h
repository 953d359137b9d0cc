// A shop's tips as plain text: what the reference engines are given, so that all of them look for
// the same words.
#pragma once

#include <functional>
#include <string>
#include <string_view>

#include "files/result.h"
#include "store/store.h"

namespace baylore::benchmark {

struct Document {
  std::string id;
  std::string title;
  std::string body;  // everything else that our own search looks at, in the order of the file
};

Document plain_text(std::string_view bytes, const std::string& path);

// Every tip of the store, in the order of paths.
void each_document(const store::Store& store, const std::function<void(const Document&)>& visit);

}  // namespace baylore::benchmark
