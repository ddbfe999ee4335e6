#include "viz/report/report.h"

#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <regex>

#include "sim/base/error.h"
#include "tests/viz/film/small_study.h"
#include "tests/viz/support/read_back.h"
#include "viz/film/film.h"
#include "viz/scene/base64.h"
#include "viz/scene/drawing.h"

namespace leverwright::report {
namespace {

TEST(Base64, OfTheKnownWords) {  // RFC 4648, section 10
  EXPECT_EQ(scene::encode_base64(""), "");
  EXPECT_EQ(scene::encode_base64("f"), "Zg==");
  EXPECT_EQ(scene::encode_base64("foob"), "Zm9vYg==");
  EXPECT_EQ(scene::encode_base64("foobar"), "Zm9vYmFy");
}

class Page : public ::testing::Test {
 protected:
  static void SetUpTestSuite() {
    mock::write_small_study(folder_.path("study.h5"));
    for (const auto& [name, audience] : kAudiences) {
      Options options;
      options.audience = audience;
      options.with_film = audience == Audience::kWorkshop;
      write_report(folder_.path("study.h5"), folder_.path(name + ".html"), options);
    }
  }
  static std::string page(const std::string& name) {
    return support::read_text(folder_.path(name + ".html"));
  }
  static std::string problems(const std::string& path) {
    return mock::run("/usr/bin/python3 tests/viz/report/check_page.py " + path + " 2>&1");
  }
  static inline const std::array<std::pair<std::string, Audience>, 3> kAudiences{
      {{"customer", Audience::kCustomer},
       {"training", Audience::kTraining},
       {"workshop", Audience::kWorkshop}}};
  static inline const support::ScratchFolder folder_;
};

TEST_F(Page, IsAccessibleAndFetchesNothing) {
  for (const auto& [name, audience] : kAudiences)
    EXPECT_EQ(problems(folder_.path(name + ".html")), "") << name;
}

TEST_F(Page, TheCheckFindsWhatIsWrong) {
  std::string bad = page("customer");
  bad.replace(bad.find(" lang=\"en\""), 10, "");
  bad.replace(bad.find("#44444f"), 7, "#aaaaaf");
  const std::string found = problems(folder_.write("bad.html", bad));
  EXPECT_NE(found.find("no lang"), std::string::npos) << found;
  EXPECT_NE(found.find("contrast"), std::string::npos) << found;
}

TEST_F(Page, EveryAudienceGetsItsParts) {
  EXPECT_EQ(page("customer").find("mathematics"), std::string::npos);
  EXPECT_EQ(page("customer").find("\u00b1"), std::string::npos);
  EXPECT_NE(page("training").find("The mathematics behind it"), std::string::npos);
  for (const auto& [name, audience] : kAudiences)
    for (const char* part : {"The answer", "The comparison", "How sure this is", "Cautions",
                             "What was assumed", "Versions", "conservator", "Cyanoacrylate"})
      EXPECT_NE(page(name).find(part), std::string::npos) << name << ": " << part;
}

// The report says what the study's judgement says, first line first, and marks what cannot be undone.
TEST_F(Page, AnswerIsThatOfTheStudy) {
  for (const auto& [name, audience] : kAudiences) {
    const auto first = page(name).find("Leave it as it is.");
    ASSERT_NE(first, std::string::npos) << name;
    EXPECT_LT(first, page(name).find("The comparison")) << name;
    EXPECT_NE(page(name).find("NOT REVERSIBLE: &quot;moved&quot;"), std::string::npos) << name;
    EXPECT_NE(page(name).find("moved<br><span class=\"word\">NOT REVERSIBLE"), std::string::npos) << name;
  }
}

// A still is drawn for paper: every word of it 7 point or more at the size it is printed in.
TEST_F(Page, StillsOfTheFilmCanBeReadOnPaper) {
  const study_file::StoredStudy study(folder_.path("study.h5"));
  film::FilmRequest request;
  request.stroke = "mf";
  for (const char* name : {"as found", "moved"})
    request.strokes.push_back(study_file::read_stroke(study, name, "mf"));
  request.arrangement = film::Arrangement::kBeside;
  const scene::Scene still = film::FilmScene(request).build_still(0.06, "let-off");
  EXPECT_EQ(still.insets.size(), 4u) << "two actions, each with its heel (this study has no knuckle)";
  EXPECT_DOUBLE_EQ(still.view.width(), film::kStillWidth);
  scene::Page page;
  page.scale = 1;
  int words = 0;
  for (const scene::Layer& layer : scene::lay_out(still, page).layers)
    for (const scene::Drawn& item : layer.items)
      if (const auto* text = std::get_if<scene::DrawnText>(&item)) {
        EXPECT_GE(text->size, 7 * 25.4 / 72) << text->text;
        ++words;
      }
  EXPECT_GE(words, 8);
  const std::string svg = mock::run(
      "/usr/bin/python3 -c \"import re,base64,sys;print(b''.join(base64.b64decode(p) for p in "
      "re.findall('svg.xml;base64,([^\\\"]*)',open(sys.argv[1]).read())).decode())\" " +
      folder_.path("workshop.html") + " 2>&1");
  EXPECT_NE(svg.find("touch mf, string contact"), std::string::npos) << "words, no pixels";
}

TEST_F(Page, FilmIsInThePage) {
  ASSERT_EQ(mock::run("which ffmpeg | wc -l"), "1\n") << "install ffmpeg";
  EXPECT_NE(page("workshop").find("src=\"data:video/mp4;base64,"), std::string::npos);
  EXPECT_EQ(page("customer").find("<video"), std::string::npos);
}

// Whatever keeps a film from being made is named: the program that is missing, or its own last words.
TEST_F(Page, SaysWhatKeptTheFilmAway) {
  const std::string failing =
      folder_.write("failing.sh",
                    "#!/bin/sh\ncase \"$*\" in *-encoders*) echo ' V..... libx264 '; exit 0 ;; esac\n"
                    "echo 'no room for invented frames' >&2\nexit 1\n");
  std::filesystem::permissions(failing, std::filesystem::perms::owner_all);
  for (const auto& [program, told] :
       {std::pair<std::string, std::string>{failing, "no room for invented frames"},
        {"/nowhere/ffmpeg", "/nowhere/ffmpeg, which could not be run"}}) {
    setenv("LEVERWRIGHT_FFMPEG", program.c_str(), 1);
    const Written written = write_report(folder_.path("study.h5"), folder_.path("stills.html"), {});
    unsetenv("LEVERWRIGHT_FFMPEG");
    EXPECT_EQ(written.film.rfind("still pictures: ", 0), 0u) << written.film;
    EXPECT_NE(written.film.find(told), std::string::npos) << written.film;
  }
}

TEST_F(Page, StoppedLeavesNoFile) {
  Options options;
  options.progress = [](const std::string&, double) { return false; };
  EXPECT_TRUE(write_report(folder_.path("study.h5"), folder_.path("none.html"), options).stopped);
  EXPECT_FALSE(std::filesystem::exists(folder_.path("none.html")));
  EXPECT_THROW(write_report(folder_.path("nowhere.h5"), folder_.path("none.html"), {}), base::UserError);
}

// In a real browser, where one is installed (it is not in the list of test packages: 122 MB to fetch, 408 MB
// on disk).
TEST_F(Page, BrowserShowsAndPrintsIt) {
  const std::string found = mock::run("which chromium chromium-browser | head -n 1");
  if (found.empty()) {
    std::puts("no chromium here: the page was only read by a parser");
    return;
  }
  const std::string browser =
      found.substr(0, found.find('\n')) +
      " --headless --no-sandbox --disable-gpu --user-data-dir=" + folder_.path("profile") + " ";
  const std::string url = "file://" + folder_.path("workshop.html") + " 2>/dev/null";
  mock::run(browser + "--window-size=500,900 --screenshot=" + folder_.path("phone.png") + " " + url);
  EXPECT_EQ(mock::png_size(folder_.path("phone.png")).width, 500);
  mock::run(browser + "--no-pdf-header-footer --print-to-pdf=" + folder_.path("page.pdf") + " " + url);
  const std::string pages = mock::run("pdfinfo " + folder_.path("page.pdf"));
  std::smatch count;
  ASSERT_TRUE(std::regex_search(pages, count, std::regex("Pages: +([0-9]+)"))) << pages;
  EXPECT_GE(std::stoi(count[1]), 2);
  EXPECT_LE(std::stoi(count[1]), 12);
}

TEST_F(Page, PythonExampleReadsTheStudy) {
  const std::string said = mock::run("/usr/bin/python3 sim/store/example_h5py.py " +
                                     folder_.path("study.h5") + " " + folder_.path("curves") + " 2>&1");
  EXPECT_NE(said.find("01 moved - complete"), std::string::npos) << said;
  const std::string force = support::read_text(folder_.path("curves/00_force_down.csv"));
  EXPECT_EQ(force.substr(0, force.find('\r')), "dip (mm),force (gf)");
  EXPECT_NE(force.find("5.0,45.88"), std::string::npos) << force;  // 0.45 N
  EXPECT_EQ(mock::count(support::read_text(folder_.path("curves/01_stroke_mf.csv")), "\n"), 202);
}

}  // namespace
}  // namespace leverwright::report
