// kill -9 at random instants, over the verbs that write: whatever has a final name is whole, and the next run
// needs no help and leaves no trace of the killed one. LEVERWRIGHT_KILLS says how many kills for each verb, and
// then every verb takes part; when it is not set, a few kills of a few verbs. LEVERWRIGHT_KILL_SEED says from
// which number the instants are drawn.
#include <gtest/gtest.h>
#include <signal.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <random>
#include <thread>

#include "sim/store/study_reader.h"
#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

int number_from(const char* name, int otherwise) {
  const char* text = std::getenv(name);
  return text != nullptr && *text != '\0' ? std::atoi(text) : otherwise;
}

struct Writing {
  std::string name;
  std::vector<std::string> words;  // "OUT" stands for the folder, "STUDY" for a stored stroke
  bool always = false;             // among the few
};

void PrintTo(const Writing& writing, std::ostream* out) { *out << writing.name; }

std::vector<Writing> writings() {
  const std::string seek = "cases/sought_heel/case.toml", wippens = "cases/two_wippens/case.toml";
  std::vector<Writing> table = {
      {"sheet", {"sheet", "--out", "OUT", "--json", "OUT/sheet.json"}, true},
      {"read_sheet",
       {"sheet", "cases/work_order/case.toml", "--read", "cases/work_order/filled.csv", "--out", "OUT"},
       true},
      {"note_cases",
       {"keyboard", "cases/samples_to_88/case.toml", "--note-case", "16", "40", "64", "--out", "OUT"},
       true},
      {"compare",
       {"compare", kCase, "--no-uncertainty", "--no-touches", "--no-pictures", "--out", "OUT", "--csv",
        "OUT/numbers.csv", "--json", "OUT/numbers.json"},
       true},
      {"play",
       {"play", kCase, "--touch", "mf", "--out", "OUT", "--csv", "OUT/a.csv", "--json", "OUT/a.json"}},
      {"feel", {"feel", kCase, "--set-up", "as found", "--csv", "OUT/a.csv", "--json", "OUT/a.json"}},
      {"repeat",
       {"repeat", kCase, "--set-up", "as found", "--from", "10", "--to", "11", "--no-why", "--no-pictures",
        "--out", "OUT", "--csv", "OUT/a.csv"}},
      {"misadjust",
       {"misadjust", kCase, "--amount", "0.3", "--no-repetition", "--no-pictures", "--out", "OUT", "--json",
        "OUT/a.json"}},
      {"bands", {"bands", kCase, "--csv", "OUT/a.csv"}},
      {"calibrate",
       {"calibrate", "cases/calibrate_sample_notes/case.toml",
        "cases/calibrate_sample_notes/measurements.csv", "--json", "OUT/a.json"}},
      {"seek", {"seek", seek, "contact on the line", "--csv", "OUT/a.csv", "--json", "OUT/a.json"}},
      {"map", {"map", seek, "contact on the line", "--steps", "3", "--no-pictures", "--out", "OUT"}},
      {"parts",
       {"parts", wippens, "wippen", "wippen_twin_light", "wippen_twin_heavy", "--csv", "OUT/a.csv", "--json",
        "OUT/a.json"}},
      {"keyboard",
       {"keyboard", "cases/samples_to_88/case.toml", "--every", "44", "--no-uncertainty", "--no-pictures",
        "--out", "OUT", "--csv", "OUT/a.csv", "--json", "OUT/a.json"}},
      {"order", {"order", kCase, "heel build-up", "--out", "OUT", "--json", "OUT/a.json"}},
      {"draw", {"draw", "STUDY", "--out", "OUT"}},
      {"film", {"film", "STUDY", "--size", "320x180", "--slow", "10", "--out", "OUT/a.mp4"}},
      {"report", {"report", "STUDY", "-o", "OUT/a.html", "--no-film"}},
      {"export", {"export", "STUDY", "--out", "OUT", "--every", "5"}}};
  if (std::getenv("LEVERWRIGHT_KILLS") == nullptr)
    table.erase(std::remove_if(table.begin(), table.end(), [](const Writing& w) { return !w.always; }),
                table.end());
  return table;
}

const std::string& stored_stroke() {
  static const ScratchFolder folder;
  static const std::string path = [] {
    EXPECT_EQ(run({"play", kCase, "--touch", "mf", "--out", folder.path()}).exit_code, 0);
    return folder.path("missed_heel_played.h5");
  }();
  return path;
}

// A program that was started by the killed one (a film's writer) may take a moment to notice.
void expect_names(const ScratchFolder& folder, const std::vector<std::string>& names,
                  const std::string& more) {
  for (int k = 0; k < 100 && folder.names() != names; ++k)
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
  EXPECT_EQ(folder.names(), names) << more;
}

// Every number and text below a group. The order in which a study's bytes lie depends on how often it was flushed while
// it was written, which happens once a second; what they say does not.
void expect_same_content(const store::StudyReader& a, const store::StudyReader& b, const std::string& group) {
  ASSERT_EQ(a.datasets(group), b.datasets(group)) << group;
  ASSERT_EQ(a.groups(group), b.groups(group)) << group;
  const std::string at = group == "/" ? "/" : group + "/";
  for (const auto& name : a.datasets(group)) {
    if (a.read_meta(at + name).unit == "text") {
      EXPECT_EQ(a.read_strings(at + name), b.read_strings(at + name)) << at + name;
      continue;
    }
    const auto x = a.read_series(at + name).values, y = b.read_series(at + name).values;
    EXPECT_TRUE(x.size() == y.size() &&
                std::equal(x.begin(), x.end(), y.begin(),
                           [](double p, double q) { return p == q || (std::isnan(p) && std::isnan(q)); }))
        << at + name;
  }
  for (const auto& name : a.groups(group)) expect_same_content(a, b, at + name);
}

// As it was, or another whole one that says the same.
bool is_whole(const ScratchFolder& folder, const std::string& name, const std::string& text) {
  if (read_text(folder.path(name)) == text) return true;
  if (std::filesystem::path(name).extension() != ".h5") return false;
  if (run({"check", folder.path(name)}).exit_code != 0) return false;
  const ScratchFolder before;
  expect_same_content(store::StudyReader(before.write("a.h5", text)), store::StudyReader(folder.path(name)),
                      "/");
  return !testing::Test::HasFailure();
}

class Killed : public testing::TestWithParam<Writing> {};

TEST_P(Killed, LeavesWhatHasItsNameWhole) {
  const ScratchFolder folder;
  const Environment environment = {{"SOURCE_DATE_EPOCH", "1700000000"}};
  std::vector<std::string> words = GetParam().words;
  for (auto& word : words) {
    if (word.rfind("OUT", 0) == 0) word.replace(0, 3, folder.path("o"));
    if (word == "STUDY") word = stored_stroke();
  }
  std::filesystem::create_directory(folder.path("o"));
  const auto begun = std::chrono::steady_clock::now();
  const auto first = run(words, environment);
  ASSERT_EQ(first.exit_code, 0) << first.err;
  const std::chrono::duration<double> whole_run = std::chrono::steady_clock::now() - begun;
  std::map<std::string, std::string> whole;
  for (const auto& name : folder.names())
    if (!std::filesystem::is_directory(folder.path(name))) whole[name] = read_text(folder.path(name));
  const auto names = folder.names();
  ASSERT_GT(whole.size(), 0u);
  std::mt19937 random(static_cast<unsigned>(number_from("LEVERWRIGHT_KILL_SEED", 20250314)));
  std::uniform_real_distribution<double> instant(0, 1.1 * whole_run.count());
  int hit = 0, left = 0;
  const int kills = number_from("LEVERWRIGHT_KILLS", 4);
  for (int k = 0; k < kills; ++k) {
    const double at = instant(random);
    Program program(words, environment);
    std::this_thread::sleep_for(std::chrono::duration<double>(at));
    if (program.is_running()) ++hit;
    kill(program.id(), SIGKILL);
    program.wait();
    if (folder.names() != names) ++left;
    for (const auto& [name, text] : whole)
      ASSERT_TRUE(is_whole(folder, name, text)) << name << " after a kill at " << at << " s";
  }
  const auto next = run(words, environment);
  ASSERT_EQ(next.exit_code, 0) << next.err;
  for (const auto& [name, text] : whole) EXPECT_TRUE(is_whole(folder, name, text)) << name;
  expect_names(folder, names, std::to_string(hit) + " of " + std::to_string(kills) + " kills hit");
  RecordProperty("hit", hit);
  std::printf("%s: %d kills, %d hit while it ran, %d left a temporary file, a run takes %.2f s\n",
              GetParam().name.c_str(), kills, hit, left, whole_run.count());
}

INSTANTIATE_TEST_SUITE_P(Writing, Killed, testing::ValuesIn(writings()),
                         [](const auto& one) { return one.param.name; });

}  // namespace
}  // namespace leverwright::app_test
