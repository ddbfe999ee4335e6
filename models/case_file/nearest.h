// The known word nearest to one that was mistyped.
#pragma once
#include <string>
#include <vector>

namespace leverwright::case_file {

// Letters inserted, left out, exchanged or swapped with their neighbour between the two, capitals ignored.
int edit_distance(const std::string& a, const std::string& b);

// The nearest of `known`, or "" when none is near enough to be meant (a third of the letters at most).
std::string nearest_word(const std::string& written, const std::vector<std::string>& known);

}  // namespace leverwright::case_file
