// The steps of DEVELOPERS.md name files that exist; no verb is forgotten in the list.
#include <gtest/gtest.h>

#include <filesystem>
#include <string>
#include <vector>

#include "tests/support/read_text.h"

namespace leverwright::structure {
namespace {

namespace fs = std::filesystem;
using support::read_text;

const fs::path kRoot = LEVERWRIGHT_SOURCE_DIR;

// What stands in backticks and looks like a path below the root.
std::vector<std::string> paths_in(const std::string& text) {
  std::vector<std::string> out;
  for (std::size_t from = text.find('`'); from != std::string::npos;) {
    const std::size_t to = text.find('`', from + 1);
    if (to == std::string::npos) break;
    const std::string word = text.substr(from + 1, to - from - 1);
    if (word.find('/') != std::string::npos && word.find_first_of(" *<>") == std::string::npos)
      out.push_back(word);
    from = text.find('`', to + 1);
  }
  return out;
}

std::string section(const std::string& page, const std::string& title) {
  const std::size_t from = page.find("\n## " + title + "\n");
  if (from == std::string::npos) return "";
  const std::size_t body = page.find('\n', from + 1) + 1;
  return page.substr(body, page.find("\n## ", body) - body);
}

TEST(Answers, WhatTheStepsNameExists) {
  std::size_t seen = 0;
  for (const auto& path : paths_in(section(read_text(kRoot / "DEVELOPERS.md"), "How to add"))) {
    if (path.find("NAME") != std::string::npos) continue;
    EXPECT_TRUE(fs::exists(kRoot / path)) << path;
    ++seen;
  }
  EXPECT_GT(seen, 15u) << "the test looked at the wrong place";
}

// Every verb's file is in the list, and every picture's.
TEST(Answers, NoVerbIsForgottenInTheList) {
  const std::string list = read_text(kRoot / "viz/app/verbs/list.cpp");
  for (const auto& entry : fs::directory_iterator(kRoot / "viz/app/verbs")) {
    const std::string verb = entry.path().stem().string();
    if (entry.path().extension() != ".cpp" || verb == "list") continue;
    const std::string name = "add_" + verb;
    const std::size_t first = list.find(name);
    ASSERT_NE(first, std::string::npos) << verb;
    EXPECT_NE(list.find(name, first + 1), std::string::npos) << verb << " is declared and not added";
  }
}

}  // namespace
}  // namespace leverwright::structure
