// Files that came with the program: parts, materials, handbook, cases.
#pragma once
#include <string>

namespace leverwright::base {

// The folder share/leverwright/NAME beside the program's own bin/, wherever that was installed to; "" when
// there is none, as in a build tree.
std::string find_installed(const std::string& name);

}  // namespace leverwright::base
