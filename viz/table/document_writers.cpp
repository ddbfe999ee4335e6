// The three writers of a document.
#include <fmt/format.h>

#include <algorithm>

#include "viz/table/csv.h"
#include "viz/table/document.h"

namespace leverwright::table {

namespace {

using Block = Document::Block;

// As words, a number by `write`.
template <class Write>
std::string text_of(const Entry& e, const Write& write) {
  switch (e.kind) {
    case Entry::Kind::kNumber:
      return write(e.number);
    case Entry::Kind::kCount:
      return std::to_string(e.count);
    case Entry::Kind::kTruth:
      return e.count != 0 ? "yes" : "no";
    case Entry::Kind::kWords:
      return e.words;
    case Entry::Kind::kList:
      return fmt::format("{}", fmt::join(e.list, "; "));
    case Entry::Kind::kNone:
      break;
  }
  return "";
}

std::string shown_text(const Entry& e, const Column& c) {
  if (!e.shown.empty()) return e.shown;
  const int decimals = e.decimals >= 0 ? e.decimals : c.decimals;
  return text_of(e, [&](double v) { return c.sign ? fixed_signed(v, decimals) : fixed(v, decimals); });
}

bool is_word(const Entry& e) { return e.kind == Entry::Kind::kWords || e.kind == Entry::Kind::kList; }

// A head over words stands left, as they do.
bool holds_words(const Table& t, std::size_t column) {
  return std::any_of(t.rows.begin(), t.rows.end(),
                     [&](const auto& row) { return column < row.size() && is_word(row[column]); });
}

// Widths of the columns shown; where all together are more than the terminal has, the widest of words give way
// and their texts are broken.
std::vector<int> fit_widths(const Table& t, const std::vector<std::size_t>& shown, int room) {
  constexpr int kLeast = 9;
  std::vector<int> widths;
  int whole = columns_of(t.indent) - t.gap;
  for (const std::size_t k : shown) {
    const Column& c = t.columns[k];
    int width = c.width;
    if (width == 0) {
      width = std::max(columns_of(c.head), columns_of(c.unit));
      for (const auto& row : t.rows)
        if (k < row.size()) width = std::max(width, columns_of(shown_text(row[k], c)));
    }
    widths.push_back(width);
    whole += width + t.gap;
  }
  for (; whole > room; --whole) {
    int* widest = nullptr;
    for (std::size_t i = 0; i < shown.size(); ++i)
      if (widths[i] > kLeast && holds_words(t, shown[i]) && (widest == nullptr || widths[i] > *widest))
        widest = &widths[i];
    if (widest == nullptr) break;
    --*widest;
  }
  return widths;
}

std::string write_table(const Table& t, const Look& look) {
  std::vector<std::size_t> shown;
  for (std::size_t k = 0; k < t.columns.size(); ++k)
    if (t.columns[k].width >= 0) shown.push_back(k);
  if (shown.empty()) return "";
  Grid grid(fit_widths(t, shown, look.width), t.gap);
  std::vector<Cell> heads, units;
  bool any_head = false, any_unit = false;
  for (const std::size_t k : shown) {
    const Column& c = t.columns[k];
    const bool right = c.right && !holds_words(t, k);
    heads.push_back({c.head, Colour::kHeading, right});
    units.push_back({c.unit, Colour::kQuiet, right});
    any_head = any_head || !c.head.empty();
    any_unit = any_unit || !c.unit.empty();
  }
  if (any_head) grid.add(heads);
  if (any_unit) grid.add(units);
  if (any_head || any_unit) grid.add_rule();
  for (const auto& row : t.rows) {
    if (row.empty()) {
      grid.add_rule();
      continue;
    }
    std::vector<Cell> cells;
    for (const std::size_t k : shown)
      if (k < row.size())
        cells.push_back(
            {shown_text(row[k], t.columns[k]), row[k].colour, t.columns[k].right && !is_word(row[k])});
    grid.add(cells);
  }
  return grid.write(look, t.indent);
}

void write_blocks(const Document& d, const Look& look, bool all, std::string& out,
                  std::vector<std::string>& left_out) {
  for (const Block& b : d.blocks()) {
    if (!b.detail.empty() && !all) {
      if (std::find(left_out.begin(), left_out.end(), b.detail) == left_out.end())
        left_out.push_back(b.detail);
      continue;
    }
    if (const auto* t = std::get_if<Table>(&b.what)) out += write_table(*t, look);
    if (const auto* f = std::get_if<std::function<std::string(const Look&)>>(&b.what)) out += (*f)(look);
    if (const auto* part = std::get_if<std::shared_ptr<Document>>(&b.what))
      write_blocks(**part, look, all, out, left_out);
  }
}

Json json_of(const Entry& e) {
  switch (e.kind) {
    case Entry::Kind::kNumber:
      return Json(e.number);
    case Entry::Kind::kCount:
      return Json(e.count);
    case Entry::Kind::kTruth:
      return Json(e.count != 0);
    case Entry::Kind::kWords:
      return Json(e.words);
    case Entry::Kind::kList:
      return Json(e.list);
    case Entry::Kind::kNone:
      break;
  }
  return Json();
}

Json json_of(const Table& t) {
  Json rows = Json::array();
  for (const auto& row : t.rows) {
    if (row.empty()) continue;
    Json one = Json::object();
    for (std::size_t k = 0; k < row.size() && k < t.columns.size(); ++k)
      if (!t.columns[k].key.empty()) one[t.columns[k].key] = json_of(row[k]);
    rows.push_back(std::move(one));
  }
  return rows;
}

Json json_of(const Document& d) {
  Json out = Json::object();
  std::vector<std::string> lists;
  for (const Block& b : d.blocks()) {
    if (b.key.empty()) continue;
    if (const auto* value = std::get_if<Json>(&b.what)) out[b.key] = *value;
    if (const auto* t = std::get_if<Table>(&b.what)) out[b.key] = json_of(*t);
    const auto* part = std::get_if<std::shared_ptr<Document>>(&b.what);
    if (part == nullptr) continue;
    if (!b.in_list) {
      out[b.key] = json_of(**part);
      continue;
    }
    if (std::find(lists.begin(), lists.end(), b.key) == lists.end()) {
      lists.push_back(b.key);
      out[b.key] = Json::array();
    }
    out[b.key].push_back(json_of(**part));
  }
  return out;
}

void add_csv(const Document& d, std::string& out) {
  for (const Block& b : d.blocks()) {
    if (const auto* part = std::get_if<std::shared_ptr<Document>>(&b.what)) add_csv(**part, out);
    const auto* t = std::get_if<Table>(&b.what);
    if (t == nullptr) continue;
    std::vector<std::string> heads;
    for (const Column& c : t->columns)
      if (!c.csv.empty()) heads.push_back(c.csv);
    if (heads.empty()) continue;
    if (out.empty()) out = join_csv(heads);
    for (const auto& row : t->rows) {
      std::vector<std::string> fields;
      for (std::size_t k = 0; k < row.size() && k < t->columns.size(); ++k)
        if (!t->columns[k].csv.empty()) fields.push_back(text_of(row[k], csv_number));
      if (!row.empty()) out += join_csv(fields);
    }
  }
}

}  // namespace

std::string write_terminal(const Document& d, const Look& look, bool all) {
  std::string out;
  std::vector<std::string> left_out;
  write_blocks(d, look, all, out, left_out);
  if (!left_out.empty())
    out += "\n" + wrap(fmt::format("With --all: {}.", fmt::join(left_out, ", ")), look.width);
  return out;
}

std::string write_json(const Document& d) { return json_of(d).dump(1) + "\n"; }

std::string write_csv(const Document& d) {
  std::string out;
  add_csv(d, out);
  return out;
}

bool has_csv(const Document& d) { return !write_csv(d).empty(); }

bool has_json(const Document& d) {
  return std::any_of(d.blocks().begin(), d.blocks().end(), [](const Block& b) { return b.key == "format"; });
}

}  // namespace leverwright::table
