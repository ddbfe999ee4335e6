// The tables of models/handbook/case_format.md, written from the schema so that they cannot fall behind it.
#pragma once
#include <string>

#include "models/case_file/remedy.h"

namespace leverwright::case_file {

// Everything between the document's two marker lines, in Markdown.
std::string write_format_tables(const RemedyList& remedies);

// The document with what stands between its markers exchanged for the tables of this build; unchanged when it
// has no markers.
std::string renew_tables(const std::string& document, const RemedyList& remedies);

}  // namespace leverwright::case_file
