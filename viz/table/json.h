// A JSON document under construction: a value, a list, or members in the order they were added.
//
//   Json out{{"format", "leverwright feel"}, {"format_version", 1}};
//   out["set_ups"] = Json::array();
//   out["set_ups"].push_back(Json{{"name", name}, {"value", value}});
//   return out.dump(2) + "\n";
//
// A number that is not finite becomes null, which JSON has instead; text that is not UTF-8 is replaced. The
// library that writes the characters stands behind json.cpp alone: its header costs every file that includes
// it some 15 s.
#pragma once
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <string>
#include <type_traits>
#include <vector>

namespace leverwright::table {

class Json {
 public:
  struct Member;

  Json();  // null
  Json(std::nullptr_t);
  Json(const char* text);
  Json(std::string text);
  template <class T, class = std::enable_if_t<std::is_arithmetic_v<T>>>
  Json(T value) {
    if constexpr (std::is_same_v<T, bool>)
      set_truth(value);
    else if constexpr (std::is_floating_point_v<T>)
      set_number(static_cast<double>(value));
    else if constexpr (std::is_unsigned_v<T>)
      set_count(static_cast<std::uint64_t>(value));
    else
      set_whole(static_cast<std::int64_t>(value));
  }
  template <class T, std::size_t N>
  Json(const T (&text)[N]) : Json(static_cast<const char*>(text)) {
    static_assert(std::is_same_v<T, char>, "only texts are given as arrays");
  }
  template <class T>
  Json(const std::vector<T>& values) : Json(array()) {
    for (const auto& v : values) push_back(Json(v));
  }
  Json(std::initializer_list<Member> members);

  Json(const Json&);
  Json(Json&&) noexcept;
  Json& operator=(const Json&);
  Json& operator=(Json&&) noexcept;
  ~Json();

  static Json array();
  static Json object();

  void push_back(Json value);                // null becomes a list
  Json& operator[](const std::string& key);  // null becomes an object; a new key holds null
  Json& back();                              // of a list that is not empty

  // The text, `indent` spaces a level.
  std::string dump(int indent) const;

 private:
  enum class Kind { kNull, kTruth, kWhole, kCount, kNumber, kText, kList, kObject };
  friend struct JsonWriter;
  void set_truth(bool value);
  void set_whole(std::int64_t value);
  void set_count(std::uint64_t value);
  void set_number(double value);

  Kind kind_ = Kind::kNull;
  std::int64_t whole_ = 0;  // also truth, and the bits of a count
  double number_ = 0;
  std::string text_;
  std::vector<std::string> keys_;  // of an object, beside its values
  std::vector<Json> values_;       // of a list or an object
};

struct Json::Member {
  std::string key;
  Json value;
};

}  // namespace leverwright::table
