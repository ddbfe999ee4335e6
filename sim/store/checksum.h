// A line after the HDF5 data that tells whether the bytes before it are still those that were written. HDF5
// itself ignores bytes after its end and cuts them off when another program changes the file, so a changed
// file simply has no such line. Why it is there: HDF5 1.10 crashes on some damaged files instead of reporting
// them; a file that carries the line is refused before HDF5 looks at it.
#pragma once
#include <string>

namespace leverwright::store {

// False when the file cannot be read or written.
bool append_checksum(const std::string& path);

enum class Checksum { kNone, kAgrees, kDisagrees };
Checksum check_checksum(const std::string& path);

}  // namespace leverwright::store
