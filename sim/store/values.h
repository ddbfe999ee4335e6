// A look at doubles that somebody else owns; valid as long as they are.
#pragma once
#include <array>
#include <cstddef>
#include <initializer_list>
#include <vector>

namespace leverwright::store {

class Values {
 public:
  Values() = default;
  Values(const double* data, std::size_t size) : data_(data), size_(size) {}
  Values(const std::vector<double>& v) : data_(v.data()), size_(v.size()) {}  // NOLINT: meant to convert
  template <std::size_t N>
  Values(const std::array<double, N>& v) : data_(v.data()), size_(N) {}  // NOLINT: meant to convert

  const double* data() const { return data_; }
  std::size_t size() const { return size_; }
  bool empty() const { return size_ == 0; }
  const double* begin() const { return data_; }
  const double* end() const { return data_ + size_; }
  double operator[](std::size_t i) const { return data_[i]; }

 private:
  const double* data_ = nullptr;
  std::size_t size_ = 0;
};

}  // namespace leverwright::store
