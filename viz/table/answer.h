// The answer of the judgement as lines of text, for every output that begins with it.
#pragma once
#include <string>

#include "models/study/compare.h"
#include "viz/table/document.h"
#include "viz/table/json.h"
#include "viz/table/text.h"

namespace leverwright::table {

// At most five lines of the answer, wrapped; what to do first. Without uncertainties it says so.
std::string write_answer(const study::Comparison& comparison, const Look& look);

// What has to be kept in mind with it, one line each.
std::string write_answer_cautions(const study::Comparison& comparison, const Look& look);

// "[NOT REVERSIBLE]", "[undone with work or parts]", "[undone in minutes]"; nothing for the base.
std::string undone_mark(const study::Comparison& comparison, std::size_t set_up);

// Which set-ups of a case cannot be undone, where nothing is judged. Empty: none of them.
std::string write_no_way_back(const case_file::CaseDescription& description, const Look& look);

// For a verb that shows something else of the set-ups (feel, repetition): what compare says of them, after what the
// verb found. `all`: every set-up of the case took part; else what is said of the one, not what to do.
void add_answer(Document& document, const study::Comparison& comparison, bool all);

// Decision, move, odds and reason of each stage, and the lines in words.
Json answer_json(const study::Comparison& comparison);
Json judged_json(const study::Comparison& comparison, std::size_t set_up);

}  // namespace leverwright::table
