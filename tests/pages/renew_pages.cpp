// Renews what the pages say in numbers, or checks it: README.md, cases/*/README.md, models/handbook/*.md, and
// the own rows of cases/*/expected.toml.
//
//   renew_pages PROGRAM [--check] [--no-expected] [PAGE ...]
//
// --check writes nothing. Exit code 1 when a page is not what the program says, or cannot be made so.
#include <fmt/format.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <map>
#include <sstream>

#include "tests/pages/page_numbers.h"
#include "tests/support/scratch_folder.h"

namespace fs = std::filesystem;

namespace {

std::string read_text(const std::string& path) {
  std::ifstream in(path);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

class Runner {
 public:
  explicit Runner(std::string program) : program_(std::move(program)) {}
  const leverwright::pages::Json& operator()(const std::string& command) {
    const auto known = answers_.find(command);
    if (known != answers_.end()) return known->second;
    const leverwright::support::ScratchFolder scratch;
    const std::string folder = scratch.path();
    const std::string json = folder + "/answer.json";
    const std::string verb = command.substr(0, command.find(' '));
    std::string line = fmt::format("'{}' {} --json '{}'", program_, command, json);
    if (verb != "seek" && verb != "parts") line += " --out '" + folder + "'";
    std::cerr << "leverwright " << command << std::endl;
    const int ended = std::system((line + " > '" + folder + "/out' 2> '" + folder + "/err'").c_str());
    if (ended != 0 || !fs::exists(json)) {
      const std::string said = read_text(folder + "/err");
      throw std::runtime_error("it ended with " + std::to_string(ended) + ": " + said);
    }
    auto& answer = answers_[command] = leverwright::pages::Json::parse(read_text(json));
    return answer;
  }

 private:
  std::string program_;
  std::map<std::string, leverwright::pages::Json> answers_;
};

std::vector<std::string> all_pages() {
  std::vector<std::string> out = {"README.md"};
  for (const auto& entry : fs::directory_iterator("cases"))
    for (const char* name : {"/README.md", "/expected.toml"})
      if (fs::exists(entry.path().string() + name)) out.push_back(entry.path().string() + name);
  for (const auto& entry : fs::directory_iterator("models/handbook"))
    if (entry.path().extension() == ".md") out.push_back(entry.path().string());
  std::sort(out.begin() + 1, out.end());
  return out;
}

}  // namespace

int main(int count, char** words) {
  std::string program;
  bool check = false, expected = true;
  std::vector<std::string> pages;
  for (int k = 1; k < count; ++k) {
    const std::string word = words[k];
    if (word == "--check")
      check = true;
    else if (word == "--no-expected")
      expected = false;
    else if (program.empty())
      program = word;
    else
      pages.push_back(word);
  }
  if (program.empty() || program[0] == '-') {
    std::cerr << "usage: renew_pages PROGRAM [--check] [--no-expected] [PAGE ...]\n";
    return 2;
  }
  if (pages.empty()) pages = all_pages();
  Runner run(fs::absolute(program).string());
  int stale = 0, wrong = 0;
  for (const std::string& path : pages) {
    const bool rows = fs::path(path).filename() == "expected.toml";
    const std::string old = read_text(path);
    if (rows && (!expected || old.find("[[expected]]") == std::string::npos)) continue;
    std::vector<std::string> problems;
    std::string page = old;
    try {
      const std::string folder = fs::path(path).parent_path().string();
      page = rows ? leverwright::pages::renew_expected(
                        old, run(fmt::format("compare {}/case.toml --no-uncertainty --no-pictures", folder)),
                        problems)
                  : leverwright::pages::renew_page(
                        old, [&](const std::string& c) -> const leverwright::pages::Json& { return run(c); },
                        problems);
    } catch (const std::exception& e) {
      problems.emplace_back(e.what());
    }
    for (const auto& p : problems) std::cout << path << ": " << p << "\n";
    wrong += static_cast<int>(problems.size());
    if (page == old) continue;
    ++stale;
    std::cout << path << (check ? ": not what the program says now" : ": renewed") << std::endl;
    if (check) continue;
    std::ofstream(path) << page;
  }
  std::cout << fmt::format("{} pages read, {} {}, {} problems\n", pages.size(), stale,
                           check ? "stale" : "renewed", wrong);
  return wrong > 0 || (check && stale > 0) ? 1 : 0;
}
