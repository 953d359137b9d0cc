// Names that need no server: ids, hashes, the folders of the user.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace baylore::files {

// A new ULID: 26 characters of Crockford's base 32, 48 bits of milliseconds and 80 random bits. Two
// terminals never draw the same one in practice, and names sort by time where clocks agree; nothing
// relies on the clock.
std::string new_id();

// BLAKE2b-256 of the bytes, as 64 lower-case hexadecimal digits.
std::string hash_hex(std::string_view bytes);

// 32 random bytes as 64 lower-case hexadecimal digits: a key for keyed_hash_hex().
std::string new_key();

// BLAKE2b-128 of the bytes under a key of new_key(), as 32 lower-case hexadecimal digits. Empty
// when `key` is none.
std::string keyed_hash_hex(std::string_view key, std::string_view bytes);

// Whether `id` matches [A-Za-z0-9._-]{1,64}, is not only dots: safe as a file name.
bool is_id(std::string_view id);

// `a/b` from `a` and `b`; an empty side adds nothing.
std::string join(std::string_view folder, std::string_view name);
std::string folder_of(std::string_view path);
std::string name_of(std::string_view path);

// The user's folders after the XDG base directory specification (0.8): cache for what can be
// rebuilt, state for what must survive. Empty when neither the variable nor HOME is set.
std::string cache_home();
std::string state_home();

// A file or folder that comes with the running program: `installed` relative to the program's
// folder when it is there, else `built`, which CMake knows of a build tree.
std::string with_program(const std::string& installed, const std::string& built);

// Nanoseconds since 1970 from the system's clock.
std::int64_t now_ns();
// ISO 8601 with offset and milliseconds, such as 2026-03-14T10:47:03.120+01:00, in local time.
std::string now_text();

}  // namespace baylore::files
