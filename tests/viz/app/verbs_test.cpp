// weigh, regulate, read, bands, cautions.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <regex>

#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

// The number after a label at the beginning of a line.
double value_after(const std::string& text, const std::string& label) {
  for (const std::string& line : lines_of(text))
    if (line.rfind(label, 0) == 0) {
      std::smatch number;
      const std::string rest = line.substr(label.size());
      if (std::regex_search(rest, number, std::regex("-?[0-9]+\\.?[0-9]*"))) return std::stod(number[0]);
    }
  ADD_FAILURE() << "no line with a number: " << label << "\n" << text;
  return std::nan("");
}

// The numbers of a line, in order.
std::vector<double> numbers_after(const std::string& text, const std::string& label) {
  std::vector<double> out;
  for (const std::string& line : lines_of(text)) {
    if (line.rfind(label, 0) != 0) continue;
    const std::string rest = line.substr(label.size());
    const std::regex number("-?[0-9]+\\.[0-9]+");
    for (auto it = std::sregex_iterator(rest.begin(), rest.end(), number); it != std::sregex_iterator(); ++it)
      out.push_back(std::stod(it->str()));
    return out;
  }
  return out;
}

TEST(Weigh, ShowsOneSetUpAndALedgerThatAddsUp) {
  const Ended e = run({"weigh", kCase, "--set-up", "friction only"});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  const double down = value_after(e.out, "down weight"), up = value_after(e.out, "up weight");
  EXPECT_NEAR(value_after(e.out, "balance weight"), (down + up) / 2, 0.11);
  EXPECT_NEAR(value_after(e.out, "friction "), (down - up) / 2, 0.11);
  EXPECT_NEAR(value_after(e.out, "sum"), value_after(e.out, "half of force down less force up"), 0.011);
  EXPECT_TRUE(has(e.out, "friction only"));
  EXPECT_TRUE(has(e.out, "repetition lever on knuckle"));
  EXPECT_EQ(e.err, "");
  // Another set-up gives other weights.
  EXPECT_GT(std::abs(value_after(run({"weigh", kCase}).out, "down weight") - down), 1.0);
}

TEST(Regulate, EachPolicyKeepsTwoAndLetsTheThirdResult) {
  const Ended e = run({"regulate", kCase, "--set-up", "capstan relocated", "--all"});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  // Columns: keep dip and blow, keep blow and aftertouch, keep dip and aftertouch. The case wants 10, 46
  // and 1.2 mm.
  const auto dip = numbers_after(e.out, "dip"), blow = numbers_after(e.out, "blow"),
             after = numbers_after(e.out, "aftertouch");
  ASSERT_EQ(dip.size(), 3u) << e.out;
  ASSERT_EQ(blow.size(), 3u);
  ASSERT_EQ(after.size(), 3u);
  // Let-off as a slow finger finds it, and beneath it without friction, where it comes further from the string.
  const auto slow = numbers_after(e.out, "let-off, drop"), quiet = numbers_after(e.out, "without friction");
  ASSERT_EQ(slow.size(), 6u) << e.out;
  ASSERT_EQ(quiet.size(), 6u) << e.out;
  for (std::size_t k = 0; k < 6; k += 2) EXPECT_GT(quiet[k], slow[k] + 0.2) << e.out;
  EXPECT_NEAR(dip[0], 10, 0.006);
  EXPECT_NEAR(dip[2], 10, 0.006);
  EXPECT_NEAR(blow[0], 46, 0.006);
  EXPECT_NEAR(blow[1], 46, 0.006);
  EXPECT_NEAR(after[1], 1.2, 0.006);
  EXPECT_NEAR(after[2], 1.2, 0.006);
  // Less leverage: with dip and blow kept aftertouch is lost, and either more dip or a shorter blow brings it
  // back.
  EXPECT_LT(after[0], 1.15);
  EXPECT_GT(dip[1], 10.05);
  EXPECT_LT(blow[2], 45.8);
  // What is lost in one policy is added in the other: dip results by just the aftertouch that was missing.
  EXPECT_NEAR(dip[1] - 10, 1.2 - after[0], 0.02);
  for (const char* line : {"dip", "blow", "aftertouch"})
    EXPECT_EQ(std::count(e.out.begin(), e.out.end(), '\x1b'), 0) << line;
}

TEST(Weigh, ASetUpWithoutAnAnswerIsAnErrorWithItsLine) {
  const ScratchFolder folder;
  const std::string path =
      folder.write("far.toml", changed_case({{"distance = \"3 mm +- 0.2 mm\"", "distance = \"18 mm\""}}));
  const auto lines = lines_of(read_text(path));
  std::size_t line = 0;
  while (line < lines.size() && lines[line] != "name = \"capstan relocated\"") ++line;
  const Ended e = run({"weigh", path, "--set-up", "capstan relocated"});
  EXPECT_EQ(e.exit_code, 1);
  EXPECT_EQ(e.out, "");
  EXPECT_TRUE(has(e.err, "\"capstan relocated\" cannot be ")) << e.err;
  EXPECT_TRUE(has(e.err, "far.toml:" + std::to_string(line)) ||
              has(e.err, "far.toml:" + std::to_string(line + 1)))
      << line << "\n"
      << e.err;
  EXPECT_EQ(run({"weigh", path}).exit_code, 0) << "the base stands";
}

TEST(Regulate, APolicyMayWantWhatTheCaseDoesNotGive) {
  const ScratchFolder folder;
  const std::string path = folder.write("a.toml", changed_case({{"aftertouch = \"1.2 mm\"\n", ""}}));
  const Ended e =
      run({"regulate", path, "--set-up", "as found", "--policy", "keep blow and aftertouch", "--all"});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  EXPECT_TRUE(has(e.out, "The case gives no aftertouch")) << e.out;
  ASSERT_EQ(numbers_after(e.out, "dip").size(), 1u);
  EXPECT_NEAR(numbers_after(e.out, "dip")[0], 10, 0.006)
      << "the base's own aftertouch kept gives the base's own dip";
}

TEST(Read, NamesThePlaceOfEveryQuantity) {
  const Ended e = run({"read", kCase, "--all"});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  const auto source = lines_of(read_text(kCase));
  for (const char* key : {"spread", "hanging_distance", "strike_weight", "blow"}) {
    std::size_t number = 0;
    while (number < source.size() && source[number].rfind(std::string(key) + " = ", 0) != 0) ++number;
    ASSERT_LT(number, source.size()) << key;
    bool found = false;
    for (const std::string& line : lines_of(e.out))
      found |= line.rfind(std::string("  ") + key + " ", 0) == 0 &&
               has(line, "case.toml:" + std::to_string(number + 1));
    EXPECT_TRUE(found) << key << " should stand at line " << number + 1;
  }
  EXPECT_TRUE(has(e.out, "112.5 mm  +- 0.25")) << "value and uncertainty as written";
  EXPECT_TRUE(has(e.out, "4 gf at 23 mm  +- 0.5")) << "a torque as a gauge shows it";
  EXPECT_TRUE(has(e.out, "usual value")) << "defaults are marked";
  EXPECT_TRUE(has(e.out, "invented"));
}

TEST(Bands, ShowsOursBesideTheRangeAndItsSource) {
  const ScratchFolder folder;
  const Ended e = run({"bands", kCase, "--all", "--csv", folder.path("bands.csv")});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  const double down = value_after(run({"weigh", kCase}).out, "down weight");
  bool found = false;
  for (const std::string& line : lines_of(read_text(folder.path("bands.csv")))) {
    if (line.rfind("down_weight,", 0) != 0) continue;
    found = true;
    const std::string head = "down_weight,down weight,regulated typical grand,gf,";
    ASSERT_EQ(line.rfind(head, 0), 0u) << line;
    EXPECT_NEAR(std::stod(line.substr(head.size())), down, 0.06);
    EXPECT_TRUE(has(line, down >= 45 && down <= 55 ? ",45,55,in,slow path," : ",45,55,out,slow path,"))
        << line;
    EXPECT_TRUE(has(line, "common practice"));
  }
  EXPECT_TRUE(found);
  EXPECT_TRUE(has(e.out, "45 to 55"));
  EXPECT_FALSE(has(e.out, "repetition (full key return): not reached"));
}

TEST(Play, ReachesTheSpeedsTheCaseAsksFor) {
  const Ended e = run({"play", kCase, "--touch", "p", "mf"});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  const auto speeds = numbers_after(e.out, "hammer speed at the string");
  ASSERT_EQ(speeds.size(), 2u) << e.out;
  EXPECT_NEAR(speeds[0], 1.0, 0.006);
  EXPECT_NEAR(speeds[1], 2.0, 0.006);
  const auto times = numbers_after(e.out, "key start to string");
  EXPECT_GT(times[0], times[1]) << "a soft touch takes longer";
  EXPECT_TRUE(has(e.out, "mf: lets off, reaches the string"));
  const Ended wrong = run({"play", kCase, "--touch", "fortissimo"});
  EXPECT_EQ(wrong.exit_code, 1);
  EXPECT_TRUE(has(wrong.err, "unknown touch \"fortissimo\""));
}

TEST(Cautions, ListsAllAndPutsTheTrialNoteFirst) {
  const Ended e = run({"cautions"});
  EXPECT_EQ(e.exit_code, 0);
  EXPECT_EQ(e.out.rfind("- trial note first", 0), 0u);
  for (const char* word : {"gloves", "Cyanoacrylate", "solvents", "Clamp", "two hands", "conservator"})
    EXPECT_TRUE(has(e.out, word)) << word;
}

TEST(Width, IsKeptByEveryVerb) {
  for (const auto& words : std::vector<std::vector<std::string>>{{"weigh", kCase, "--all"},
                                                                 {"regulate", kCase},
                                                                 {"regulate", kCase, "--all"},
                                                                 {"read", kCase, "--all"},
                                                                 {"bands", kCase, "--all"},
                                                                 {"play", kCase},
                                                                 {"cautions"}})
    for (const std::string& line : lines_of(run(words).out))
      EXPECT_LE(line.size(), 118u) << words[0] << ": " << line;
}

TEST(Colour, OnlyWhereItIsAskedFor) {
  EXPECT_FALSE(has(run({"weigh", kCase}).out, "\x1b"));
  EXPECT_TRUE(has(run({"weigh", kCase, "--colour", "always"}).out, "\x1b[1m"));
}

#if LEVERWRIGHT_PICTURES
TEST(Play, StruckTouchesAndARecordAreStoredAndDrawnAndWrittenForOtherPrograms) {
  const ScratchFolder folder;
  std::string text = "time (ms),force (N)\n";
  for (int k = 0; k <= 400; ++k)
    text += std::to_string(k) + "," + std::to_string(std::min(3.8, 0.1 * k)) + "\n";
  folder.write("record.csv", text);
  const std::string out = folder.path("played");
  const Ended e = run({"play", kCase, "--touch", "mf", "--how", "struck", "--history",
                       folder.path("record.csv"), "--out", out, "--csv", folder.path("played.csv")});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  EXPECT_TRUE(has(e.out, "mf struck: lets off, reaches the string"));
  EXPECT_TRUE(has(e.out, "record: lets off, reaches the string"));
  EXPECT_TRUE(has(e.out, "smoothed at 300 Hz"));
  EXPECT_TRUE(has(e.out, "let up within 60 ms"));
  EXPECT_EQ(run({"check", out + "/missed_heel_played.h5"}).exit_code, 0);
  EXPECT_TRUE(has(e.err, "missed_heel_played.h5 and ")) << e.err;
  for (const char* picture : {"/stroke_mf_struck.svg", "/stroke_record.svg"})
    EXPECT_TRUE(std::filesystem::exists(out + picture)) << picture;
  const std::string csv = read_text(folder.path("played.csv"));
  EXPECT_TRUE(has(csv, "as found,mf struck,struck,hammer speed,")) << csv;
  EXPECT_TRUE(has(csv, "force record,event: string contact,"));
  const Ended json = run({"play", kCase, "--weight", "250 g", "--from", "12 mm", "--json", "-"});
  ASSERT_EQ(json.exit_code, 0) << json.err;
  const auto parsed = nlohmann::json::parse(json.out);
  EXPECT_EQ(parsed["touches"][0]["kind"], "weight");
  EXPECT_GT(parsed["touches"][0]["measures"]["hammer speed"]["value"], 0.3);
}
#endif

TEST(Play, WhatIsWrongWithAWayToPlayIsSaidBeforeAnyWork) {
  const ScratchFolder folder;
  folder.write("bad.csv", "time (ms),force (N)\n0,0\n1,hard\n");
  const Ended bad = run({"play", kCase, "--history", folder.path("bad.csv"), "--out", folder.path("never")});
  EXPECT_EQ(bad.exit_code, 1);
  EXPECT_TRUE(has(bad.err, "bad.csv:3"));
  EXPECT_TRUE(has(bad.err, "\"hard\" is no number"));
  EXPECT_FALSE(std::filesystem::exists(folder.path("never")));
  EXPECT_TRUE(has(run({"play", kCase, "--how", "strucked"}).err, "did you mean \"struck\""));
  EXPECT_TRUE(has(run({"play", kCase, "--weight", "250 gf", "--from", "12 mm"}).err, "--weight"));
  EXPECT_TRUE(has(run({"play", kCase, "--weight", "250 g"}).err, "--from"));
  EXPECT_TRUE(has(run({"play", kCase, "--cut-off", "100"}).err, "--history"));
}

}  // namespace
}  // namespace leverwright::app_test
