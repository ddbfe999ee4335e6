// An HDF5 identifier that closes itself. Included by .cpp files of this folder only.
#pragma once
#include <hdf5.h>

#include <utility>

namespace leverwright::store {

class Handle {
 public:
  using Closer = herr_t (*)(hid_t);
  Handle() = default;
  Handle(hid_t id, Closer close) : id_(id), close_(close) {}
  Handle(const Handle&) = delete;
  Handle& operator=(const Handle&) = delete;
  Handle(Handle&& o) noexcept : id_(std::exchange(o.id_, -1)), close_(o.close_) {}
  Handle& operator=(Handle&& o) noexcept {
    if (this != &o) {
      reset();
      id_ = std::exchange(o.id_, -1);
      close_ = o.close_;
    }
    return *this;
  }
  ~Handle() { reset(); }

  hid_t id() const { return id_; }
  explicit operator bool() const { return id_ >= 0; }
  // Negative when HDF5 could not close it (unwritten data lost).
  herr_t reset() {
    if (id_ < 0) return 0;
    return close_(std::exchange(id_, -1));
  }
  // Lets go of it without closing it.
  void abandon() { id_ = -1; }

 private:
  hid_t id_ = -1;
  Closer close_ = nullptr;
};

inline Handle own_file(hid_t id) { return Handle(id, &H5Fclose); }
inline Handle own_group(hid_t id) { return Handle(id, &H5Gclose); }
inline Handle own_object(hid_t id) { return Handle(id, &H5Oclose); }
inline Handle own_dataset(hid_t id) { return Handle(id, &H5Dclose); }
inline Handle own_space(hid_t id) { return Handle(id, &H5Sclose); }
inline Handle own_type(hid_t id) { return Handle(id, &H5Tclose); }
inline Handle own_attribute(hid_t id) { return Handle(id, &H5Aclose); }
inline Handle own_properties(hid_t id) { return Handle(id, &H5Pclose); }

}  // namespace leverwright::store
