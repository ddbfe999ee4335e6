// Every command printed in README.md, the case pages, the handbook and the examples of --help runs to its
// end.
#include "tests/pages/printed_commands.h"

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <set>

#include "tests/viz/app/run_program.h"

namespace leverwright::pages {
namespace {

namespace fs = std::filesystem;

// A study to draw from, made once for all tests of this build.
std::string study_path() {
  const fs::path folder = fs::path(LEVERWRIGHT_BUILD_DIR) / "pages_study", study = folder / "missed_heel.h5";
  if (fs::exists(study) && fs::last_write_time(study) > fs::last_write_time(LEVERWRIGHT_PROGRAM))
    return study.string();
  const support::ScratchFolder scratch;
  const auto ended = app_test::run(
      {"compare", app_test::kCase, "--no-uncertainty", "--no-pictures", "--quiet", "--out", scratch.path()});
  EXPECT_EQ(ended.exit_code, 0) << ended.err;
  fs::create_directories(folder);
  const fs::path own = folder / fmt::format("{}.h5", getpid());
  fs::copy_file(fs::path(scratch.path()) / "missed_heel.h5", own);
  fs::rename(own, study);
  return study.string();
}

bool needs_study(const std::vector<std::string>& words) {
  static const std::set<std::string> kDrawn = {"draw", "film", "watch", "report", "export", "check"};
  return words.size() > 1 && kDrawn.count(words[1]) > 0 && words.size() > 2;
}

void expect_runs(const Printed& printed) {
  const support::ScratchFolder scratch;
  const auto words = split_words(printed.text);
  if (!LEVERWRIGHT_PICTURES && needs_study(words)) return;  // this build draws nothing
  std::string record = "time (ms),force (gf)\n";            // a finger that pushes, for who asks for a record
  for (int ms = 0; ms <= 200; ms += 5)
    record += fmt::format("{},{}\n", ms, ms < 20 ? 0 : std::min(400, 8 * (ms - 20)));
  scratch.write("stroke.csv", record);
  const auto run = make_runnable(printed.text, scratch.path(), needs_study(words) ? study_path() : "");
  // The page of a browser's bench is built apart: its bare frame stands in.
  const auto ended = app_test::run(
      run, {{"LEVERWRIGHT_PAGE", LEVERWRIGHT_SOURCE_DIR "/viz/page/web/page.html"}, {"DISPLAY", ""}});
  std::string line;
  for (const auto& w : run) line += " " + w;
  if (words.size() > 1 && words[1] == "watch") {  // a window waits for its user: only that it gets as far
    EXPECT_NE(ended.err.find("there is no display"), std::string::npos) << printed.where << line << ended.err;
    return;
  }
  EXPECT_EQ(ended.exit_code, 0) << printed.where << ": " << printed.text << "\nrun as" << line << "\n"
                                << ended.err;
}

std::vector<Printed> all_printed() {
  std::vector<std::string> pages = {"README.md"};
  const fs::path root = LEVERWRIGHT_SOURCE_DIR;
  for (const auto& entry : fs::directory_iterator(root / "cases"))
    if (fs::exists(entry.path() / "README.md"))
      pages.push_back("cases/" + entry.path().filename().string() + "/README.md");
  for (const auto& entry : fs::directory_iterator(root / "models/handbook"))
    if (entry.path().extension() == ".md")
      pages.push_back("models/handbook/" + entry.path().filename().string());
  std::sort(pages.begin() + 1, pages.end());
  std::vector<Printed> out;
  std::set<std::string> seen;  // what runs the same is run once
  for (const auto& page : pages)
    for (auto& printed : find_commands(page, support::read_text((root / page).string()))) {
      std::string key;
      for (const auto& w : make_runnable(printed.text, "/scratch", "study")) key += w + " ";
      if (seen.insert(key).second) out.push_back(printed);
    }
  return out;
}

class OnPages : public testing::TestWithParam<Printed> {};

TEST_P(OnPages, Runs) { expect_runs(GetParam()); }

std::string test_name(const testing::TestParamInfo<Printed>& info) {
  std::string out = fmt::format("{:02d}_{}", info.index, info.param.where);
  for (char& c : out)
    if (!std::isalnum(static_cast<unsigned char>(c))) c = '_';
  return out;
}

INSTANTIATE_TEST_SUITE_P(Printed, OnPages, testing::ValuesIn(all_printed()), test_name);

std::vector<std::string> all_verbs() {
  std::vector<std::string> out;
  for (const auto& printed :
       find_commands("README.md", support::read_text(LEVERWRIGHT_SOURCE_DIR "/README.md"))) {
    const auto words = split_words(printed.text);
    if (words.size() > 1 && std::find(out.begin(), out.end(), words[1]) == out.end()) out.push_back(words[1]);
  }
  return out;
}

class Helps : public testing::TestWithParam<std::string> {};

TEST_P(Helps, ExamplesRun) {
  const auto help = app_test::run({GetParam(), "--help"});
  const auto examples = find_examples(GetParam(), help.out);
  EXPECT_FALSE(examples.empty()) << help.out;
  for (const auto& example : examples) expect_runs(example);
}

INSTANTIATE_TEST_SUITE_P(Verbs, Helps, testing::ValuesIn(all_verbs()),
                         [](const auto& verb) { return verb.param; });

TEST(Pages, ReadmeListsEveryVerb) {
  const auto help = app_test::run({"--help"});
  const auto verbs = all_verbs();
  bool there = false;
  std::size_t seen = 0;
  for (const std::string& line : app_test::lines_of(help.out)) {
    there = there || line.rfind("What a technician needs", 0) == 0;
    if (line.rfind("Options of every verb", 0) == 0) break;
    if (!there || line.rfind("  ", 0) != 0 || line.size() < 3 || line[2] == ' ') continue;
    const std::string verb = line.substr(2, line.find(' ', 2) - 2);
    EXPECT_NE(std::find(verbs.begin(), verbs.end(), verb), verbs.end()) << verb << " is not in README.md";
    ++seen;
  }
  EXPECT_EQ(seen, verbs.size());
  EXPECT_GT(verbs.size(), 20u);
}

TEST(Pages, CommandsAreFoundAndMadeRunnable) {
  const auto found = find_commands(
      "page",
      "    leverwright weigh CASE          one set-up\n"
      "see `leverwright cautions` and\n    leverwright feel   cases/a/case.toml --out out/x  # remark\n");
  ASSERT_EQ(found.size(), 3u);
  EXPECT_EQ(found[0].text, "leverwright weigh CASE");
  EXPECT_EQ(found[1].text, "leverwright cautions");
  EXPECT_EQ(found[2].text, "leverwright feel cases/a/case.toml --out out/x");
  EXPECT_EQ(make_runnable("leverwright order CASE \"a b\" --out out/x", "/s", ""),
            (std::vector<std::string>{"order", "cases/work_order/case.toml", "a b", "--out", "/s/out_x"}));
}

}  // namespace
}  // namespace leverwright::pages
