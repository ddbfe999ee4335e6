// kill -9 at random instants, over the verbs that write: whatever has a final name is whole, the older file or the new
// one to the last byte, and the next run needs no help and leaves no trace of the killed one. The second half of the runs finds
// nothing to replace: then a final name is whole or not there. LEVERWRIGHT_KILLS says how many kills for each verb (a
// third of them for the slow ones), and then every verb takes part; when it is not set, a few kills of a few verbs.
// LEVERWRIGHT_KILL_SEED says from which number the instants are drawn.
#include <gtest/gtest.h>
#include <signal.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
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
  std::vector<std::string>
      words;            // "OUT" stands for the folder, "STUDY" for a stored stroke, "RECORDS" for two jobs'
  bool always = false;  // among the few
  bool slow = false;    // of ten seconds and more: a third of the kills
  std::string before = {};  // what OUT/a.toml holds before each run; "": there is none
  std::string given = {};   // on standard input
};

void PrintTo(const Writing& writing, std::ostream* out) { *out << writing.name; }

// Lines 11 and on of the bench sheet, as far as they are asked first; invented.
std::string answers() {
  std::string out = "C4\n";
  for (const char* answer :
       {"112.5", "66.3", "246", "131.9", "18", "10", "130", "50", "9.6", "26", "18", "46", "2", "1.5", "1.2"})
    out += std::string(answer) + "\n";
  return out + "stop\n";
}

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
        "--out", "OUT", "--csv", "OUT/a.csv"},
       false,
       true},
      {"misadjust",
       {"misadjust", kCase, "--amount", "0.3", "--no-repetition", "--no-pictures", "--out", "OUT", "--json",
        "OUT/a.json"}},
      {"bands", {"bands", kCase, "--csv", "OUT/a.csv"}, false, true},
      {"validation", {"validation", kCase, "--no-uncertainty", "--out", "OUT/a.md"}, false, true},
      {"calibrate",
       {"calibrate", "cases/calibrate_sample_notes/case.toml",
        "cases/calibrate_sample_notes/measurements.csv", "--json", "OUT/a.json"},
       false,
       true},
      {"afterwards",
       {"afterwards", "cases/after_the_work/case.toml", "cases/after_the_work/measurements.csv", "--out",
        "OUT", "--json", "OUT/a.json"},
       false,
       true},
      {"jobs", {"jobs", "RECORDS", "--json", "OUT/a.json", "--csv", "OUT/a.csv"}},
      {"regulate", {"regulate", kCase, "--json", "OUT/a.json", "--csv", "OUT/a.csv"}},
      {"try",
       {"try", "OUT/a.toml", "lead 14 g at 110 mm", "--no-uncertainty", "--keep", "--json", "OUT/a.json"},
       false,
       false,
       read_text(kCase)},
      {"new", {"new", "-o", "OUT/a.toml", "--force"}, false, false, "", answers()},
      {"seek", {"seek", seek, "contact on the line", "--csv", "OUT/a.csv", "--json", "OUT/a.json"}},
      {"map", {"map", seek, "contact on the line", "--steps", "3", "--no-pictures", "--out", "OUT"}},
      {"parts",
       {"parts", wippens, "wippen", "wippen_twin_light", "wippen_twin_heavy", "--csv", "OUT/a.csv", "--json",
        "OUT/a.json"}},
      {"keyboard",
       {"keyboard", "cases/samples_to_88/case.toml", "--every", "44", "--no-uncertainty", "--no-pictures",
        "--out", "OUT", "--csv", "OUT/a.csv", "--json", "OUT/a.json"}},
      {"order", {"order", kCase, "heel build-up", "--out", "OUT", "--json", "OUT/a.json"}, false, true},
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
  for (int k = 0; k < 1000 && folder.names() != names; ++k)
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
  EXPECT_EQ(folder.names(), names) << more;
}

const std::string& records() {
  static const ScratchFolder folder;
  static const bool made = [] {
    for (const char* name : {"one.json", "two.json"})
      EXPECT_EQ(run({"afterwards", "cases/after_the_work/case.toml", "cases/after_the_work/measurements.csv",
                     "--no-pictures", "--json", folder.path(name)})
                    .exit_code,
                0);
    return true;
  }();
  static const std::string path = made ? folder.path() : "";
  return path;
}

// The answers to `new` are kept after each: the sheet grows by whole lines.
bool is_whole(const std::string& name, const std::string& found, const std::string& whole) {
  if (found == whole) return true;
  return name.find(".sheet.csv") != std::string::npos && !found.empty() && found.back() == '\n' &&
         whole.compare(0, found.size(), found) == 0;
}

class Killed : public testing::TestWithParam<Writing> {};

TEST_P(Killed, LeavesWhatHasItsNameWhole) {
  const ScratchFolder folder;
  const Environment environment = {{"SOURCE_DATE_EPOCH", "1700000000"}};
  std::vector<std::string> words = GetParam().words;
  for (auto& word : words) {
    if (word.rfind("OUT", 0) == 0) word.replace(0, 3, folder.path("o"));
    if (word == "STUDY") word = stored_stroke();
    if (word == "RECORDS") word = records();
  }
  const std::string given = folder.write("given", GetParam().given);
  const auto put_before = [&] {
    std::filesystem::create_directory(folder.path("o"));
    if (!GetParam().before.empty()) folder.write("o/a.toml", GetParam().before);
  };
  put_before();
  const auto begun = std::chrono::steady_clock::now();
  const auto first = run(words, environment, given);
  ASSERT_EQ(first.exit_code, 0) << first.err;
  const std::chrono::duration<double> whole_run = std::chrono::steady_clock::now() - begun;
  std::map<std::string, std::string> whole;
  for (const auto& name : folder.names())
    if (!std::filesystem::is_directory(folder.path(name))) whole[name] = read_text(folder.path(name));
  const auto names = folder.names();
  ASSERT_GT(whole.size(), 1u);
  // Whether there was an older file: all are there and whole. Where there was none: those that are there.
  const auto expect_whole = [&](bool replaced, const std::string& when) {
    for (const auto& [name, text] : whole) {
      if (!replaced && !std::filesystem::exists(folder.path(name))) continue;
      ASSERT_TRUE(std::filesystem::exists(folder.path(name))) << name << when;
      const std::string found = read_text(folder.path(name));
      ASSERT_TRUE((name == "o/a.toml" && !GetParam().before.empty() && found == GetParam().before) ||
                  is_whole(name, found, text))
          << name << when;
    }
  };
  std::mt19937 random(static_cast<unsigned>(number_from("LEVERWRIGHT_KILL_SEED", 20250314)));
  std::uniform_real_distribution<double> instant(0, whole_run.count());
  int hit = 0, left = 0;
  const int kills = number_from("LEVERWRIGHT_KILLS", 4) / (GetParam().slow ? 3 : 1);
  for (int k = 0; k < kills; ++k) {
    const bool replaces = k < kills / 2;
    if (!replaces) std::filesystem::remove_all(folder.path("o"));
    put_before();
    const double at = instant(random);
    Program program(words, environment, "", given);
    std::this_thread::sleep_for(std::chrono::duration<double>(at));
    if (program.is_running()) ++hit;
    kill(program.id(), SIGKILL);
    program.wait();
    if (replaces && folder.names() != names) ++left;
    expect_whole(replaces, " after a kill at " + std::to_string(at) + " s");
  }
  put_before();
  const auto next = run(words, environment, given);
  ASSERT_EQ(next.exit_code, 0) << next.err;
  expect_whole(true, " of the last run");
  for (const auto& [name, text] : whole) EXPECT_EQ(read_text(folder.path(name)), text) << name;
  expect_names(folder, names, std::to_string(hit) + " of " + std::to_string(kills) + " kills hit");
  RecordProperty("hit", hit);
  std::printf("%s: %d kills, %d hit while it ran, %d left a temporary file, a run takes %.2f s\n",
              GetParam().name.c_str(), kills, hit, left, whole_run.count());
}

INSTANTIATE_TEST_SUITE_P(Writing, Killed, testing::ValuesIn(writings()),
                         [](const auto& one) { return one.param.name; });

}  // namespace
}  // namespace leverwright::app_test
