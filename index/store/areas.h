// The places of a tip that words stand in. They are finer than the columns of tips_fts, so that a
// result can say where it matched without looking at the tip again.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>

#include "store/schema.h"
#include "words/words.h"

namespace baylore::store {

enum class Area : std::uint8_t {
  title,
  symptom,
  checks,
  location,
  repair,
  parts,
  finish,
  code,
  vehicle,
  component,
  system,
  when,
  background,
  author,
  file_name,
};
inline constexpr std::size_t kAreas = 15;

// As shown to people, in the order above.
inline constexpr std::array<std::string_view, kAreas> kAreaNames = {
    marked("title"),      marked("symptom"),   marked("checks"),   marked("location"),
    marked("repair"),     marked("parts"),     marked("finish"),   marked("code"),
    marked("vehicle"),    marked("component"), marked("system"),   marked("when"),
    marked("background"), marked("author"),    marked("file name")};

// The column of tips_fts that holds an area's words.
inline constexpr std::array<FtsColumn, kAreas> kColumnOfArea = {
    FtsColumn::title, FtsColumn::symptom, FtsColumn::checks, FtsColumn::location, FtsColumn::repair,
    FtsColumn::parts, FtsColumn::finish,  FtsColumn::names,  FtsColumn::names,    FtsColumn::names,
    FtsColumn::names, FtsColumn::names,   FtsColumn::other,  FtsColumn::other,    FtsColumn::other};

}  // namespace baylore::store
