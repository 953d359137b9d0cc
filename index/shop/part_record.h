// A part that was bad before it went in, as a record of its own (records.h).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shop/outcome.h"
#include "shop/records.h"

namespace baylore::shop {

struct DeadOnArrival {
  std::string id;
  std::string when;  // ISO 8601 with offset
  std::string who;
  std::string job;   // may be empty
  std::string part;  // brand and number, and the lot where it is known
  std::string text;  // which acceptance check it failed, with the reading
  Car car;           // it was meant for
  std::string corrects;
  std::string first_when;  // as of an Outcome; set by dead_on_arrival() alone
};
inline constexpr std::string_view kDeadOnArrival = "dead on arrival";

Record record_of(const DeadOnArrival& dead);
// Nothing when the record is of another kind.
std::optional<DeadOnArrival> dead_on_arrival_of(const Record& record);

// All of them, oldest first: a corrected one is left out for what corrects it, a withdrawn one
// altogether, and so is what sound_records() leaves aside (record_groups.h).
std::vector<DeadOnArrival> dead_on_arrival(const std::vector<Record>& records);
// Of records that sound_records() gave back, or some of them.
std::vector<DeadOnArrival> dead_on_arrival(const std::vector<const Record*>& sound);

// The sheet a supplier wants for a part that came back within its warranty. One line each, ready to
// print; what is not known has a line with nothing after the colon.
std::string claim_sheet(const Finished& job, const Comeback& comeback,
                        std::string_view warranty_text);

}  // namespace baylore::shop
