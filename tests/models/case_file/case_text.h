// Case files made from the good one by exchanging lines, for the tests.
#pragma once
#include <string>
#include <vector>

#include "models/case_file/case_description.h"
#include "sim/base/error.h"

namespace leverwright::case_test {

std::string good_text();

// The text with the line that begins with `start` (after blanks) exchanged for `line`; an empty line removes
// it. Fails the test when there is no such line.
std::string with_line(const std::string& text, const std::string& start, const std::string& line);
std::string with_end(const std::string& text, const std::string& more);

// Writes the text to a file of its own and reads it with the test models.
case_file::CaseDescription read_case_text(const std::string& text);
// The problems read_case_text reports; empty when it reads.
std::vector<base::Problem> problems_of(const std::string& text);

}  // namespace leverwright::case_test
