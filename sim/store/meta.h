// What every dataset says about itself, and the shapes in which numbers go in and come out.
#pragma once
#include <cstddef>
#include <limits>
#include <string>
#include <vector>

namespace leverwright::store {

struct Meta {
  std::string unit;             // SI unit the numbers are stored in, "1" for a plain number
  std::string display_unit;     // what a person reads: "mm", "gf", "deg"
  double display_factor = 1;    // displayed = stored * display_factor
  std::string frame;            // "W", "K", "heel profile", or "none"
  std::string description;      // one sentence
  bool may_be_unknown = false;  // NaN allowed: "not defined here" (contact open, uncertainty not known)
};

// The factor comes from the table of known units; an unknown pair is a programmer error.
Meta make_meta(const std::string& unit, const std::string& display_unit, const std::string& frame,
               const std::string& description);
// The same, with NaN allowed where there is nothing to say.
Meta make_meta_unknown_allowed(const std::string& unit, const std::string& display_unit,
                               const std::string& frame, const std::string& description);

// Names, and where they differ units, of the columns of a 2-D series. Leave the units empty when all columns
// share the unit of the Meta; otherwise give one per column and "per column" as the Meta's unit.
struct Columns {
  std::vector<std::string> names;
  std::vector<std::string> units = {};
  std::vector<std::string> display_units = {};
};

inline constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();

// One row of a numbers table. NaN (kUnknown) means "not known" everywhere but in `value`.
struct Number {
  std::string name;        // trade words: "down weight"
  double value = 0;        // SI
  std::string unit = "1";  // SI
  std::string display_unit = "1";
  double sigma = kUnknown;                // one standard deviation, SI
  double change_against_base = kUnknown;  // SI
  double sigma_of_change = kUnknown;      // of the difference, common inputs cancelling; SI
  std::string verdict = {};  // "better", "worse", "cannot be told apart", "changed, no nearer", or empty
  std::string description = {};

  double display_factor() const;
  double displayed() const { return value * display_factor(); }
};

// One column of a table: either text or numbers, all columns of a table equally long.
struct Column {
  std::string name;
  Meta meta;                         // for text: see text_column
  std::vector<double> numbers = {};  // used when the unit is not "text"
  std::vector<std::string> texts = {};
  bool is_text() const { return meta.unit == "text"; }
  std::size_t size() const { return is_text() ? texts.size() : numbers.size(); }
};
Column text_column(const std::string& name, const std::string& description, std::vector<std::string> texts);
Column number_column(const std::string& name, const Meta& meta, std::vector<double> numbers);

struct Table {
  std::string description;
  std::vector<Column> columns;
  std::size_t rows() const { return columns.empty() ? 0 : columns.front().size(); }
  // nullptr when there is no such column.
  const Column* find(const std::string& name) const;
};

// A series as read back. 1-D: columns == 1. 2-D: row-major, values[r * columns + c].
struct Series {
  Meta meta;
  std::vector<double> values;
  std::size_t rows = 0, columns = 1;
  bool is_matrix = false;
  Columns names;  // empty names when the file has none
  double at(std::size_t row, std::size_t column) const { return values[row * columns + column]; }
  std::vector<double> column(std::size_t c) const;
  std::vector<double> displayed() const;  // values * display factor, column by column where units differ
  // Index of a named column; the number of columns when there is none of that name.
  std::size_t find_column(const std::string& name) const;
};

}  // namespace leverwright::store
