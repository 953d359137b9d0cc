// The language of the terminal: its catalogue is read when the program starts and whenever it is
// changed.
#include "files/names.h"
#include "viewer/state/app.h"
#include "words/words.h"

namespace baylore::viewer {

void App::take_language() {
  const std::string& code = state_.terminal.language;
  std::string catalogue;
  if (code != "en") {
    constexpr std::uint64_t kLimit = 4U << 20U;
    const std::string path = files::join(options_.words_folder, code + "/LC_MESSAGES/baylore.mo");
    files::Disk& disk = options_.disk != nullptr ? *options_.disk : files::real_disk();
    if (auto bytes = disk.read(path, kLimit)) catalogue = std::move(bytes.value());
  }
  if (words::use(code, catalogue)) return;
  words::use("en", {});
  state_.notice = Notice{tr("The words of this language are not installed"),
                         tr("English is used: install the program anew."), true};
}

void App::next_language() {
  const auto& all = words::languages();
  std::size_t at = 0;
  while (at < all.size() && all[at].code != state_.terminal.language) ++at;
  state_.terminal.language = all[at + 1 < all.size() ? at + 1 : 0].code;
  take_language();
  // What was put together in the other language is put together anew.
  search_now();
  if (state_.guide) guide_now();
}

std::string App::language_name() const {
  for (const words::Language& each : words::languages()) {
    if (each.code == state_.terminal.language) return each.name;
  }
  return state_.terminal.language;
}

}  // namespace baylore::viewer
