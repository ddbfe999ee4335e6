#include "models/case_file/invented.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <variant>

#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"

namespace leverwright::case_file {

namespace {

bool is_invented(const std::string& source, const Origin& place) {
  return source.rfind("invented", 0) == 0 && !place.file.empty();
}

std::string file_word(const Origin& place) { return std::filesystem::path(place.file).stem().string(); }

// Usual uncertainty of a key at this value, SI; 0 when the schema has none.
double usual_sigma(const std::string& text, Dimension dimension, double value) {
  if (text.empty()) return 0;
  if (text.find('%') != std::string::npos) return std::abs(value) * std::stod(text) / 100;
  const auto read = read_quantity(text, dimension);
  const auto* q = std::get_if<Quantity>(&read);
  return q != nullptr ? q->value : 0;
}

}  // namespace

InventedValues count_invented(const CaseDescription& d) {
  InventedValues out;
  const auto add = [&](const std::string& source, const Origin& place) {
    if (!is_invented(source, place)) return;
    ++out.count;
    ++out.by_file[file_word(place)];
  };
  for (const auto& [key, q] : d.quantities) add(q.source, q.place);
  for (const auto& [key, list] : d.point_lists) add(list.source, list.place);
  return out;
}

std::string invented_words(const CaseDescription& d) {
  const InventedValues v = count_invented(d);
  if (v.count == 0) return "";
  std::string files;
  for (const auto& [file, n] : v.by_file) files += fmt::format("{}{} {}", files.empty() ? "" : ", ", file, n);
  if (d.invented)
    return fmt::format("Invented, like the piano itself: {} values of its parts ({}).", v.count, files);
  return fmt::format(
      "Nobody measured {} of the values: they come from invented part files ({}) and stand with an "
      "uncertainty as wide as such parts differ (estimate). Measure your own parts, or take what hangs on "
      "them for a guess.",
      v.count, files);
}

void widen_invented(CaseDescription& d) {
  if (d.invented) return;
  for (auto& [key, q] : d.quantities) {
    const KeySpec* spec = schema().find_key(key);
    if (spec == nullptr || !is_invented(q.source, q.place) || q.knowledge != Knowledge::kMeasured) continue;
    const double wide = kDiffer * usual_sigma(spec->default_sigma, q.dimension, q.value);
    if (wide <= q.sigma) continue;
    q.sigma = wide;
    q.source = "invented; +- as wide as such parts differ: estimate";
  }
  for (auto& [key, list] : d.point_lists) {
    const PointListSpec* spec = schema().find_point_list(key);
    if (spec == nullptr || !is_invented(list.source, list.place)) continue;
    list.sigma = std::max(list.sigma, kDiffer * usual_sigma(spec->default_sigma, Dimension::kLength, 0));
  }
}

}  // namespace leverwright::case_file
