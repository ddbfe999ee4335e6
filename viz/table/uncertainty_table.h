// How sure a comparison is: what dominates each difference, what drawing (Monte Carlo) says beside the
// straight line, how many sample notes would tell the remedies apart.
#pragma once
#include <string>

#include "models/study/compare.h"
#include "viz/table/text.h"

namespace leverwright::table {

// "" when no uncertainty was worked out.
std::string write_uncertainty(const study::Comparison& comparison, const Look& look);

// The parts of it.
std::string write_dominant_inputs(const study::Comparison& comparison, const Look& look);
std::string write_monte_carlo(const study::Comparison& comparison, const Look& look);
// All pairs, by down weight and by friction.
std::string write_sample_notes(const study::Comparison& comparison, const Look& look);

// "4", "never", "over 88".
std::string notes_words(int notes);

}  // namespace leverwright::table
