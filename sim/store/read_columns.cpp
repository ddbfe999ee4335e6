#include "sim/store/read_columns.h"

#include <fmt/format.h>

#include <filesystem>

#include "sim/base/error.h"
#include "sim/base/output_guard.h"
#include "sim/store/h5_io.h"
#include "sim/store/trial_read.h"

namespace leverwright::store {

namespace {

std::vector<StoredColumn> read_tried(const std::string& path, const std::string& group) {
  const auto refuse = [&](const std::string& what, const std::string& expected, const std::string& advice) {
    throw base::UserError({base::Problem{path, 0, "", what, expected, advice}});
  };
  const Handle file = own_file(H5Fopen(path.c_str(), H5F_ACC_RDONLY, H5P_DEFAULT));
  if (!file)
    refuse("this cannot be read as an HDF5 file", "a file with the datasets time and force or dip", "");
  std::vector<StoredColumn> out;
  try {
    if (kind_of(file.id(), group) != Kind::kGroup)
      refuse(fmt::format("there is no group {} in it", group), "the group that holds the datasets",
             "write it after a colon: FILE.h5:/path/to/group; h5ls -r FILE.h5 lists them");
    for (const Child& child : list_children(file.id(), group)) {
      if (child.kind != Kind::kNumbers || child.is_link_elsewhere) continue;
      const std::string at = group == "/" ? "/" + child.name : group + "/" + child.name;
      if (shape_of(file.id(), at).dims.size() != 1) continue;
      StoredColumn column{child.name, "", get_doubles(file.id(), at)};
      for (const char* attribute : {"unit", "units"})
        if (const auto unit = get_text_attribute(file.id(), at, attribute); unit && column.unit.empty())
          column.unit = *unit;
      out.push_back(std::move(column));
    }
  } catch (const H5Failure& failure) {
    refuse(fmt::format("damaged: {}", failure.what()), "", "");
  }
  if (out.empty())
    refuse(fmt::format("the group {} holds no column of numbers", group),
           "1-D datasets named time and force or dip", "h5ls -r FILE.h5 lists what is in it");
  return out;
}

}  // namespace

std::vector<StoredColumn> read_columns(const std::string& path, const std::string& group) {
  const auto refuse = [&](const std::string& what, const std::string& expected, const std::string& advice) {
    throw base::UserError({base::Problem{path, 0, "", what, expected, advice}});
  };
  keep_hdf5_quiet();
  std::error_code error;
  if (!std::filesystem::is_regular_file(path, error))
    refuse("there is no ordinary file of this name", "an HDF5 file with the datasets time and force or dip",
           "");
  base::note_input(path);
  need_readable(path, [&] { read_tried(path, group); });
  return read_tried(path, group);
}

}  // namespace leverwright::store
