// The program's words in the language of whoever stands before it. Every text is written in English
// where it is used and looked up in the chosen language's catalogue, made from one table (es.po and
// its like). A text that a catalogue lacks stays English. The lowest layer: it reads no files and
// knows no trade.
//
// Never for the words of the file format: headings, field names and values are what they are in
// every language.
//
// Thread-safety: all of it may be called from any thread at any time. Nothing here throws.
#pragma once

#include <fmt/core.h>

#include <string>
#include <string_view>
#include <vector>

namespace baylore {

// `text` in the language in use. What it returns stays valid while the program runs, whatever the
// language becomes later; a text without a translation comes back as it was given.
const char* tr(const char* text);
// The same for a text known only while running, such as a word out of a list that holds marked()
// ones.
std::string tr(const std::string& text);
std::string tr(std::string_view text);
// Where one English word is two elsewhere: `context` tells them apart for the translator ("an
// answer", "a count").
const char* tr_in(const char* context, const char* text);

// Marks a text for the table where it is not yet to be translated: lists of words, stored in
// English and shown by tr().
constexpr const char* marked(const char* text) { return text; }

std::string say_with(const char* pattern, fmt::format_args args);
std::string say_count_with(const char* one, const char* many, long count, fmt::format_args args);

// The translated pattern with its {0} {1} ... filled in, in whatever order the language wants them.
// A translation whose braces are wrong gives way to the English pattern.
template <typename... Args>
std::string say(const char* pattern, const Args&... args) {
  return say_with(pattern, fmt::make_format_args(args...));
}

// The same in the plural form that `count` wants in the language: say_count("{0} tip", "{0} tips",
// n, n).
template <typename... Args>
std::string say_count(const char* one, const char* many, long count, const Args&... args) {
  return say_count_with(one, many, count, fmt::make_format_args(args...));
}

// A number written with a point, as the language in use writes it: `12.5 V` is `12,5 V` in Spanish.
// Only points between two figures change, and only where one number has one: what is a date, a
// version or a thread stays.
std::string in_figures(std::string number);
// What is being typed on a keypad, a point at its end too; and the mark itself.
std::string in_typed_figures(std::string typed);
const char* decimal_mark();

namespace words {

struct Language {
  std::string code;  // ISO 639-1
  std::string name;  // in itself
};
// Those the program ships, English first.
const std::vector<Language>& languages();
// Of the language in use: `en` while no catalogue was taken.
std::string language();

// Turns to `code` with its catalogue (a GNU .mo file's bytes, UTF-8). False, with nothing changed,
// when it is none. English needs no catalogue. Catalogues once taken are kept, so texts handed out
// before stay valid.
bool use(const std::string& code, std::string_view catalogue);

}  // namespace words
}  // namespace baylore
