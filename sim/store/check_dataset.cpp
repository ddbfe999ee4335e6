#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/store/findings.h"
#include "sim/store/known_units.h"
#include "sim/store/layout.h"

namespace leverwright::store {
namespace {

constexpr double kFactorTolerance = 1e-9;  // factors are written as doubles, some by other programs

bool factors_agree(double a, double b) { return std::abs(a - b) <= kFactorTolerance * std::abs(b); }

void check_unit_pair(const std::string& where, const std::string& unit, const std::string& display_unit,
                     double factor, Findings& out) {
  if (!is_stored_unit(unit)) {
    const KnownUnit* known = find_unit(unit);
    out.add(where, fmt::format("unit \"{}\" is {}", unit, known ? "no SI unit" : "not known"),
            known ? fmt::format("numbers stored in \"{}\"", known->si) : "a unit from the list in FORMAT.md");
    return;
  }
  const double right = display_factor(unit, display_unit);
  if (right == 0)
    out.add(where, fmt::format("display_unit \"{}\" does not go with unit \"{}\"", display_unit, unit),
            "one of: " + known_display_units(unit));
  else if (!factors_agree(factor, right))
    out.add(where, fmt::format("display_factor {:.12g} does not turn {} into {}", factor, unit, display_unit),
            fmt::format("{:.12g}", right));
}

void check_attributes(hid_t file, const std::string& path, bool in_table, Findings& out) {
  bool whole = true;
  for (const std::string_view name : kDatasetAttributes) {
    const std::string key(name);
    const bool number = key == "display_factor";
    const bool there = number ? get_number_attribute(file, path, key).has_value()
                              : !get_text_attribute(file, path, key).value_or("").empty();
    if (there) continue;
    whole = false;
    out.add(path, fmt::format("the attribute {} is missing or empty", key), number ? "a number" : "a text");
  }
  if (!whole) return;
  const std::string unit = *get_text_attribute(file, path, "unit");
  check_unit_pair(path, unit, *get_text_attribute(file, path, "display_unit"),
                  *get_number_attribute(file, path, "display_factor"), out);
  if (unit == "per row" && !in_table)
    out.add(path, "the unit \"per row\" stands outside a table", "an SI unit");
}

void check_columns(hid_t file, const std::string& path, const Shape& shape, Findings& out) {
  const bool per_column = get_text_attribute(file, path, "unit") == "per column";
  const hsize_t columns = shape.dims.size() == 2 ? shape.dims[1] : 1;
  const auto names = get_texts_attribute(file, path, "column_names");
  const auto units = get_texts_attribute(file, path, "column_units");
  const auto display_units = get_texts_attribute(file, path, "column_display_units");
  if (names && names->size() != columns)
    out.add(path, fmt::format("{} columns, but {} column_names", columns, names->size()),
            "one name for each column");
  if (per_column && !(names && units && display_units)) {
    out.add(path, "the unit is \"per column\" but the columns do not say theirs",
            "the attributes column_names, column_units and column_display_units");
    return;
  }
  if (!units || !display_units) return;
  if (units->size() != columns || display_units->size() != columns) {
    out.add(path,
            fmt::format("{} columns, but {} column_units and {} column_display_units", columns, units->size(),
                        display_units->size()),
            "one for each column");
    return;
  }
  for (std::size_t c = 0; c < columns; ++c)
    check_unit_pair(fmt::format("{} column {}", path, c), (*units)[c], (*display_units)[c],
                    display_factor((*units)[c], (*display_units)[c]), out);
}

void check_finite(hid_t file, const std::string& path, const Shape& shape, Findings& out) {
  const bool unknown_allowed = get_number_attribute(file, path, "may_be_unknown").value_or(0) != 0;
  const std::vector<double> values = get_doubles(file, path);
  const auto bad = std::find_if(values.begin(), values.end(), [&](double v) {
    return std::isinf(v) || (std::isnan(v) && !unknown_allowed);
  });
  if (bad == values.end()) return;
  const std::size_t columns = shape.dims.size() == 2 ? static_cast<std::size_t>(shape.dims[1]) : 1;
  const auto at = static_cast<std::size_t>(bad - values.begin());
  out.add(path,
          fmt::format("{} in row {}{}", std::isnan(*bad) ? "not a number" : "an infinite number",
                      at / columns, columns > 1 ? fmt::format(", column {}", at % columns) : ""),
          unknown_allowed ? "finite numbers, or NaN where there is nothing to say" : "finite numbers");
}

}  // namespace

void Findings::add(const std::string& where, const std::string& what, const std::string& expected) {
  problems_.push_back(base::Problem{file_, 0, "", where.empty() ? what : where + ": " + what, expected,
                                    "run the study again; the standard is sim/store/FORMAT.md"});
}

std::string join_path(const std::string& group, const std::string& name) {
  return group == "/" ? "/" + name : group + "/" + name;
}

hsize_t rows_of(hid_t file, const std::string& path) {
  const Shape shape = shape_of(file, path);
  return shape.dims.empty() ? 0 : shape.dims[0];
}

void check_dataset(hid_t file, const std::string& path, bool in_table, Findings& out) {
  check_attributes(file, path, in_table, out);
  const Shape shape = shape_of(file, path);
  if (shape.kind == Kind::kTexts) {
    if (get_text_attribute(file, path, "unit").value_or("text") != "text")
      out.add(path, "holds text but has a unit of numbers", "unit = \"text\"");
    get_strings(file, path);  // readable at all
    return;
  }
  if (get_text_attribute(file, path, "unit") == "text")
    out.add(path, "holds numbers but its unit is \"text\"", "an SI unit");
  if (shape.dims.empty() || shape.dims.size() > 2) {
    out.add(path, fmt::format("has {} dimensions", shape.dims.size()), "one or two");
    return;
  }
  check_columns(file, path, shape, out);
  check_finite(file, path, shape, out);
}

void check_table(hid_t file, const std::string& path, Findings& out) {
  if (get_text_attribute(file, path, "description").value_or("").empty())
    out.add(path, "the table has no description", "the attribute description");
  std::vector<std::string> columns;
  for (const Child& child : list_children(file, path))
    if (child.kind == Kind::kNumbers || child.kind == Kind::kTexts) columns.push_back(child.name);
  if (columns.empty()) {
    out.add(path, "the table has no columns", "one dataset for each column");
    return;
  }
  auto order = get_texts_attribute(file, path, "column_order").value_or(std::vector<std::string>{});
  std::sort(order.begin(), order.end());
  if (order != columns)
    out.add(path, "column_order does not name the columns that are there",
            fmt::format("{}", fmt::join(columns, ", ")));
  const std::string& first = columns.front();
  const hsize_t rows = rows_of(file, join_path(path, first));
  bool equal = true;
  for (const std::string& column : columns) {
    const hsize_t found = rows_of(file, join_path(path, column));
    if (found == rows) continue;
    equal = false;
    out.add(join_path(path, column), fmt::format("{} rows, while {} has {}", found, first, rows),
            "as many rows in every column of a table");
  }
  const auto has = [&](const char* name) {
    return std::find(columns.begin(), columns.end(), name) != columns.end();
  };
  const bool units_in_rows = std::any_of(columns.begin(), columns.end(), [&](const std::string& c) {
    return get_text_attribute(file, join_path(path, c), "unit") == "per row";
  });
  if (!units_in_rows) return;
  for (const char* need : {"name", "unit", "display_unit", "display_factor"})
    if (!has(need)) {
      out.add(path, fmt::format("units differ from row to row, but there is no column {}", need),
              "the columns name, unit, display_unit and display_factor");
      return;
    }
  if (!equal) return;
  const auto names = get_strings(file, join_path(path, "name"));
  const auto units = get_strings(file, join_path(path, "unit"));
  const auto display_units = get_strings(file, join_path(path, "display_unit"));
  const auto factors = get_doubles(file, join_path(path, "display_factor"));
  for (std::size_t i = 0; i < names.size(); ++i)
    check_unit_pair(fmt::format("{} row \"{}\"", path, names[i]), units[i], display_units[i], factors[i],
                    out);
}

}  // namespace leverwright::store
