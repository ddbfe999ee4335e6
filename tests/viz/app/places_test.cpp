// Where and among what the program runs: other languages and clocks, odd names, places without room, tools that are
// missing. Each is no matter, or is said in one sentence before the work begins, with exit code 1 and no file left.
#include <gtest/gtest.h>
#include <sys/resource.h>

#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

// Of the processor, since a busy machine says nothing by the clock: too short for the work.
constexpr double kSoon = 15;

// What the programs run so far have used.
double seconds_used() {
  rusage used{};
  getrusage(RUSAGE_CHILDREN, &used);
  return static_cast<double>(used.ru_utime.tv_sec + used.ru_stime.tv_sec) +
         1e-6 * static_cast<double>(used.ru_utime.tv_usec + used.ru_stime.tv_usec);
}

// The demo with its base alone: an answer in a blink.
std::string base_alone(const std::string& title = "") {
  std::string text = read_text(kCase);
  const auto first = text.find("[[set_up]]");
  text.resize(text.find("[[set_up]]", first + 1));
  if (!title.empty()) {
    const auto at = text.find("title = ");
    text.replace(at, text.find('\n', at) - at, "title = " + title);
  }
  return text;
}

std::vector<std::string> compare_words(const std::string& path, const std::string& out) {
  return {"compare", path, "--no-uncertainty", "--no-touches", "--no-pictures", "--quiet", "--out", out};
}

bool is_one_sentence(const Ended& said) {
  for (const char* inside : {"H5", "errno", "terminate", "std::", "what():", "HDF5", "Sanitizer"})
    if (has(said.err, inside)) return false;
  return said.exit_code == 1 && has(said.err, "error: ");
}

TEST(Places, LanguageAndTimeZoneChangeNoByte) {
  const ScratchFolder folder;
  const std::string path = folder.write("demo.toml", base_alone());
  // A language with a decimal comma, made here: few machines have one installed.
  const ScratchFolder languages;
  const std::string made =
      "localedef -i de_DE -f UTF-8 '" + languages.path("de_DE.UTF-8") + "' 2>/dev/null >&2";
  static_cast<void>(std::system(made.c_str()));  // it warns, and says so by its code
  const std::string asked =
      "test \"$(LOCPATH='" + languages.path() + "' LC_ALL=de_DE.UTF-8 locale decimal_point)\" = ,";
  ASSERT_EQ(std::system(asked.c_str()), 0) << "no decimal comma: install the package locales";
  std::map<std::string, std::string> texts;
  for (const Environment& more : std::vector<Environment>{
           {{"LC_ALL", "C"}, {"TZ", "UTC"}},
           {{"LC_ALL", "de_DE.UTF-8"}, {"LOCPATH", languages.path()}, {"TZ", "Pacific/Kiritimati"}},
           {{"LC_ALL", ""}, {"LC_NUMERIC", "fr_FR.UTF-8"}, {"TZ", "<-13>+13:45"}},
           {{"LC_ALL", "nonsense"}, {"TZ", "nonsense"}, {"HOME", "/nowhere"}, {"TERM", ""}}}) {
    Environment environment = more;
    environment["SOURCE_DATE_EPOCH"] = "1700000000";
    auto words = compare_words(path, folder.path("o"));
    words.insert(words.end(), {"--json", folder.path("a.json"), "--csv", folder.path("a.csv")});
    const auto said = run(words, environment);
    ASSERT_EQ(said.exit_code, 0) << said.err;
    for (const char* name : {"a.json", "a.csv", "o/demo.h5"}) {
      const std::string text = read_text(folder.path(name));
      EXPECT_TRUE(texts.emplace(name, text).first->second == text) << name << environment["LC_ALL"];
    }
  }
}

TEST(Places, AClockThatIsWrongStopsNothing) {
  const ScratchFolder folder;
  const std::string path = folder.write("demo.toml", base_alone());
  for (const char* epoch : {"0", "-5", "99999999999999999999", "soon", "253402300800"}) {
    const auto said = run(compare_words(path, folder.path("o")), {{"SOURCE_DATE_EPOCH", epoch}});
    EXPECT_EQ(said.exit_code, 0) << epoch << said.err;
    EXPECT_EQ(run({"check", folder.path("o/demo.h5")}).exit_code, 0) << epoch;
  }
}

TEST(Places, OddNamesOfFilesAreNames) {
  const ScratchFolder folder;
  for (const std::string& name :
       {std::string("a b"), std::string("it's \"so\""), std::string("line\nbreak"), std::string("-leading"),
        std::string("$HOME `id` %s {} \\n"), std::string("\xff\xfe"),
        std::string("\xc3\x84"
                    "ction"),
        std::string("a;b|c&d>e*?")}) {
    const std::string path = folder.write(name + ".toml", base_alone()), out = folder.path(name);
    auto words = compare_words(path, out);
    words.insert(words.end(), {"--json", folder.path(name + ".json"), "--csv", folder.path(name + ".csv")});
    const auto said = run(words);
    ASSERT_EQ(said.exit_code, 0) << name << "\n" << said.err;
    const std::string study = out + "/" + name + ".h5";
    EXPECT_EQ(run({"check", study}).exit_code, 0) << name;
    EXPECT_FALSE(nlohmann::json::parse(read_text(folder.path(name + ".json")), nullptr, false).is_discarded())
        << name;
    EXPECT_FALSE(std::filesystem::is_empty(folder.path(name + ".csv")));
    // A name on the terminal is one line and steers nothing.
    const auto wrong = run({"check", path});
    EXPECT_EQ(wrong.exit_code, 1);
    EXPECT_TRUE(has(wrong.err, "this is not an HDF5 file")) << wrong.err;
    EXPECT_FALSE(has(wrong.err, "line\nbreak")) << wrong.err;
  }
  const auto from_inside = run({"compare", folder.path("-leading.toml"), "--no-uncertainty", "--no-touches",
                                "--no-pictures", "--quiet", "--out=" + folder.path("-out")});
  EXPECT_EQ(from_inside.exit_code, 0) << from_inside.err;
}

TEST(Places, TitlesWithQuotesEscapesAndMarkupComeThroughWhole) {
  if (!LEVERWRIGHT_PICTURES) return;
  const ScratchFolder folder;
  for (const auto& [written, shown] : std::vector<std::pair<std::string, std::string>>{
           {R"("a \"quoted\" title")", "a &quot;quoted&quot; title"},
           {R"('C:\shop\new')", "C:\\shop\\new"},
           {R"("""three "quotes" here""")", "three &quot;quotes&quot; here"},
           {R"("\u00c4rger & <b>bold</b>")", "\xc3\x84rger &amp; &lt;b&gt;bold&lt;/b&gt;"}}) {
    const std::string path = folder.write("demo.toml", base_alone(written));
    ASSERT_EQ(run(compare_words(path, folder.path("o"))).exit_code, 0) << written;
    const auto said = run({"report", folder.path("o/demo.h5"), "-o", folder.path("a.html"), "--no-film"});
    ASSERT_EQ(said.exit_code, 0) << said.err;
    EXPECT_TRUE(has(read_text(folder.path("a.html")), "<h1>" + shown)) << written;
  }
}

// Each dataset of a study without a row, as no run of ours leaves it: refused with its place, or, where the standard lets
// it pass, pictures, pages and tables are made of what is left.
TEST(Places, ADatasetWithoutARowIsToldOrLeftOut) {
  if (!LEVERWRIGHT_PICTURES) return;
  const ScratchFolder folder, emptied;
  const std::string path = folder.write("demo.toml", base_alone());
  ASSERT_EQ(
      run({"play", path, "--touch", "mf", "--no-pictures", "--quiet", "--out", folder.path("s")}).exit_code,
      0);
  const std::string script = folder.write("empty.py", R"(
import h5py, shutil, sys
study, folder, wanted = sys.argv[1], sys.argv[2], sys.argv[3:]
def empty(path, names):
    shutil.copy(study, path)
    with h5py.File(path, 'r+') as file:
        for name in names:
            old = file[name]
            kept, kind, shape = dict(old.attrs), old.dtype, (0,) + old.shape[1:]
            del file[name]
            new = file.create_dataset(name, shape, kind)
            for key, value in kept.items(): new.attrs[key] = value
names = []
with h5py.File(study) as file:
    file['set_ups'].visititems(lambda at, item: names.append('set_ups/' + at) if isinstance(item, h5py.Dataset) else None)
if wanted: empty(folder + '/all.h5', [names[int(k)] for k in wanted])
else:
    for k, name in enumerate(names): empty(f'{folder}/{k}.h5', [name])
)");
  const std::string python =
      "/usr/bin/python3 " + script + " " + folder.path("s/demo_played.h5") + " " + emptied.path();
  ASSERT_EQ(std::system(python.c_str()), 0);
  std::string passed;
  int refused = 0;
  for (int k = 0; std::filesystem::exists(emptied.path(std::to_string(k) + ".h5")); ++k) {
    const auto said = run({"check", emptied.path(std::to_string(k) + ".h5")});
    if (said.exit_code == 0)
      passed += " " + std::to_string(k);
    else
      ++refused;
    EXPECT_TRUE(said.exit_code == 0 || is_one_sentence(said)) << said.signal << said.err;
  }
  EXPECT_GT(refused, 20);
  const auto report = run({"report", emptied.path("0.h5"), "-o", folder.path("a.html"), "--no-film"});
  EXPECT_TRUE(report.exit_code == 0 || is_one_sentence(report)) << report.signal << report.err;
  ASSERT_FALSE(passed.empty());
  ASSERT_EQ(std::system((python + passed).c_str()), 0);
  const std::string all = emptied.path("all.h5");
  for (const std::vector<std::string>& words :
       std::vector<std::vector<std::string>>{{"report", all, "-o", folder.path("b.html"), "--no-film"},
                                             {"draw", all, "--out", folder.path("d")},
                                             {"export", all, "--out", folder.path("e"), "--every", "5"}}) {
    const auto said = run(words);
    EXPECT_TRUE(said.exit_code == 0 || is_one_sentence(said))
        << words[0] << said.signal << said.exit_code << said.err;
  }
}

TEST(Places, WhereNothingCanBeWrittenIsSaidBeforeTheWork) {
  const ScratchFolder folder;
  const std::string path = folder.write("demo.toml", base_alone());
  for (const std::vector<std::string>& words : std::vector<std::vector<std::string>>{
           {"compare", path, "--out", "/proc/o"},
           {"compare", path, "--out", folder.path("o"), "--json", "/proc/a.json"},
           {"play", path, "--out", "/proc/o"},
           {"feel", path, "--csv", "/proc/a.csv"},
           {"repeat", path, "--out", "/proc/o"},
           {"misadjust", path, "--out", "/proc/o"},
           {"bands", path, "--csv", "/proc/a.csv"},
           {"map", "cases/sought_heel/case.toml", "--out", "/proc/o"},
           {"seek", "cases/sought_heel/case.toml", "--json", "/proc/a.json"},
           {"keyboard", "cases/samples_to_88/case.toml", "--out", "/proc/o"},
           {"order", kCase, "heel build-up", "--out", "/proc/o"},
           {"sheet", path, "--out", "/proc/o"}}) {
    const double before = seconds_used();
    const auto said = run(words);
    EXPECT_TRUE(is_one_sentence(said)) << words[0] << "\n" << said.err;
    EXPECT_LT(seconds_used() - before, kSoon) << words[0] << " worked first";
    EXPECT_EQ(folder.names(), std::vector<std::string>{"demo.toml"}) << words[0];
  }
}

// A limit on the size of files stands in for a full disk or a quota.
TEST(Places, NoRoomForASmallFileLeavesTheOlderOneWhole) {
  const ScratchFolder folder;
  const std::string path = folder.write("demo.toml", base_alone());
  const std::vector<std::vector<std::string>> all = {
      {"sheet", path, "--no-uncertainty", "--out", folder.path("o"), "--json", folder.path("o/sheet.json")},
      {"feel", path, "--json", folder.path("o/feel.json")},
      {"parts", "cases/two_wippens/case.toml", "wippen", "wippen_twin_light", "wippen_twin_heavy", "--csv",
       folder.path("o/parts.csv")}};
  std::filesystem::create_directory(folder.path("o"));
  for (const auto& words : all) {
    ASSERT_EQ(run(words).exit_code, 0) << words[0];
  }
  std::map<std::string, std::string> whole;
  for (const auto& name : folder.names())
    if (name != "o") whole[name] = read_text(folder.path(name));
  rlimit before{};
  getrlimit(RLIMIT_FSIZE, &before);
  signal(SIGXFSZ, SIG_IGN);
  for (const auto& words : all) {
    rlimit limit = before;
    limit.rlim_cur = 600;
    ASSERT_EQ(setrlimit(RLIMIT_FSIZE, &limit), 0);
    const auto said = run(words);
    setrlimit(RLIMIT_FSIZE, &before);
    EXPECT_TRUE(is_one_sentence(said)) << words[0] << said.exit_code << said.signal << "\n" << said.err;
    for (const auto& [name, text] : whole)
      EXPECT_TRUE(read_text(folder.path(name)) == text) << words[0] << name;
    EXPECT_EQ(folder.names().size(), whole.size() + 1) << words[0] << " left a file";
  }
}

TEST(Places, AToolThatIsMissingIsNamedBeforeTheWork) {
  if (!LEVERWRIGHT_PICTURES) return;
  const ScratchFolder folder;
  const std::string path = folder.write("demo.toml", base_alone());
  ASSERT_EQ(run(compare_words(path, folder.path("s"))).exit_code, 0);
  const std::string study = folder.path("s/demo.h5");
  const auto names = folder.names();
  for (const auto& [tool, told] : std::vector<std::pair<Environment, std::string>>{
           {{{"LEVERWRIGHT_GNUPLOT", "/nowhere/gnuplot"}}, "gnuplot"},
           {{{"LEVERWRIGHT_FONTS", "/nowhere"}}, "DejaVu"}})
    for (const std::vector<std::string>& words : std::vector<std::vector<std::string>>{
             {"compare", path, "--out", folder.path("o")},
             {"play", path, "--out", folder.path("o")},
             {"feel", path, "--out", folder.path("o")},
             {"repeat", path, "--out", folder.path("o")},
             {"misadjust", path, "--out", folder.path("o")},
             {"draw", study, "--out", folder.path("o")},
             {"report", study, "-o", folder.path("o/a.html"), "--no-film"},
             {"map", "cases/sought_heel/case.toml", "--out", folder.path("o")},
             {"keyboard", "cases/samples_to_88/case.toml", "--out", folder.path("o")},
             {"calibrate", "cases/calibrate_sample_notes/case.toml",
              "cases/calibrate_sample_notes/measurements.csv", "--out", folder.path("o")}}) {
      const double before = seconds_used();
      const auto said = run(words, tool);
      EXPECT_TRUE(is_one_sentence(said) && has(said.err, told)) << words[0] << "\n" << said.err;
      EXPECT_LT(seconds_used() - before, kSoon) << words[0] << " worked first";
      EXPECT_EQ(folder.names(), names) << words[0];
    }
}

TEST(Places, WithoutAFilmsWriterTheFilmIsRefusedAndTheReportTakesStills) {
  if (!LEVERWRIGHT_PICTURES) return;
  const ScratchFolder folder;
  ASSERT_EQ(run({"play", kCase, "--touch", "mf", "--out", folder.path(), "--quiet"}).exit_code, 0);
  const std::string study = folder.path("missed_heel_played.h5");
  const auto names = folder.names();
  const Environment none = {{"LEVERWRIGHT_FFMPEG", "/nowhere/ffmpeg"}, {"DISPLAY", ":99"}};
  const auto film = run({"film", study, "--out", folder.path("o/a.mp4")}, none);
  EXPECT_TRUE(is_one_sentence(film) && has(film.err, "ffmpeg")) << film.err;
  EXPECT_EQ(folder.names(), names);
  const auto report = run({"report", study, "-o", folder.path("a.html")}, none);
  EXPECT_EQ(report.exit_code, 0) << report.err;
  EXPECT_TRUE(has(report.err, "ffmpeg")) << report.err;
  EXPECT_FALSE(has(read_text(folder.path("a.html")), "<video"));
}

}  // namespace
}  // namespace leverwright::app_test
