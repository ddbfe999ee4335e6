// Text for a terminal: numbers, wrapped paragraphs and grids of a given width, with colour only when asked
// for.
#pragma once
#include <string>
#include <vector>

namespace leverwright::table {

enum class Colour { kPlain, kHeading, kGood, kBad, kQuiet };

struct Look {
  int width = 118;      // columns of the terminal
  bool colour = false;  // escape sequences allowed
};

// The text between the escape sequences of a colour; as it is when the look allows none.
std::string paint(const std::string& text, Colour colour, const Look& look);

// Columns that a terminal needs for it: code points, which is right for Latin letters.
int columns_of(const std::string& text);

// Never "-0.0"; "-" when the number does not exist.
std::string fixed(double value, int decimals);
std::string fixed_signed(double value, int decimals);

// Paragraph broken at blanks; `first` stands before the first line, `rest` before the others. Ends with a
// line break.
std::string wrap(const std::string& text, int width, const std::string& first = "",
                 const std::string& rest = "");
// The lines alone.
std::vector<std::string> break_lines(const std::string& text, int width);

struct Cell {
  std::string text;
  Colour colour = Colour::kPlain;
  bool right = false;  // set against the right edge of its column
};

// Rows of cells in columns as wide as their widest cell, or as a column's given width: longer texts are
// broken there.
class Grid {
 public:
  // 0: as wide as needed.
  explicit Grid(std::vector<int> widths, int gap = 2) : widths_(std::move(widths)), gap_(gap) {}
  void add(std::vector<Cell> cells) { rows_.push_back(std::move(cells)); }
  void add_rule() { rows_.emplace_back(); }
  std::string write(const Look& look, const std::string& indent = "") const;

 private:
  std::vector<int> widths_;
  int gap_;
  std::vector<std::vector<Cell>> rows_;  // an empty row is a rule
};

}  // namespace leverwright::table
