// A filled sheet's note written as a case: the one way there, for `sheet --read` and `new`.
#pragma once
#include <string>

#include "models/workshop/filled_sheet.h"
#include "viz/scene/output_file.h"
#include "viz/table/sheet_table.h"

namespace leverwright::app {

// The case under a temporary name in its folder, checked by reading it again; file.keep() gives it its name, `path`.
// `more`: lines put at its end.
table::ReadBack write_note(const workshop::FilledSheet& sheet, std::size_t note,
                           const case_file::CaseDescription& base, const std::string& path,
                           scene::OutputFile& file, const std::string& more = "");

}  // namespace leverwright::app
