// Holds a results file against its standard (FORMAT.md): every fault as one problem in plain words, none when
// the file keeps the standard. A file that cannot be opened at all gives the one problem that says why.
#pragma once
#include <string>
#include <vector>

#include "sim/base/error.h"

namespace leverwright::store {

std::vector<base::Problem> check_study(const std::string& path);

}  // namespace leverwright::store
