#include "sim/base/shown_text.h"

#include <fmt/format.h>

namespace leverwright::base {
namespace {

struct Letter {
  unsigned code = 0;
  std::size_t length = 1;
  bool whole = true;  // well-formed UTF-8
};

Letter letter_at(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t k) { return static_cast<unsigned char>(text[at + k]); };
  const unsigned char first = byte(0);
  if (first < 0x80) return {first, 1, true};
  const std::size_t length = first >= 0xf0 && first < 0xf5   ? 4
                             : first >= 0xe0 && first < 0xf0 ? 3
                             : first >= 0xc2 && first < 0xe0 ? 2
                                                             : 0;
  if (length == 0 || at + length > text.size()) return {first, 1, false};
  unsigned code = first & (0x7fu >> length);
  for (std::size_t k = 1; k < length; ++k) {
    if ((byte(k) & 0xc0u) != 0x80u) return {first, 1, false};
    code = code << 6 | (byte(k) & 0x3fu);
  }
  const unsigned least = length == 2 ? 0x80u : length == 3 ? 0x800u : 0x10000u;
  if (code < least || code > 0x10ffff || (code >= 0xd800 && code < 0xe000)) return {first, 1, false};
  return {code, length, true};
}

bool steers(unsigned c) {
  return (c < 0x20 && c != '\n' && c != '\t') || (c >= 0x7f && c < 0xa0) || c == 0x61c || c == 0x200e ||
         c == 0x200f || (c >= 0x2028 && c <= 0x202e) || (c >= 0x2066 && c <= 0x2069);
}

bool ends_line(std::string_view text, std::size_t at) {  // as some systems write it
  return text[at] == '\r' && at + 1 < text.size() && text[at + 1] == '\n';
}

}  // namespace

bool is_control(std::string_view text, std::size_t at, std::size_t& length) {
  const Letter letter = letter_at(text, at);
  length = letter.length;
  return letter.whole && steers(letter.code) && !ends_line(text, at);
}

std::size_t find_control(std::string_view text) {
  std::size_t length = 1;
  for (std::size_t at = 0; at < text.size(); at += length)
    if (is_control(text, at, length)) return at;
  return std::string_view::npos;
}

std::string shown_text(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    const Letter letter = letter_at(text, at);
    const bool steering = steers(letter.code) && !ends_line(text, at);
    if (!letter.whole || (letter.code < 0x100 && steering))
      out += fmt::format("\\x{:02x}", letter.code);
    else if (steering)
      out += fmt::format("\\u{:04x}", letter.code);
    else
      out += text.substr(at, letter.length);
    at += letter.length;
  }
  return out;
}

std::string shown_line(std::string_view text, std::size_t most) {
  const bool cut = text.size() > most;
  if (cut) {
    while (most > 0 && (static_cast<unsigned char>(text[most]) & 0xc0u) == 0x80u) --most;  // whole letters
    text = text.substr(0, most);
  }
  std::string out = shown_text(text);
  for (char& c : out)
    if (c == '\n' || c == '\t') c = ' ';
  return cut ? out + " ..." : out;
}

}  // namespace leverwright::base
