// Numbers that differ between a tip and its translation: words may be put in many ways, numbers in
// one.
#pragma once

#include "shop/document.h"
#include "shop/finding.h"
#include "shop/tip.h"

namespace baylore::shop::checking {

struct Text {
  const Document& document;
  const Tip& tip;
};

// Compares what both say: torques, threads, counts, orders, expectations, times, codes, years,
// marks, and the numbers in running text, section by section. What only one of the two has is not
// told, for a translation may be shorter, and a number may be written as a word. Findings stand in
// the translation.
void check_translation(const Text& original, const Text& translation, Findings& into);

}  // namespace baylore::shop::checking
