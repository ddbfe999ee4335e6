#include "sim/store/meta.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>
#include <utility>

#include "sim/store/known_units.h"

namespace leverwright::store {

Meta make_meta(const std::string& unit, const std::string& display_unit, const std::string& frame,
               const std::string& description) {
  const double factor = display_factor(unit, display_unit);
  if (factor == 0)
    throw std::logic_error(
        fmt::format("\"{}\" cannot be shown in \"{}\" ({})", unit, display_unit, description));
  return Meta{unit, display_unit, factor, frame, description, false};
}

Meta make_meta_unknown_allowed(const std::string& unit, const std::string& display_unit,
                               const std::string& frame, const std::string& description) {
  Meta meta = make_meta(unit, display_unit, frame, description);
  meta.may_be_unknown = true;
  return meta;
}

double Number::display_factor() const { return store::display_factor(unit, display_unit); }

Column text_column(const std::string& name, const std::string& description, std::vector<std::string> texts) {
  return Column{name, make_meta("text", "text", "none", description), {}, std::move(texts)};
}

Column number_column(const std::string& name, const Meta& meta, std::vector<double> numbers) {
  return Column{name, meta, std::move(numbers), {}};
}

const Column* Table::find(const std::string& name) const {
  const auto it =
      std::find_if(columns.begin(), columns.end(), [&](const Column& c) { return c.name == name; });
  return it == columns.end() ? nullptr : &*it;
}

std::vector<double> Series::column(std::size_t c) const {
  std::vector<double> out(rows);
  for (std::size_t r = 0; r < rows; ++r) out[r] = at(r, c);
  return out;
}

std::vector<double> Series::displayed() const {
  std::vector<double> out(values);
  for (std::size_t i = 0; i < out.size(); ++i) {
    const std::size_t c = columns == 0 ? 0 : i % columns;
    out[i] *=
        names.units.empty() ? meta.display_factor : display_factor(names.units[c], names.display_units[c]);
  }
  return out;
}

std::size_t Series::find_column(const std::string& name) const {
  const auto it = std::find(names.names.begin(), names.names.end(), name);
  return it == names.names.end() ? columns : static_cast<std::size_t>(it - names.names.begin());
}

}  // namespace leverwright::store
