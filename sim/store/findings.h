// Problems gathered while a results file is checked, and the check of single datasets and tables. For .cpp
// files of this folder.
#pragma once
#include <string>
#include <vector>

#include "sim/base/error.h"
#include "sim/store/h5_io.h"

namespace leverwright::store {

class Findings {
 public:
  explicit Findings(std::string file) : file_(std::move(file)) {}
  // `where`: path inside the file.
  void add(const std::string& where, const std::string& what, const std::string& expected = "");
  std::vector<base::Problem>&& take() { return std::move(problems_); }

 private:
  std::string file_;
  std::vector<base::Problem> problems_;
};

std::string join_path(const std::string& group, const std::string& name);

// Attributes, units, shape and finite numbers of one dataset; `in_table` allows the unit "per row".
void check_dataset(hid_t file, const std::string& path, bool in_table, Findings& out);
// Columns of one table: as many rows each, order complete, units of the rows known.
void check_table(hid_t file, const std::string& path, Findings& out);
// Rows of a dataset, 0 when it cannot be told.
hsize_t rows_of(hid_t file, const std::string& path);

}  // namespace leverwright::store
