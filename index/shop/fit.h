// Reading a fit's line with what is wrong in it; tip.h has the plain forms.
#pragma once

#include "shop/notes.h"
#include "shop/tip.h"

namespace baylore::shop {

Fit read_fit(const Item& item, Notes& notes);

// `2014-2018`, `2014`, `2014-`, `-2018`, any dash; false when it is none of these. Empty text: both
// 0, any year.
bool read_years(std::string_view text, int& first, int& last);

// "2014–2018", "2014", "2014 on", "to 2018", "" for any.
std::string years_text(int first, int last);

}  // namespace baylore::shop
