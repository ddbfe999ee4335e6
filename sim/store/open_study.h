// Opens a results file for reading, or says in plain words why it is none. For .cpp files of this folder.
#pragma once
#include <string>

#include "sim/store/h5_handle.h"

namespace leverwright::store {

// Throws base::UserError naming the file: missing, a folder, unreadable, empty, not HDF5, cut short,
// another program's HDF5, written by a newer version.
Handle open_study(const std::string& path);

}  // namespace leverwright::store
