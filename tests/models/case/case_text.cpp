#include "tests/models/case/case_text.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdio>
#include <fstream>
#include <sstream>

#include "models/case/read_case.h"

namespace leverwright::case_test {

std::string read_all(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  EXPECT_TRUE(in.good()) << path;
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

std::string good_text() { return read_all(std::string(LEVERWRIGHT_CASE_TESTS) + "/good/plain.toml"); }

std::string with_line(const std::string& text, const std::string& start, const std::string& line) {
  const std::size_t at = text.find("\n" + start);
  EXPECT_NE(at, std::string::npos) << "no line begins with " << start;
  const std::size_t end = text.find('\n', at + 1);
  return text.substr(0, at) + (line.empty() ? "" : "\n" + line) + text.substr(end);
}

std::string with_end(const std::string& text, const std::string& more) { return text + "\n" + more + "\n"; }

case_file::CaseDescription read_text(const std::string& text) {
  struct TemporaryFile {
    std::string path = testing::TempDir() + "/leverwright_case_" + std::to_string(getpid()) + ".toml";
    ~TemporaryFile() { std::remove(path.c_str()); }
  } file;
  std::ofstream(file.path, std::ios::binary) << text;
  return case_file::read_case(file.path, LEVERWRIGHT_TEST_MODELS);
}

std::vector<base::Problem> problems_of(const std::string& text) {
  try {
    read_text(text);
  } catch (const base::UserError& error) {
    return error.problems();
  }
  return {};
}

}  // namespace leverwright::case_test
