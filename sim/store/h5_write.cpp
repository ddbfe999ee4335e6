#include <fmt/format.h>

#include <algorithm>

#include "sim/store/h5_io.h"

namespace leverwright::store {
namespace {

constexpr unsigned kDeflateLevel = 4;

// Variable-length UTF-8: h5py reads it as str.
Handle text_type() {
  Handle type = own_type(H5Tcopy(H5T_C_S1));
  require(type, "text type");
  require(H5Tset_size(type.id(), H5T_VARIABLE), "text type");
  require(H5Tset_cset(type.id(), H5T_CSET_UTF8), "text type");
  return type;
}

// Without time stamps two files of the same content are the same bytes.
Handle dataset_properties() {
  Handle properties = own_properties(H5Pcreate(H5P_DATASET_CREATE));
  require(properties, "dataset properties");
  require(H5Pset_obj_track_times(properties.id(), false), "dataset properties");
  return properties;
}

std::vector<const char*> pointers(const std::vector<std::string>& texts) {
  std::vector<const char*> out;
  out.reserve(texts.size());
  for (const std::string& t : texts) out.push_back(t.c_str());
  return out;
}

void put(hid_t object, const std::string& name, hid_t file_type, hid_t memory_type, const Handle& space,
         const void* data) {
  require(space, "attribute " + name);
  const htri_t exists = H5Aexists(object, name.c_str());
  require(static_cast<herr_t>(exists), "attribute " + name);
  if (exists > 0) require(H5Adelete(object, name.c_str()), "attribute " + name);
  const Handle attribute =
      own_attribute(H5Acreate2(object, name.c_str(), file_type, space.id(), H5P_DEFAULT, H5P_DEFAULT));
  require(attribute, "attribute " + name);
  if (H5Sget_simple_extent_npoints(space.id()) > 0)
    require(H5Awrite(attribute.id(), memory_type, data), "attribute " + name);
}

Handle create(hid_t group, const std::string& name, hid_t type, const Handle& space,
              const Handle& properties) {
  require(space, "dataset " + name);
  Handle dataset = own_dataset(
      H5Dcreate2(group, name.c_str(), type, space.id(), H5P_DEFAULT, properties.id(), H5P_DEFAULT));
  require(dataset, "dataset " + name);
  return dataset;
}

}  // namespace

Handle make_group(hid_t file, const std::string& path) {
  const Handle links = own_properties(H5Pcreate(H5P_LINK_CREATE));
  require(links, "group " + path);
  require(H5Pset_create_intermediate_group(links.id(), 1), "group " + path);
  std::size_t end = 1;  // every prefix up to the next '/' must exist before the full path is asked for
  while (end < path.size()) {
    end = std::min(path.find('/', end + 1), path.size());
    const std::string prefix = path.substr(0, end);
    const htri_t exists = H5Lexists(file, prefix.c_str(), H5P_DEFAULT);
    require(static_cast<herr_t>(exists), "group " + path);
    if (exists == 0) {
      Handle made = own_group(H5Gcreate2(file, path.c_str(), links.id(), H5P_DEFAULT, H5P_DEFAULT));
      require(made, "group " + path);
      return made;
    }
  }
  Handle group = own_group(H5Gopen2(file, path.c_str(), H5P_DEFAULT));
  require(group, "group " + path);
  return group;
}

void put_attribute(hid_t object, const std::string& name, const std::string& value) {
  const Handle type = text_type();
  const char* text = value.c_str();
  put(object, name, type.id(), type.id(), own_space(H5Screate(H5S_SCALAR)), &text);
}

void put_attribute(hid_t object, const std::string& name, double value) {
  put(object, name, H5T_IEEE_F64LE, H5T_NATIVE_DOUBLE, own_space(H5Screate(H5S_SCALAR)), &value);
}

void put_attribute(hid_t object, const std::string& name, std::int64_t value) {
  put(object, name, H5T_STD_I64LE, H5T_NATIVE_INT64, own_space(H5Screate(H5S_SCALAR)), &value);
}

void put_attribute(hid_t object, const std::string& name, const std::vector<std::string>& values) {
  const Handle type = text_type();
  const hsize_t size = values.size();
  const std::vector<const char*> texts = pointers(values);
  put(object, name, type.id(), type.id(), own_space(H5Screate_simple(1, &size, nullptr)), texts.data());
}

Handle put_doubles(hid_t group, const std::string& name, const std::vector<hsize_t>& dims, const double* data,
                   hsize_t chunk_rows) {
  const Handle properties = dataset_properties();
  if (chunk_rows > 0) {
    std::vector<hsize_t> chunk = dims;
    chunk[0] = std::min(chunk[0], chunk_rows);
    require(H5Pset_chunk(properties.id(), static_cast<int>(chunk.size()), chunk.data()), "chunks of " + name);
    require(H5Pset_shuffle(properties.id()), "shuffle " + name);
    require(H5Pset_deflate(properties.id(), kDeflateLevel), "deflate " + name);
  }
  const Handle space = own_space(H5Screate_simple(static_cast<int>(dims.size()), dims.data(), nullptr));
  Handle dataset = create(group, name, H5T_IEEE_F64LE, space, properties);
  if (std::find(dims.begin(), dims.end(), hsize_t{0}) == dims.end())
    require(H5Dwrite(dataset.id(), H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, data), "write " + name);
  return dataset;
}

Handle put_strings(hid_t group, const std::string& name, const std::vector<std::string>& texts) {
  const Handle type = text_type();
  const hsize_t size = texts.size();
  Handle dataset =
      create(group, name, type.id(), own_space(H5Screate_simple(1, &size, nullptr)), dataset_properties());
  const std::vector<const char*> data = pointers(texts);
  if (!data.empty())
    require(H5Dwrite(dataset.id(), type.id(), H5S_ALL, H5S_ALL, H5P_DEFAULT, data.data()), "write " + name);
  return dataset;
}

Handle put_text(hid_t group, const std::string& name, const std::string& text) {
  const Handle type = text_type();
  Handle dataset = create(group, name, type.id(), own_space(H5Screate(H5S_SCALAR)), dataset_properties());
  const char* data = text.c_str();
  require(H5Dwrite(dataset.id(), type.id(), H5S_ALL, H5S_ALL, H5P_DEFAULT, &data), "write " + name);
  return dataset;
}

}  // namespace leverwright::store
