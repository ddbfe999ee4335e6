// What other code needs to know of a part that is put in.
#pragma once
#include <string>
#include <utility>
#include <vector>

#include "models/case_file/case_description.h"

namespace leverwright::remedies {

// What a part file may know of its own part, and the key of the bench it stands for once the part is put in
// by a change: {"wippen.weight", "measured.wippen_weight"}, ... The base's parts are as the case measured
// them.
const std::vector<std::pair<std::string, std::string>>& own_values();

// Masses and springs of a part are not set at the bench; nobody holds a gauge to them.
bool is_measured_on_a_part(case_file::Dimension dimension);

// The change that puts a part in: `id` is a part file's name or, ending in .toml, the path of a file
// anywhere. Throws base::UserError.
case_file::Change read_part_change(const std::string& models_directory, const std::string& slot,
                                   const std::string& id);

}  // namespace leverwright::remedies
