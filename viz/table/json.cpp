#include "viz/table/json.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <stdexcept>

namespace leverwright::table {

struct JsonWriter {
  using Out = nlohmann::ordered_json;
  static Out write(const Json& j) {
    switch (j.kind_) {
      case Json::Kind::kNull:
        return nullptr;
      case Json::Kind::kTruth:
        return j.whole_ != 0;
      case Json::Kind::kWhole:
        return j.whole_;
      case Json::Kind::kCount:
        return static_cast<std::uint64_t>(j.whole_);
      case Json::Kind::kNumber:
        return j.number_;  // the library writes null for what is not finite
      case Json::Kind::kText:
        return j.text_;
      case Json::Kind::kList: {
        Out out = Out::array();
        for (const Json& v : j.values_) out.push_back(write(v));
        return out;
      }
      case Json::Kind::kObject: {
        Out out = Out::object();
        for (std::size_t k = 0; k < j.keys_.size(); ++k) out[j.keys_[k]] = write(j.values_[k]);
        return out;
      }
    }
    throw std::logic_error("JSON: no such kind");
  }
};

Json::Json() = default;
Json::Json(std::nullptr_t) {}
Json::Json(const char* text) : kind_(Kind::kText), text_(text) {}
Json::Json(std::string text) : kind_(Kind::kText), text_(std::move(text)) {}
Json::Json(std::initializer_list<Member> members) : kind_(Kind::kObject) {
  for (const Member& m : members) (*this)[m.key] = m.value;
}
Json::Json(const Json&) = default;
Json::Json(Json&&) noexcept = default;
Json& Json::operator=(const Json&) = default;
Json& Json::operator=(Json&&) noexcept = default;
Json::~Json() = default;

Json Json::array() {
  Json out;
  out.kind_ = Kind::kList;
  return out;
}

Json Json::object() {
  Json out;
  out.kind_ = Kind::kObject;
  return out;
}

void Json::set_truth(bool value) { kind_ = Kind::kTruth, whole_ = value ? 1 : 0; }
void Json::set_whole(std::int64_t value) { kind_ = Kind::kWhole, whole_ = value; }
void Json::set_count(std::uint64_t value) { kind_ = Kind::kCount, whole_ = static_cast<std::int64_t>(value); }
void Json::set_number(double value) { kind_ = Kind::kNumber, number_ = value; }

void Json::push_back(Json value) {
  if (kind_ == Kind::kNull) kind_ = Kind::kList;
  if (kind_ != Kind::kList) throw std::logic_error("JSON: push_back on what is no list");
  values_.push_back(std::move(value));
}

Json& Json::operator[](const std::string& key) {
  if (kind_ == Kind::kNull) kind_ = Kind::kObject;
  if (kind_ != Kind::kObject) throw std::logic_error("JSON: member \"" + key + "\" of what is no object");
  const auto at = std::find(keys_.begin(), keys_.end(), key);
  if (at != keys_.end()) return values_[static_cast<std::size_t>(at - keys_.begin())];
  keys_.push_back(key);
  values_.emplace_back();
  return values_.back();
}

Json& Json::back() {
  if (kind_ != Kind::kList || values_.empty()) throw std::logic_error("JSON: back() of an empty list");
  return values_.back();
}

std::string Json::dump(int indent) const {
  return JsonWriter::write(*this).dump(indent, ' ', false, JsonWriter::Out::error_handler_t::replace);
}

}  // namespace leverwright::table
