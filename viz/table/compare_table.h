// A comparison as a technician reads it in a terminal. Values in trade units; "+-" is one standard deviation.
#pragma once
#include <string>

#include "models/study/compare.h"
#include "viz/table/document.h"

namespace leverwright::table {

// The answer, a line for each set-up and what to keep in mind; everything else as details. Case and comparison
// have to outlive it.
Document comparison_document(const case_file::CaseDescription& description,
                             const study::Comparison& comparison);

// Title, question, which is the base, how each set-up was regulated.
std::string write_heading(const case_file::CaseDescription& description, const study::Comparison& comparison,
                          const Look& look);
// Measures down, set-ups across: value, change against the base, its +-, better / worse / =. Set-ups that do
// not fit beside each other go into blocks below.
std::string write_measures(const study::Comparison& comparison, const Look& look);
// One sentence for each set-up.
std::string write_verdicts(const study::Comparison& comparison, const Look& look);
std::string write_warnings(const study::Comparison& comparison, const Look& look);

// Uncertainties took part in the comparison.
bool has_uncertainty(const study::Comparison& comparison);
// The verdict, or "" where no uncertainty was worked out and nothing can be told but that a set-up has no
// answer.
std::string verdict_of(const study::Comparison& comparison, std::size_t set_up);
// "friction from capstan on heel" is too long for a row's label.
std::string short_label(study::MeasureIndex measure);

}  // namespace leverwright::table
