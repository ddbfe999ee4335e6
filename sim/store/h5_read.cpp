#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "sim/store/h5_io.h"

namespace leverwright::store {
namespace {

// A damaged or foreign file may claim any size; no dataset of a study comes near this one (160 MB of
// doubles).
constexpr hsize_t kMostValues = 20'000'000;

Kind kind_of_type(hid_t type) {
  switch (H5Tget_class(type)) {
    case H5T_FLOAT:
    case H5T_INTEGER:
      return Kind::kNumbers;
    case H5T_STRING:
      return Kind::kTexts;
    default:
      return Kind::kOther;
  }
}

// Raw bytes of other files, or pieces of other datasets.
bool keeps_data_elsewhere(hid_t dataset) {
  const Handle how = own_properties(H5Dget_create_plist(dataset));
  return !how || H5Pget_layout(how.id()) == H5D_VIRTUAL || H5Pget_external_count(how.id()) > 0;
}

Kind kind_of_object(hid_t object) {
  switch (H5Iget_type(object)) {
    case H5I_GROUP:
      return Kind::kGroup;
    case H5I_DATASET: {
      if (keeps_data_elsewhere(object)) return Kind::kOther;
      const Handle type = own_type(H5Dget_type(object));
      return type ? kind_of_type(type.id()) : Kind::kOther;
    }
    default:
      return Kind::kOther;
  }
}

// Reads strings of either storage through `read(memory type, buffer)`.
template <typename Read>
std::vector<std::string> read_texts(hid_t file_type, const Handle& space, const std::string& what,
                                    Read read) {
  const hssize_t points = H5Sget_simple_extent_npoints(space.id());
  require(points < 0 ? herr_t{-1} : herr_t{0}, what);
  const auto count = static_cast<std::size_t>(points);
  if (count > kMostValues) throw H5Failure(what + ": claims more values than any study has");
  std::vector<std::string> out(count);
  if (count == 0) return out;
  const htri_t variable = H5Tis_variable_str(file_type);
  require(static_cast<herr_t>(variable), what);
  const Handle type = own_type(H5Tcopy(file_type));
  require(type, what);
  if (variable > 0) {
    std::vector<char*> texts(count, nullptr);
    require(read(type.id(), static_cast<void*>(texts.data())), what);
    for (std::size_t i = 0; i < count; ++i)
      if (texts[i] != nullptr) out[i] = texts[i];
    H5Dvlen_reclaim(type.id(), space.id(), H5P_DEFAULT, texts.data());
    return out;
  }
  const std::size_t width = H5Tget_size(file_type);
  if (width == 0 || width > kMostValues / count) throw H5Failure(what + ": strings of an impossible length");
  std::vector<char> bytes(width * count, '\0');
  require(read(type.id(), static_cast<void*>(bytes.data())), what);
  for (std::size_t i = 0; i < count; ++i) {
    const auto begin = bytes.begin() + static_cast<std::ptrdiff_t>(i * width);
    out[i].assign(begin, std::find(begin, begin + static_cast<std::ptrdiff_t>(width), '\0'));
  }
  return out;
}

struct OpenAttribute {
  Handle attribute, type, space;
};

std::optional<OpenAttribute> open_attribute(hid_t file, const std::string& path, const std::string& name) {
  if (H5Aexists_by_name(file, path.c_str(), name.c_str(), H5P_DEFAULT) <= 0) return std::nullopt;
  OpenAttribute a;
  a.attribute = own_attribute(H5Aopen_by_name(file, path.c_str(), name.c_str(), H5P_DEFAULT, H5P_DEFAULT));
  if (!a.attribute) return std::nullopt;
  a.type = own_type(H5Aget_type(a.attribute.id()));
  a.space = own_space(H5Aget_space(a.attribute.id()));
  if (!a.type || !a.space) return std::nullopt;
  return a;
}

herr_t keep_name(hid_t, const char* name, const H5L_info_t*, void* out) {
  static_cast<std::vector<std::string>*>(out)->emplace_back(name);
  return 0;
}

herr_t keep_attribute_name(hid_t, const char* name, const H5A_info_t*, void* out) {
  static_cast<std::vector<std::string>*>(out)->emplace_back(name);
  return 0;
}

herr_t keep_innermost(unsigned, const H5E_error2_t* error, void* out) {
  if (error->desc != nullptr) *static_cast<std::string*>(out) = error->desc;
  return 0;
}

}  // namespace

void keep_hdf5_quiet() {
  // No tidying by HDF5 when the program ends: every handle closes itself, and after a full disk it would
  // crash.
  static const herr_t never_at_exit = H5dont_atexit();
  (void)never_at_exit;
  // A file may name filters of its own; their code is not loaded for a stranger's file.
  static const herr_t no_plugins = H5PLset_loading_state(0);
  (void)no_plugins;
  thread_local const herr_t done = H5Eset_auto2(H5E_DEFAULT, nullptr, nullptr);
  (void)done;
}

std::string hdf5_reason() {
  std::string reason = "no reason given";
  H5Ewalk2(H5E_DEFAULT, H5E_WALK_DOWNWARD, &keep_innermost, &reason);
  return reason;
}

void require(const Handle& handle, const std::string& what) {
  require(handle ? herr_t{0} : herr_t{-1}, what);
}

void require(herr_t result, const std::string& what) {
  if (result < 0) throw H5Failure(fmt::format("{}: {}", what, hdf5_reason()));
}

hsize_t Shape::count() const {
  hsize_t total = 1;
  for (const hsize_t n : dims) {
    if (n > kMostValues) return n;  // enough to be refused; the product might wrap around
    total = std::min(total * n, kMostValues + 1);
  }
  return total;
}

std::vector<Child> list_children(hid_t file, const std::string& group) {
  const Handle opened = own_group(H5Gopen2(file, group.c_str(), H5P_DEFAULT));
  require(opened, "group " + group);
  std::vector<std::string> names;
  hsize_t next = 0;
  require(H5Literate(opened.id(), H5_INDEX_NAME, H5_ITER_INC, &next, &keep_name, &names), "group " + group);
  std::vector<Child> out;
  for (const std::string& name : names) {
    Child child;
    child.name = name;
    H5L_info_t link{};
    if (H5Lget_info(opened.id(), name.c_str(), &link, H5P_DEFAULT) < 0) {
      child.kind = Kind::kOther;
    } else if (link.type != H5L_TYPE_HARD) {
      child.kind = Kind::kOther;
      child.is_link_elsewhere = true;
    } else {
      child.address = link.u.address;
      const Handle object = own_object(H5Oopen(opened.id(), name.c_str(), H5P_DEFAULT));
      child.kind = object ? kind_of_object(object.id()) : Kind::kOther;
    }
    out.push_back(child);
  }
  return out;
}

std::vector<std::string> list_attributes(hid_t file, const std::string& path) {
  const Handle object = own_object(H5Oopen(file, path.c_str(), H5P_DEFAULT));
  require(object, path);
  std::vector<std::string> names;
  hsize_t next = 0;
  require(H5Aiterate2(object.id(), H5_INDEX_NAME, H5_ITER_INC, &next, &keep_attribute_name, &names), path);
  return names;
}

Kind kind_of(hid_t file, const std::string& path) {
  if (path == "/") return Kind::kGroup;
  std::size_t end = 0;
  while (end < path.size()) {
    end = std::min(path.find('/', end + 1), path.size());
    if (H5Lexists(file, path.substr(0, end).c_str(), H5P_DEFAULT) <= 0) return Kind::kNone;
  }
  const Handle object = own_object(H5Oopen(file, path.c_str(), H5P_DEFAULT));
  return object ? kind_of_object(object.id()) : Kind::kOther;
}

Shape shape_of(hid_t file, const std::string& path) {
  const Handle dataset = own_dataset(H5Dopen2(file, path.c_str(), H5P_DEFAULT));
  require(dataset, path);
  const Handle space = own_space(H5Dget_space(dataset.id()));
  require(space, path);
  Shape shape;
  shape.kind = kind_of_object(dataset.id());
  if (H5Sget_simple_extent_type(space.id()) == H5S_NULL) {
    shape.dims = {0};
    return shape;
  }
  const int rank = H5Sget_simple_extent_ndims(space.id());
  require(rank < 0 ? herr_t{-1} : herr_t{0}, path);
  shape.dims.resize(static_cast<std::size_t>(rank));
  if (rank > 0 && H5Sget_simple_extent_dims(space.id(), shape.dims.data(), nullptr) < 0)
    throw H5Failure(path + ": " + hdf5_reason());
  return shape;
}

std::vector<double> get_doubles(hid_t file, const std::string& path) {
  const Shape shape = shape_of(file, path);
  if (shape.kind != Kind::kNumbers) throw H5Failure(path + ": does not hold numbers");
  if (shape.count() > kMostValues) throw H5Failure(path + ": claims more values than any study has");
  std::vector<double> out(shape.count());
  const Handle dataset = own_dataset(H5Dopen2(file, path.c_str(), H5P_DEFAULT));
  require(dataset, path);
  if (!out.empty())
    require(H5Dread(dataset.id(), H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, out.data()), path);
  return out;
}

std::vector<std::string> get_strings(hid_t file, const std::string& path) {
  const Handle dataset = own_dataset(H5Dopen2(file, path.c_str(), H5P_DEFAULT));
  require(dataset, path);
  const Handle type = own_type(H5Dget_type(dataset.id()));
  const Handle space = own_space(H5Dget_space(dataset.id()));
  require(type, path);
  require(space, path);
  if (kind_of_type(type.id()) != Kind::kTexts) throw H5Failure(path + ": does not hold text");
  return read_texts(type.id(), space, path, [&](hid_t memory, void* buffer) {
    return H5Dread(dataset.id(), memory, H5S_ALL, H5S_ALL, H5P_DEFAULT, buffer);
  });
}

std::optional<std::vector<std::string>> get_texts_attribute(hid_t file, const std::string& path,
                                                            const std::string& name) {
  const auto a = open_attribute(file, path, name);
  if (!a || kind_of_type(a->type.id()) != Kind::kTexts) return std::nullopt;
  return read_texts(a->type.id(), a->space, path + " attribute " + name,
                    [&](hid_t memory, void* buffer) { return H5Aread(a->attribute.id(), memory, buffer); });
}

std::optional<std::string> get_text_attribute(hid_t file, const std::string& path, const std::string& name) {
  const auto texts = get_texts_attribute(file, path, name);
  if (!texts || texts->size() != 1) return std::nullopt;
  return texts->front();
}

std::optional<double> get_number_attribute(hid_t file, const std::string& path, const std::string& name) {
  const auto a = open_attribute(file, path, name);
  if (!a || kind_of_type(a->type.id()) != Kind::kNumbers) return std::nullopt;
  if (H5Sget_simple_extent_npoints(a->space.id()) != 1) return std::nullopt;
  double value = 0;
  if (H5Aread(a->attribute.id(), H5T_NATIVE_DOUBLE, &value) < 0) return std::nullopt;
  return value;
}

}  // namespace leverwright::store
