// The whole keyboard as text, JSON and CSV. What the JSON and the CSV hold: OUTPUT.md.
#pragma once
#include <string>
#include <vector>

#include "models/keyboard/keyboard.h"
#include "viz/table/document.h"

namespace leverwright::table {

// The answers; as details the tables, with a line for each of the 88 notes when `all`, else for every C and the
// sample notes. The keyboard has to outlive it.
Document keyboard_document(const keyboard::Keyboard& keyboard, bool all);
// The answers as sentences, in the order of the work.
std::vector<std::string> keyboard_sentences(const keyboard::Keyboard& keyboard);

std::string write_keyboard_json(const std::string& case_path, const keyboard::Keyboard& keyboard);
// A line for each note.
std::string write_keyboard_csv(const keyboard::Keyboard& keyboard);

}  // namespace leverwright::table
