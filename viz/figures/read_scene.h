// Outlines and positions of one set-up from a results file.
#pragma once
#include <string>
#include <vector>

#include "viz/figures/figure_data.h"

namespace leverwright::store {
class StudyReader;
struct SetUpEntry;
}  // namespace leverwright::store

namespace leverwright::figures {

std::vector<scene::Point> read_points(const store::StudyReader& in, const std::string& path);  // [n x 2]

// What pictures, legends and films call a set-up: the study marks what cannot be undone. The base is what is there.
std::string shown_name(const store::StudyReader& in, const store::SetUpEntry& entry, bool base);

// Adds the set-up `at` ("/set_ups/00") to each moment that it holds.
void add_moments(const store::StudyReader& in, const std::string& at, const std::string& name,
                 ActionPictures* out);

}  // namespace leverwright::figures
