// Version of the program, as results files name it. Kept equal to the project's in CMakeLists.txt
// (tests/structure).
#pragma once

namespace leverwright::base {

inline constexpr const char* kVersion = "0.1.0";

}  // namespace leverwright::base
