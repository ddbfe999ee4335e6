#include "models/keyboard/layout.h"

#include <array>
#include <cctype>
#include <string_view>

namespace leverwright::keyboard {

namespace {

constexpr std::array<std::string_view, 12> kNames = {"C",  "C#", "D",  "D#", "E",  "F",
                                                     "F#", "G",  "G#", "A",  "A#", "B"};

int step_of(int note) { return (note + 8) % 12; }  // above C

}  // namespace

bool is_sharp(int note) { return kNames[static_cast<std::size_t>(step_of(note))].size() > 1; }

std::string note_name(int note) {
  return std::string(kNames[static_cast<std::size_t>(step_of(note))]) + std::to_string((note + 8) / 12);
}

std::optional<int> read_note(const std::string& written) {
  if (written.empty() || written.size() > 3) return std::nullopt;
  int number = 0;
  if (std::isdigit(static_cast<unsigned char>(written[0]))) {
    for (const char c : written) {
      if (!std::isdigit(static_cast<unsigned char>(c))) return std::nullopt;
      number = 10 * number + (c - '0');
    }
    return number >= kFirstNote && number <= kLastNote ? std::optional<int>(number) : std::nullopt;
  }
  std::string upper = written;
  upper[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(upper[0])));
  for (int note = kFirstNote; note <= kLastNote; ++note)
    if (note_name(note) == upper) return note;
  return std::nullopt;
}

}  // namespace leverwright::keyboard
