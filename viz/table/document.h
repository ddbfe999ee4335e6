// What a verb answers, as one document: notes, tables and values in the order in which they are told. Three
// writers make of it what is asked for: the terminal's text, JSON and CSV (document_writers.cpp). The results
// file is a standard of its own (sim/store/FORMAT.md) and is filled from the study, not from here.
//
//   Document d("map", 1);                               JSON: "format": "leverwright map", "format_version": 1
//   d.set("status", "complete");                        JSON alone
//   d.heading("Points");                                terminal alone
//   Table& t = d.table("points");                       JSON: a list of objects under this key
//   t.columns = {{"height", "height_mm", "height", "mm", 8, 2}, ...};
//   t.add({12.5, "kept"});
//   d.details("Points left out");                       what follows is shown with --all only
//
// A table may be for one reader alone: columns without a width are not shown, without a key not in JSON,
// without a CSV head not in CSV.
#pragma once
#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <type_traits>
#include <utility>
#include <variant>
#include <vector>

#include "viz/table/json.h"
#include "viz/table/text.h"

namespace leverwright::table {

// One value in display units. A number that does not exist is shown as "-", null in JSON, nothing in CSV.
struct Entry {
  enum class Kind { kNone, kTruth, kCount, kNumber, kWords, kList };
  Kind kind = Kind::kNone;
  std::int64_t count = 0;  // also truth
  double number = 0;
  std::string words;
  std::vector<std::string> list;
  std::string shown;  // at the terminal in place of the value
  int decimals = -1;  // in place of the column's
  Colour colour = Colour::kPlain;

  Entry() = default;
  Entry(double v) : kind(Kind::kNumber), number(v) {}
  Entry(bool v) : kind(Kind::kTruth), count(v ? 1 : 0) {}
  Entry(std::string v) : kind(Kind::kWords), words(std::move(v)) {}
  Entry(const char* v) : Entry(std::string(v)) {}
  Entry(std::vector<std::string> v) : kind(Kind::kList), list(std::move(v)) {}
  template <class T, class = std::enable_if_t<std::is_integral_v<T> && !std::is_same_v<T, bool>>>
  Entry(T v) : kind(Kind::kCount), count(static_cast<std::int64_t>(v)) {}

  Entry as(std::string text) && {
    shown = std::move(text);
    return std::move(*this);
  }
  Entry in(Colour c) && {
    colour = c;
    return std::move(*this);
  }
  Entry digits(int d) && {
    decimals = d;
    return std::move(*this);
  }
};

struct Column {
  std::string key = {};              // of JSON's member
  std::string csv = {};              // head in CSV
  std::string head = {}, unit = {};  // at the terminal, one above the other
  int width = -1;                    // columns at the terminal; 0: as wide as needed; -1: not shown
  int decimals = 2;                  // of a number there
  bool sign = false;                 // a change: with its sign
  bool right = true;                 // set against the right edge; words stand left whatever this says
};

struct Table {
  std::string key;  // in JSON; "": not there
  std::vector<Column> columns;
  std::vector<std::vector<Entry>> rows;  // an empty row is a rule at the terminal, nothing elsewhere
  int gap = 2;
  std::string indent;

  void add(std::vector<Entry> row) { rows.push_back(std::move(row)); }
  void add_rule() { rows.emplace_back(); }
};

class Document {
 public:
  explicit Document(const std::string& format = "", int version = 1);

  // JSON alone.
  void set(const std::string& key, Json value);
  // The terminal alone.
  void heading(const std::string& text);  // an empty line before it
  void note(const std::string& text, const std::string& first = "", const std::string& rest = "");
  void bullet(const std::string& text) { note(text, "- ", "  "); }
  void space();  // an empty line
  void text(std::function<std::string(const Look&)> write);
  // Every reader, as its columns say. The reference holds until the next block is added.
  Table& table(const std::string& key = "");
  // Part of the document: in JSON an object in the list `key`, or the member `key` itself.
  void add_to(const std::string& key, Document part);
  void member(const std::string& key, Document part);

  // From here on shown with --all only, and named so where it is left out; until essentials().
  void details(const std::string& what);
  void essentials() { detail_.clear(); }

  struct Block {
    std::string key;     // in JSON
    std::string detail;  // "": always shown
    std::variant<Json, Table, std::function<std::string(const Look&)>, std::shared_ptr<Document>> what;
    bool in_list = false;
  };
  const std::vector<Block>& blocks() const { return blocks_; }

 private:
  std::vector<Block> blocks_;
  std::string detail_;
};

// `all`: details as well; else a last line names what was left out.
std::string write_terminal(const Document& document, const Look& look, bool all);
std::string write_json(const Document& document);
// The rows of every table that has heads for CSV, one after the other under the first one's head.
std::string write_csv(const Document& document);
bool has_csv(const Document& document);
bool has_json(const Document& document);

}  // namespace leverwright::table
