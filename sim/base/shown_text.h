// Text from files and the command line as a terminal may show it.
#pragma once
#include <cstddef>
#include <string>
#include <string_view>

namespace leverwright::base {

// True for a character that steers a terminal or a text's direction, or has no picture: C0 (but for line
// break and tab), delete, C1 (U+0080 to U+009F), the marks and overrides of direction, and line and paragraph
// separators. `text` is UTF-8; `length` is set to the bytes of the character at `at`.
bool is_control(std::string_view text, std::size_t at, std::size_t& length);

// Position of the first such character, or npos.
std::size_t find_control(std::string_view text);

// Each such character, and each byte that is no UTF-8, written out: "\x1b", "\u202e". Line breaks and tabs
// stay.
std::string shown_text(std::string_view text);

// The same on one line and cut to so many bytes, " ..." behind it: for a line quoted in a message.
std::string shown_line(std::string_view text, std::size_t most);

}  // namespace leverwright::base
