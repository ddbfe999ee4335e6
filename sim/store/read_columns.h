// Columns of numbers in any HDF5 file, ours or not: 1-D datasets of one group, each with its unit.
#pragma once
#include <string>
#include <vector>

namespace leverwright::store {

struct StoredColumn {
  std::string name, unit;  // unit: the dataset's attribute `unit` (or `units`), "" when it has none
  std::vector<double> values;
};

// UserError when the file is no HDF5 file, has no such group, or the group holds no column of numbers.
std::vector<StoredColumn> read_columns(const std::string& path, const std::string& group);

}  // namespace leverwright::store
