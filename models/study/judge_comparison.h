// A solved comparison put before the judgement (models/judgement). The only place that knows both.
#pragma once
#include "models/study/compare.h"

namespace leverwright::study {

// The base, the targets of the case and every other set-up as a move, in the units a person reads. Measures
// held by the regulation policy are wanted as specified. `set_ups` of the comparison and of the case are in
// the same order.
judgement::Question ask(const case_file::CaseDescription& description, const Comparison& comparison);

// The measure of the judgement that belongs to `measure`, -1 when it is not judged there.
int judged_place(const judgement::Question& question, MeasureIndex measure);

// Fills question and verdict of the comparison, the word of every measure and the sentence of every set-up.
void judge_comparison(const case_file::CaseDescription& description, Comparison& comparison);

}  // namespace leverwright::study
