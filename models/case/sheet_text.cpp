#include "models/case/sheet_text.h"

#include <cctype>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace leverwright::case_file {

std::string trimmed(const std::string& text) {
  const auto from = text.find_first_not_of(" \t\r");
  if (from == std::string::npos) return "";
  return text.substr(from, text.find_last_not_of(" \t\r") - from + 1);
}

std::string without_remark(const std::string& line) {
  bool quoted = false;
  for (std::size_t k = 0; k < line.size(); ++k) {
    if (line[k] == '"') quoted = !quoted;
    const bool sharp = k > 0 && std::isalpha(static_cast<unsigned char>(line[k - 1]));
    if (line[k] == '#' && !quoted && !sharp) return line.substr(0, k);
  }
  return line;
}

std::vector<std::string> split_fields(const std::string& line, char separator) {
  std::vector<std::string> out(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"')
      quoted = !quoted;
    else if (c == separator && !quoted)
      out.emplace_back();
    else
      out.back() += c;
  }
  for (auto& field : out) field = trimmed(field);
  return out;
}

SheetHeading split_heading(const std::string& written) {
  const auto open = written.find('['), close = written.find(']');
  SheetHeading h{trimmed(written.substr(0, open)), ""};
  if (open != std::string::npos && close != std::string::npos && close > open)
    h.unit = trimmed(written.substr(open + 1, close - open - 1));
  return h;
}

bool read_sheet_lines(const std::string& path, FileText& file) {
  file.path = path;
  std::error_code ignored;
  std::ifstream in(path, std::ios::binary);
  if (!in || std::filesystem::is_directory(path, ignored)) return false;
  std::ostringstream text;
  text << in.rdbuf();
  file.text = text.str();
  if (file.text.rfind("\xEF\xBB\xBF", 0) == 0) file.text.erase(0, 3);
  std::istringstream lines(file.text);
  for (std::string line; std::getline(lines, line);) file.lines.push_back(line);
  return true;
}

}  // namespace leverwright::case_file
