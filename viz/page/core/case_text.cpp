#include "viz/page/core/case_text.h"

#include <algorithm>
#include <sstream>

#include "models/case_file/document.h"
#include "sim/base/error.h"

namespace leverwright::page {

using case_file::Node;

namespace {

std::vector<std::string> lines_in(const std::string& text) {
  std::vector<std::string> out;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) out.push_back(line);
  return out;
}

std::string joined(const std::vector<std::string>& lines) {
  std::string out;
  for (const auto& l : lines) out += l + "\n";
  return out;
}

// A line of its own stays one.
std::string quoted(std::string text) {
  for (char& c : text)
    if (c == '\n' || c == '\r' || c == '\t') c = ' ';
  return case_file::toml_text(text);
}

bool is_header(const std::string& line) {
  const auto at = line.find_first_not_of(" \t");
  return at != std::string::npos && line[at] == '[';
}

bool heads_change(const std::string& line) {
  const auto at = line.find_first_not_of(" \t");
  return at != std::string::npos && line.compare(at, 9, "[[set_up.") == 0;
}

bool is_blank_or_comment(const std::string& line) {
  const auto at = line.find_first_not_of(" \t\r");
  return at == std::string::npos || line[at] == '#';
}

// The last line of a set-up that begins at `from`: up to the next header that is none of its changes, less the
// comments that stand before that one.
int last_line(const std::vector<std::string>& lines, int from) {
  int to = from;
  for (int k = from + 1; k <= static_cast<int>(lines.size()); ++k) {
    const std::string& line = lines[static_cast<std::size_t>(k - 1)];
    if (is_header(line) && !heads_change(line)) break;
    if (!is_blank_or_comment(line)) to = k;
  }
  return to;
}

std::string text_of(const Node& n) {
  if (n.kind == Node::Kind::kText) return n.text;
  std::ostringstream out;
  out.precision(12);
  out << n.number;
  return out.str();
}

ChangeText change_of(const Node& node, bool* only_texts) {
  ChangeText out;
  for (const auto& [key, value] : node.members) {
    if (value.kind != Node::Kind::kText && value.kind != Node::Kind::kNumber) {
      *only_texts = false;
      continue;
    }
    if (key == "kind")
      out.kind = value.text;
    else
      out.arguments.emplace_back(key, text_of(value));
  }
  return out;
}

}  // namespace

std::vector<SetUpText> read_set_up_texts(const std::string& text, const std::string& path) {
  case_file::FileText file;
  file.path = path;
  file.text = text;
  case_file::ProblemList problems;
  Node root;
  if (!case_file::parse_document("case", file, root, problems)) throw base::UserError(problems.sorted());
  std::vector<SetUpText> out;
  const Node* list = root.find("set_up");
  if (list == nullptr || list->kind != Node::Kind::kArray) return out;
  const auto lines = lines_in(text);
  int search_from = 1;
  for (const Node& node : list->items) {
    SetUpText s;
    bool only_texts = true;
    for (const auto& [key, value] : node.members) {
      if (key == "name") s.name = value.text;
      if (key == "description") s.description = value.text;
      if (key == "change" && value.kind == Node::Kind::kArray)
        for (const Node& change : value.items) s.changes.push_back(change_of(change, &only_texts));
    }
    s.as_it_is = !only_texts;
    for (int k = search_from; k <= static_cast<int>(lines.size()); ++k) {
      const std::string& line = lines[static_cast<std::size_t>(k - 1)];
      const auto at = line.find_first_not_of(" \t");
      if (at != std::string::npos && line.compare(at, 10, "[[set_up]]") == 0) {
        s.from = k;
        break;
      }
    }
    if (s.from > 0) {
      s.to = last_line(lines, s.from);
      search_from = s.from + 1;
    }
    out.push_back(std::move(s));
  }
  return out;
}

std::string write_set_up_text(const SetUpText& s) {
  std::string out = "[[set_up]]\nname = " + quoted(s.name) + "\n";
  if (!s.description.empty()) out += "description = " + quoted(s.description) + "\n";
  for (const auto& c : s.changes) {
    out += "[[set_up.change]]\nkind = " + quoted(c.kind) + "\n";
    for (const auto& [key, value] : c.arguments) out += key + " = " + quoted(value) + "\n";
  }
  return out;
}

std::string lines_of(const std::string& text, const SetUpText& s) {
  const auto lines = lines_in(text);
  if (s.from < 1 || s.to > static_cast<int>(lines.size())) return "";
  return joined({lines.begin() + s.from - 1, lines.begin() + s.to});
}

std::string without_set_ups(const std::string& text, const std::vector<SetUpText>& set_ups) {
  const auto lines = lines_in(text);
  std::string out;
  for (int k = 1; k <= static_cast<int>(lines.size()); ++k)
    if (std::none_of(set_ups.begin(), set_ups.end(), [&](const auto& s) { return k >= s.from && k <= s.to; }))
      out += lines[static_cast<std::size_t>(k - 1)] + "\n";
  return out;
}

std::string put_set_ups(const std::string& text, const std::string& path,
                        const std::vector<SetUpText>& wanted) {
  const auto there = read_set_up_texts(text, path);
  const auto lines = lines_in(text);
  std::string out;
  int k = 1;
  const int count = static_cast<int>(lines.size());
  for (const auto& old : there) {
    if (old.from == 0) continue;
    for (; k < old.from; ++k) out += lines[static_cast<std::size_t>(k - 1)] + "\n";
    const auto found =
        std::find_if(wanted.begin(), wanted.end(), [&](const auto& w) { return w.from == old.from; });
    k = old.to + 1;
    if (found == wanted.end()) {  // taken out, with the empty line behind it
      if (k <= count &&
          lines[static_cast<std::size_t>(k - 1)].find_first_not_of(" \t\r") == std::string::npos)
        ++k;
      continue;
    }
    out += found->as_it_is || found->says_the_same(old) ? lines_of(text, old) : write_set_up_text(*found);
  }
  for (; k <= count; ++k) out += lines[static_cast<std::size_t>(k - 1)] + "\n";
  for (const auto& w : wanted)
    if (w.from == 0) out += "\n" + write_set_up_text(w);
  return out;
}

}  // namespace leverwright::page
