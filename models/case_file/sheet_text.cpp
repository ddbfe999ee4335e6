#include "models/case_file/sheet_text.h"

#include <fmt/format.h>

#include <cctype>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "sim/base/output_guard.h"
#include "sim/base/shown_text.h"

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

namespace {

// The first line that is no plain text; 0 when all are.
int find_odd_line(const std::string& text, std::string& why) {
  if (text.find('\0') != std::string::npos) {
    why = "this is not a text file, or one saved as UTF-16";
    return 1;
  }
  int line = 1;
  std::size_t length = 1;
  for (std::size_t at = 0; at < text.size(); at += length) {
    const auto byte = static_cast<unsigned char>(text[at]);
    if (byte == '\n') ++line;
    const bool control = base::is_control(text, at, length);
    if (byte >= 0x80 && length == 1 && !control) {
      why = "a character here is not UTF-8 text";
      return line;
    }
    // A carriage return alone ends a line on old systems.
    if (control && byte != '\r') {
      why = "there is a control character here (" + base::shown_text(text.substr(at, length)) + ")";
      return line;
    }
  }
  return 0;
}

}  // namespace

bool read_sheet_lines(const std::string& path, const std::string& what, const std::string& example,
                      FileText& file, ProblemList& problems, std::size_t most) {
  namespace fs = std::filesystem;
  file.path = path;
  const auto refuse = [&](int line, const std::string& why, const std::string& expected,
                          const std::string& advice) {
    problems.add(file, line, why, expected, advice);
    return false;
  };
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  const std::string cannot = what + " cannot be read: ";
  if (!fs::exists(status)) return refuse(0, cannot + "there is no such file", "a .csv file", example);
  if (fs::is_directory(status)) return refuse(0, cannot + "this is a folder", "a .csv file", example);
  if (!fs::is_regular_file(status))
    return refuse(0, cannot + "this is no ordinary file", "a .csv file", example);
  const auto size = fs::file_size(path, error);
  if (error || size > most)
    return refuse(
        0,
        fmt::format("the file has {:.1f} MB, which is too large for this", 1e-6 * static_cast<double>(size)),
        fmt::format("at most {:.0f} MB", 1e-6 * static_cast<double>(most)), example);
  std::ifstream in(path, std::ios::binary);
  file.text.resize(static_cast<std::size_t>(size));
  in.read(file.text.data(), static_cast<std::streamsize>(size));
  if (!in)
    return refuse(0, cannot + "it may not be opened or was cut while it was read", "a .csv file",
                  "check who may read it");
  base::note_input(path);
  if (file.text.rfind("\xEF\xBB\xBF", 0) == 0) file.text.erase(0, 3);
  std::istringstream lines(file.text);
  for (std::string line; std::getline(lines, line);) file.lines.push_back(line);
  std::string why;
  if (const int odd = find_odd_line(file.text, why); odd > 0)
    return refuse(odd, why, "a text file saved as UTF-8", "save the table again as CSV, UTF-8");
  for (std::size_t k = 0; k < file.lines.size(); ++k) {
    const std::string line = trimmed(file.lines[k]);
    if (!line.empty() && line[0] != '#') break;
    const std::string mark = "# format ";
    if (line.rfind(mark, 0) == 0 && std::atoi(line.c_str() + mark.size()) > kSheetFormat)
      return refuse(static_cast<int>(k) + 1, "this sheet is of a newer leverwright",
                    fmt::format("format {} or older", kSheetFormat),
                    "read it with the version that wrote it, or a newer one");
  }
  return true;
}

}  // namespace leverwright::case_file
