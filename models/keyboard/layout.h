// The 88 keys: which are sharps, and what they are called. Note 1 is A0, note 40 is C4, note 88 is C8.
#pragma once
#include <optional>
#include <string>

namespace leverwright::keyboard {

inline constexpr int kFirstNote = 1, kLastNote = 88, kNoteCount = 88;

bool is_sharp(int note);
std::string note_name(int note);  // "C#4"
// "40", "C4", "C#4" or "c#4"; nothing when it is no note of 88.
std::optional<int> read_note(const std::string& written);

}  // namespace leverwright::keyboard
