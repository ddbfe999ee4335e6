// kill -9 at random instants, over the verbs that write: whatever has a final name is whole, and the next run
// needs no help and leaves no trace of the killed one. LEVERWRIGHT_KILLS says how many kills for each verb (a
// few when not set), LEVERWRIGHT_KILL_SEED from which number the instants are drawn.
#include <gtest/gtest.h>
#include <signal.h>

#include <chrono>
#include <cstdlib>
#include <map>
#include <random>
#include <thread>

#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

int number_from(const char* name, int otherwise) {
  const char* text = std::getenv(name);
  return text != nullptr && *text != '\0' ? std::atoi(text) : otherwise;
}

struct Writing {
  std::string name;
  std::vector<std::string> words;  // "OUT" stands for the folder
};

void PrintTo(const Writing& writing, std::ostream* out) { *out << writing.name; }

const std::vector<Writing>& writings() {
  static const std::vector<Writing> table = {
      {"sheet", {"sheet", "--out", "OUT", "--json", "OUT/sheet.json"}},
      {"read_sheet",
       {"sheet", "cases/work_order/case.toml", "--read", "cases/work_order/filled.csv", "--out", "OUT"}},
      {"note_cases",
       {"keyboard", "cases/samples_to_88/case.toml", "--note-case", "16", "40", "64", "--out", "OUT"}},
      {"compare",
       {"compare", kCase, "--no-uncertainty", "--no-touches", "--no-pictures", "--out", "OUT", "--csv",
        "OUT/numbers.csv", "--json", "OUT/numbers.json"}}};
  return table;
}

class Killed : public testing::TestWithParam<Writing> {};

TEST_P(Killed, LeavesWhatHasItsNameWhole) {
  const ScratchFolder folder;
  const Environment environment = {{"SOURCE_DATE_EPOCH", "1700000000"}};
  std::vector<std::string> words = GetParam().words;
  for (auto& word : words)
    if (const auto at = word.find("OUT"); at == 0) word.replace(0, 3, folder.path("o"));
  const auto begun = std::chrono::steady_clock::now();
  ASSERT_EQ(run(words, environment).exit_code, 0);
  const std::chrono::duration<double> whole_run = std::chrono::steady_clock::now() - begun;
  std::map<std::string, std::string> whole;
  for (const auto& name : folder.names())
    if (name != "o") whole[name] = read_text(folder.path(name));
  std::mt19937 random(static_cast<unsigned>(number_from("LEVERWRIGHT_KILL_SEED", 20250314)));
  std::uniform_real_distribution<double> instant(0, 1.1 * whole_run.count());
  int hit = 0;
  const int kills = number_from("LEVERWRIGHT_KILLS", 4);
  for (int k = 0; k < kills; ++k) {
    const double at = instant(random);
    Program program(words, environment);
    std::this_thread::sleep_for(std::chrono::duration<double>(at));
    if (program.is_running()) ++hit;
    kill(program.id(), SIGKILL);
    program.wait();
    for (const auto& [name, text] : whole)
      ASSERT_TRUE(read_text(folder.path(name)) == text) << name << " after a kill at " << at << " s";
  }
  const auto next = run(words, environment);
  ASSERT_EQ(next.exit_code, 0) << next.err;
  std::vector<std::string> names = {"o"};
  for (const auto& [name, text] : whole) {
    names.push_back(name);
    EXPECT_TRUE(read_text(folder.path(name)) == text) << name;
  }
  EXPECT_EQ(folder.names(), names) << hit << " of " << kills << " kills hit";
  RecordProperty("hit", hit);
}

INSTANTIATE_TEST_SUITE_P(Writing, Killed, testing::ValuesIn(writings()),
                         [](const auto& one) { return one.param.name; });

}  // namespace
}  // namespace leverwright::app_test
