// The whole keyboard as text, JSON and CSV. What the JSON and the CSV hold: OUTPUT.md.
#pragma once
#include <string>
#include <vector>

#include "models/keyboard/keyboard.h"
#include "viz/table/text.h"

namespace leverwright::table {

// `all`: a line for each of the 88 notes, else for every C and the sample notes.
std::string write_keyboard(const keyboard::Keyboard& keyboard, bool all, const Look& look);
// The answers as sentences, in the order of the work.
std::vector<std::string> keyboard_sentences(const keyboard::Keyboard& keyboard);

std::string write_keyboard_json(const std::string& case_path, const keyboard::Keyboard& keyboard);
// A line for each note.
std::string write_keyboard_csv(const keyboard::Keyboard& keyboard);

}  // namespace leverwright::table
