#include "models/case_file/document.h"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <sstream>
#include <tuple>

#include "models/case_file/toml_form.h"
#include "sim/base/output_guard.h"
#include "sim/base/shown_text.h"

namespace leverwright::case_file {

namespace {

constexpr std::uintmax_t kLargestFile = 4u << 20;  // a case is a few hundred lines

Node convert(const toml::node& node, int line);

Node convert_table(const toml::table& table, int line) {
  Node out;
  out.kind = Node::Kind::kTable;
  out.line = line;
  out.inline_table = table.is_inline();
  for (auto&& [key, value] : table) {
    const int at = static_cast<int>(key.source().begin.line);
    out.members.emplace_back(std::string(key.str()), convert(value, at));
  }
  // The library keeps keys in alphabetical order; people read files from the top.
  std::stable_sort(out.members.begin(), out.members.end(),
                   [](const auto& a, const auto& b) { return a.second.line < b.second.line; });
  return out;
}

Node convert(const toml::node& node, int line) {
  if (const toml::table* table = node.as_table()) return convert_table(*table, line);
  Node out;
  out.line = line;
  if (const toml::array* array = node.as_array()) {
    out.kind = Node::Kind::kArray;
    for (const toml::node& item : *array)
      out.items.push_back(convert(item, static_cast<int>(item.source().begin.line)));
  } else if (const auto* text = node.as_string()) {
    out.kind = Node::Kind::kText;
    out.text = text->get();
  } else if (const auto* whole = node.as_integer()) {
    out.kind = Node::Kind::kNumber;
    out.number = static_cast<double>(whole->get());
    out.whole = true;
  } else if (const auto* number = node.as_floating_point()) {
    out.kind = Node::Kind::kNumber;
    out.number = number->get();
  } else if (const auto* truth = node.as_boolean()) {
    out.kind = Node::Kind::kTruth;
    out.truth = truth->get();
  } else {
    out.kind = Node::Kind::kDate;
  }
  return out;
}

bool starts_with(const std::string& text, const std::string& start) {
  return text.compare(0, start.size(), start) == 0;
}
bool contains(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

struct PlainWords {
  std::string what, expected, advice;
};

// The parser's message in plain language. What is not recognised is quoted behind a plain beginning.
PlainWords plain_words(const std::string& said, const std::string& line) {
  const std::string quoted = "spread = \"112.5 mm +- 0.25 mm\"";
  if (contains(said, "cannot redefine existing table")) {
    const std::size_t first = said.find('\''), last = said.rfind('\'', said.size() - 1);
    const std::string name =
        first < last ? said.substr(first + 1, said.find('\'', first + 1) - first - 1) : "";
    return {
        fmt::format("the section or key \"{}\" stands in the file twice", name), "each section once",
        "put its lines under the first one; lists of their own begin with double brackets, as [[set_up]]"};
  }
  if (contains(said, "cannot redefine existing")) {
    const std::size_t first = said.find('\'');
    const std::string name = said.substr(first + 1, said.find('\'', first + 1) - first - 1);
    return {fmt::format("\"{}\" is given twice in this section", name), "each key once",
            "remove one of the two lines"};
  }
  if (contains(said, "invalid utf-8"))
    return {"a character here is not UTF-8 text", "a text file saved as UTF-8",
            "save the file again as UTF-8"};
  if (starts_with(said, "Error while parsing string")) {
    if (contains(said, "escape sequence"))
      return {"a backslash inside quotes is not understood", "text without backslashes",
              "remove it, or write two"};
    return {"a text is not closed by its quote", quoted, "add the missing quote at the end of the text"};
  }
  if (starts_with(said, "Error while parsing array") && contains(said, "end-of-file"))
    return {"a list is not closed", "points = [[1, 2], [3, 4]]", "add the missing ]"};
  if (starts_with(said, "Error while parsing inline table"))
    return {"a { ... } entry is not complete on its line", "{ value = \"55 mm\", source = \"bench\" }",
            "keep it on one line, with a comma between its parts and } at the end"};
  if (starts_with(said, "Error while parsing table header") ||
      starts_with(said, "Error while parsing array-of-tables"))
    return {"a section's heading is not complete", "[measured] or [[set_up]]", "check its brackets and name"};
  const auto count = [&](char c) { return std::count(line.begin(), line.end(), c); };
  if (count('"') % 2 != 0) return {"a text is not closed by its quote", quoted, "add the missing quote"};
  if (count('[') > count(']'))
    return {"a list is not closed", "points = [[1, 2], [3, 4]]", "add the missing ]"};
  const std::size_t equals = line.find('=');
  const std::string value = equals == std::string::npos ? "" : line.substr(equals + 1);
  if (contains(said, "expected '='"))
    return {"this line is neither a key with its value nor a section's heading", quoted,
            "write key = \"value\", or begin a remark with #"};
  if (contains(said, "end-of-file") || value.find_first_not_of(" \t\r") == std::string::npos)
    return {"a value is missing behind the equals sign", quoted, "write the value, or remove the line"};
  if (contains(said, "expected keys, tables"))
    return {"this line does not begin with a key or a section's heading", quoted,
            "keys are written in small letters a to z, digits and _"};
  if (contains(said, "expected a comment or whitespace") ||
      contains(said, "could not determine value type") || starts_with(said, "Error while parsing"))
    return {"a value is not written as this file format wants it", quoted,
            "put every quantity with its unit in double quotes, one key to a line"};
  return {fmt::format("this is not a case file's format ({})", said), quoted,
          "see models/handbook/case_format.md"};
}

// Escapes such as \u001b can still write control characters into a text or key.
bool refuse_controls(const Node& node, const FileText& file, ProblemList& problems) {
  const auto check = [&](const std::string& text, int line) {
    if (base::find_control(text) == std::string::npos) return true;
    problems.add(file, line, "a text holds a control character", "plain text",
                 "remove the escape that stands for it");
    return false;
  };
  bool good = check(node.text, node.line);
  for (const auto& [key, member] : node.members)
    good = check(key, member.line) && refuse_controls(member, file, problems) && good;
  for (const Node& item : node.items) good = refuse_controls(item, file, problems) && good;
  return good;
}

bool looks_binary(const std::string& text) {
  std::size_t odd = 0;
  for (unsigned char c : text) {
    if (c == 0) return true;
    if (c < 32 && c != '\n' && c != '\r' && c != '\t') ++odd;
  }
  return odd * 20 > text.size();
}

void split_lines(FileText& file) {
  std::istringstream in(file.text);
  for (std::string line; std::getline(in, line);) {
    if (!line.empty() && line.back() == '\r') line.pop_back();
    file.lines.push_back(line);
  }
}

bool load(const std::string& path, const std::string& kind, FileText& file, ProblemList& problems) {
  namespace fs = std::filesystem;
  file.path = path;
  std::error_code code;
  const fs::file_status status = fs::status(path, code);
  if (!fs::exists(status)) {
    problems.add(file, 0, fmt::format("there is no {} of this name", kind), "",
                 "check the path and its spelling");
    return false;
  }
  if (fs::is_directory(status)) {
    problems.add(file, 0, fmt::format("this is a folder, not a {}", kind), "",
                 "name the .toml file inside it");
    return false;
  }
  if (!fs::is_regular_file(status)) {
    problems.add(file, 0, fmt::format("this is not an ordinary file and cannot be a {}", kind));
    return false;
  }
  if (fs::file_size(path, code) > kLargestFile) {
    problems.add(file, 0, fmt::format("the file is too large to be a {}", kind),
                 "a few hundred lines of text");
    return false;
  }
  std::ifstream in(path, std::ios::binary);
  std::ostringstream all;
  all << in.rdbuf();
  if (!in) {
    // An empty file also leaves the stream failed; tell the two apart by size.
    if (fs::file_size(path, code) > 0) {
      problems.add(file, 0, "the file cannot be read", "", "check its permissions");
      return false;
    }
  }
  file.text = all.str();
  return true;
}

}  // namespace

std::string toml_text(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
  return out + "\"";
}

const Node* Node::find(const std::string& key) const {
  for (const auto& member : members)
    if (member.first == key) return &member.second;
  return nullptr;
}

std::string FileText::line(int number) const {
  if (number < 1 || static_cast<std::size_t>(number) > lines.size()) return "";
  return lines[number - 1];
}

void ProblemList::add(base::Problem problem) {
  if (full())
    ++left_out_;
  else
    problems_.push_back(std::move(problem));
}

void ProblemList::add(const FileText& file, int line, const std::string& what, const std::string& expected,
                      const std::string& advice) {
  constexpr std::size_t kMostOfLine = 1000;  // bytes
  if (full())
    ++left_out_;
  else
    problems_.push_back({file.path, line, file.line(line).substr(0, kMostOfLine), what, expected, advice});
}

std::vector<base::Problem> ProblemList::sorted() const {
  std::map<std::string, std::size_t> rank;
  for (const base::Problem& p : problems_) rank.emplace(p.file, rank.size());
  std::set<std::tuple<std::size_t, int, std::string>> said;
  std::vector<base::Problem> out;
  for (const base::Problem& p : problems_)  // a material named at two places is read twice, said once
    if (said.emplace(rank.at(p.file), p.line, p.what).second) out.push_back(p);
  std::stable_sort(out.begin(), out.end(), [&](const base::Problem& a, const base::Problem& b) {
    const auto ra = rank.at(a.file), rb = rank.at(b.file);
    return ra != rb ? ra < rb : a.line < b.line;
  });
  if (left_out_ > 0) {
    constexpr std::size_t kTold = base::kMostProblems - 1;
    const std::size_t more = out.size() + left_out_ - std::min(out.size(), kTold);
    out.resize(std::min(out.size(), kTold));
    out.push_back({"", 0, "", fmt::format("and {} more problems", more), "", ""});
  }
  return out;
}

bool read_document(const std::string& path, const std::string& kind_words, FileText& file, Node& root,
                   ProblemList& problems) {
  if (!load(path, kind_words, file, problems)) return false;
  base::note_input(path);
  return parse_document(kind_words, file, root, problems);
}

bool parse_document(const std::string& kind_words, FileText& file, Node& root, ProblemList& problems) {
  if (looks_binary(file.text)) {
    problems.add(file, 0, fmt::format("this is not a text file and cannot be a {}", kind_words),
                 "a TOML text file", "check that the right file was named");
    return false;
  }
  split_lines(file);
  if (file.text.find_first_not_of(" \t\r\n") == std::string::npos) {
    problems.add(file, 0, "the file is empty", fmt::format("a {}", kind_words),
                 "begin from one of the folders under cases/");
    return false;
  }
  if (const FormFault fault = find_form_fault(file.text); fault.line > 0) {
    problems.add(file, fault.line, fault.what, fault.expected, fault.advice);
    return false;
  }
  try {
    root = convert_table(toml::parse(file.text, file.path), 1);
  } catch (const toml::parse_error& error) {
    int line = static_cast<int>(error.source().begin.line);
    // A text that ran over the line's end is reported where it began, and so is a value that is not there.
    if (static_cast<std::size_t>(line) > file.lines.size()) line = static_cast<int>(file.lines.size());
    const PlainWords words = plain_words(std::string(error.description()), file.line(line));
    problems.add(file, line, words.what, words.expected, words.advice);
    return false;
  }
  return refuse_controls(root, file, problems);
}

}  // namespace leverwright::case_file
