#include "tests/models/case_file/case_text.h"

#include <gtest/gtest.h>

#include "models/remedies/read_case.h"
#include "tests/support/read_text.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::case_test {

std::string good_text() {
  return support::read_text(std::string(LEVERWRIGHT_CASE_TESTS) + "/good/plain.toml");
}

std::string with_line(const std::string& text, const std::string& start, const std::string& line) {
  const std::size_t at = text.find("\n" + start);
  EXPECT_NE(at, std::string::npos) << "no line begins with " << start;
  const std::size_t end = text.find('\n', at + 1);
  return text.substr(0, at) + (line.empty() ? "" : "\n" + line) + text.substr(end);
}

std::string with_end(const std::string& text, const std::string& more) { return text + "\n" + more + "\n"; }

case_file::CaseDescription read_case_text(const std::string& text) {
  const support::ScratchFolder folder;
  return remedies::read_case(folder.write("case.toml", text), LEVERWRIGHT_TEST_MODELS);
}

std::vector<base::Problem> problems_of(const std::string& text) {
  try {
    read_case_text(text);
  } catch (const base::UserError& error) {
    return error.problems();
  }
  return {};
}

}  // namespace leverwright::case_test
