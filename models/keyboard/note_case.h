// The case of one note of 88: the base's, with what the samples say about this note in place of its own.
//
// Of rear length, balance hole to wippen centre and heel contact arm any two fix the third. What the samples
// do not tell is left out where the others fix it: the base note's own value belongs to the base note.
#pragma once
#include <string>
#include <vector>

#include "models/keyboard/keyboard_case.h"

namespace leverwright::keyboard {

// Laws of all columns, in their order; a column whose logarithm is carried holds logarithms.
std::vector<Carried> carry_all(const KeyboardCase& input);
// A column's value at a note in its own unit, whatever law it follows.
struct NoteValue {
  double value = 0, sigma = 0, low = 0, high = 0;  // low, high: of the 95 % band
  double line = 0;
};
NoteValue value_at(const SampleColumn& column, const Carried& carried, int note);

case_file::CaseDescription describe_note(const case_file::CaseDescription& base, const KeyboardCase& input,
                                         const std::vector<Carried>& carried, int note);

// A column whose value at this note lies outside everything plausible (a line drawn too far beyond the
// samples): in words,
// "" when there is none.
std::string find_implausible(const KeyboardCase& input, const std::vector<Carried>& carried, int note);

// The note with its capstan moved by `shift` (m, positive towards the strings), added to its first set-up.
void move_capstan(case_file::CaseDescription& note, double shift);
// Help at the playing point (N); `fade`: share that is gone at full dip.
void fit_spring(case_file::CaseDescription& note, double strength, double fade);

// Horizontally from the wippen centre to the cap's middle, towards the player, as the note stands.
double capstan_place(const case_file::CaseDescription& note);

}  // namespace leverwright::keyboard
