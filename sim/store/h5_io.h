// The few HDF5 operations this folder needs, each failing with H5Failure and HDF5's own innermost reason.
// Included by .cpp files of this folder only.
#pragma once
#include <cstdint>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "sim/store/h5_handle.h"
#include "sim/store/values.h"

namespace leverwright::store {

struct H5Failure : std::runtime_error {
  using std::runtime_error::runtime_error;
};

// HDF5 prints its error stack unless told otherwise; the setting is kept per thread.
void keep_hdf5_quiet();
// Innermost message on this thread's HDF5 error stack.
std::string hdf5_reason();
// Throws H5Failure("<what>: <reason>") when a handle is invalid or a result negative.
void require(const Handle& handle, const std::string& what);
void require(herr_t result, const std::string& what);

// --- writing -------------------------------------------------------------------------------------------
// Opens the group, making it and its parents where missing.
Handle make_group(hid_t file, const std::string& path);
// Each replaces an attribute of the same name.
void put_attribute(hid_t object, const std::string& name, const std::string& value);
void put_attribute(hid_t object, const std::string& name, double value);
void put_attribute(hid_t object, const std::string& name, std::int64_t value);
void put_attribute(hid_t object, const std::string& name, const std::vector<std::string>& values);
// New dataset of doubles; `chunk_rows` > 0 stores it in chunks, shuffled and deflated.
Handle put_doubles(hid_t group, const std::string& name, const std::vector<hsize_t>& dims, const double* data,
                   hsize_t chunk_rows);
// New dataset of strings (UTF-8, variable length): 1-D, or a single one.
Handle put_strings(hid_t group, const std::string& name, const std::vector<std::string>& texts);
Handle put_text(hid_t group, const std::string& name, const std::string& text);

// --- reading -------------------------------------------------------------------------------------------
enum class Kind { kNone, kGroup, kNumbers, kTexts, kOther };
struct Shape {
  Kind kind = Kind::kNone;
  std::vector<hsize_t> dims;  // empty for a single value
  hsize_t count() const;
};
struct Child {
  std::string name;
  Kind kind = Kind::kNone;
  bool is_link_elsewhere = false;  // soft or external link: never followed
  std::uint64_t address = 0;       // where the object lies: two names of one object share it
};
// Children sorted by name.
std::vector<Child> list_children(hid_t file, const std::string& group);
std::vector<std::string> list_attributes(hid_t file, const std::string& path);
Kind kind_of(hid_t file, const std::string& path);
Shape shape_of(hid_t file, const std::string& dataset);
std::vector<double> get_doubles(hid_t file, const std::string& dataset);
std::vector<std::string> get_strings(hid_t file, const std::string& dataset);
// Nothing when the attribute is missing or holds something else.
std::optional<std::string> get_text_attribute(hid_t file, const std::string& path, const std::string& name);
std::optional<double> get_number_attribute(hid_t file, const std::string& path, const std::string& name);
std::optional<std::vector<std::string>> get_texts_attribute(hid_t file, const std::string& path,
                                                            const std::string& name);

}  // namespace leverwright::store
