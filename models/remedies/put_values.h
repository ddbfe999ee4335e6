// Values of a case replaced by those a change carries.
#pragma once
#include <string>

#include "models/case_file/remedy.h"

namespace leverwright::remedies {

using case_file::CaseDescription;
using case_file::Change;

// The values of a part or material file travel with the change: `name` is the slot or the contact place, "id"
// of the change the file.
void read_library_values(const case_file::ChangeReader& reader, const case_file::Node& node, bool part,
                         const std::string& name, Change& change);

// A new part or material brings all its values; what the old one had is gone, documented defaults come back.
void clear_section(CaseDescription& d, const std::string& section);
// All values the change carries under their full paths.
void put_values(CaseDescription& d, const Change& change);
// The cloth, felt or leather at one contact place.
void replace_material(CaseDescription& d, const Change& change, const std::string& place);
// An amount of the change in place of the value at `path`, if it is given.
void replace_one(CaseDescription& d, const Change& change, const std::string& amount,
                 const std::string& path);

}  // namespace leverwright::remedies
