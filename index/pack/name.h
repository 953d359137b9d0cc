// Names of files as they come from elsewhere: what is wrong with one, before anything is done with
// it.
#pragma once

#include <string>
#include <string_view>

namespace baylore::pack {

// What makes a path unfit to be written below a folder of ours; empty for a good one. A good path
// is relative, has '/' between its parts and no part that is empty, `.` or `..`; it is UTF-8
// without control characters, and no part of it means something to another system: drives and
// streams (`:`), backslashes, reserved device names, a blank or a full stop at the end, a leading
// full stop or tilde, characters that turn the reading direction. At most 200 bytes a part, 400 in
// all.
std::string name_fault(std::string_view path);

// The same path as file systems that do not tell capitals or composed letters apart would see it.
std::string collision_key(std::string_view path);

bool is_utf8(std::string_view text);

}  // namespace baylore::pack
