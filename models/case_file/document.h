// A TOML file as a plain tree with line numbers, so that the rest of the reader knows no TOML library, and
// syntax errors in words a technician understands.
#pragma once
#include <string>
#include <utility>
#include <vector>

#include "sim/base/error.h"

namespace leverwright::case_file {

struct Node {
  enum class Kind { kText, kNumber, kTruth, kDate, kTable, kArray };
  Kind kind = Kind::kTable;
  int line = 0;        // of the key, or of the value inside an array
  std::string text;    // kText
  double number = 0;   // kNumber
  bool whole = false;  // kNumber written without point or exponent
  bool truth = false;  // kTruth
  bool inline_table = false;
  std::vector<std::pair<std::string, Node>> members;  // kTable, in file order
  std::vector<Node> items;                            // kArray

  const Node* find(const std::string& key) const;
};

// Text in quotes as TOML wants it.
std::string toml_text(const std::string& text);

// The file's text with its lines at hand, for messages.
struct FileText {
  std::string path;
  std::string text;
  std::vector<std::string> lines;
  std::string line(int number) const;  // "" when there is no such line
};

// Collects the problems of one run. Every add() takes the offending line from the file's text.
class ProblemList {
 public:
  void add(const FileText& file, int line, const std::string& what, const std::string& expected = "",
           const std::string& advice = "");
  void add(base::Problem problem);
  bool empty() const { return problems_.empty(); }
  std::size_t size() const { return problems_.size() + left_out_; }
  // Enough to be told: what costs time, such as the nearest known word, is left out from here on.
  bool full() const { return problems_.size() >= kMostKept; }
  // Sorted by file (in order of first appearance) and line; those over kMostKept as one that counts them.
  std::vector<base::Problem> sorted() const;

 private:
  static constexpr std::size_t kMostKept = 1000;
  std::vector<base::Problem> problems_;
  std::size_t left_out_ = 0;
};

// Reads and parses; false after adding a problem (missing, a folder, empty, not text, not TOML).
bool read_document(const std::string& path, const std::string& kind_words, FileText& file, Node& root,
                   ProblemList& problems);
// The same of a text that is at hand: file.path and file.text are given.
bool parse_document(const std::string& kind_words, FileText& file, Node& root, ProblemList& problems);

}  // namespace leverwright::case_file
