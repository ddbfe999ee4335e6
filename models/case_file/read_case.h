// Reads a case file with the part and material files it names.
//
// Which value counts, from strongest to weakest: the case file; the part or material file it names; the
// schema's documented default. Every problem of every file is collected and thrown together as
// base::UserError. What is odd but not wrong becomes a line of CaseDescription::warnings.
#pragma once
#include <string>

#include "models/case_file/case_description.h"
#include "models/case_file/remedy.h"

namespace leverwright::case_file {

inline constexpr int kCaseFormat = 1;  // the newest this program reads; "format = 2" is refused by name

// `models_directory` holds parts/ and materials/; "" means the environment's LEVERWRIGHT_MODELS, or when
// that is not set what was installed with the program, or else the folder it was built from.
// `remedies` are the kinds of change a set-up may name; whoever wants all there are calls remedies::read_case.
CaseDescription read_case(const std::string& path, const RemedyList& remedies,
                          const std::string& models_directory = "");
// The same of a text at hand, as if it stood in the file `path`.
CaseDescription read_case_text(const std::string& text, const std::string& path, const RemedyList& remedies,
                               const std::string& models_directory = "");

std::string default_models_directory();

}  // namespace leverwright::case_file
