#include "viz/paper/paper.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <regex>

#include "sim/base/error.h"
#include "tests/viz/support/mock_action.h"
#include "tests/viz/support/read_back.h"

namespace leverwright::paper {
namespace {

scene::Scene picture() {
  scene::ActionSceneOptions options;
  options.title = "heel & capstan <as found> at 2.5 N \u2212 \u00b5";
  return build_overlay_scene(
      {{"as found", mock::invented_action(), mock::invented_moment(5e-3, "half stroke")},
       {"leaning", mock::invented_action({0, 0.07, 0}), mock::invented_moment(5e-3, "half stroke")}},
      options);
}

TEST(Svg, HoldsRealWordsAndItsSizeInMillimetres) {
  const std::string folder = mock::fresh_folder("svg");
  scene::Page page;
  page.width_mm = 150;
  page.height_mm = 120;
  const std::string svg = mock::read_file(draw_svg(picture(), page, folder + "/a.svg"));
  EXPECT_NE(svg.find("width=\"150mm\" height=\"120mm\" viewBox=\"0 0 150 120\""), std::string::npos);
  EXPECT_NE(svg.find(">heel &amp; capstan &lt;as found&gt; at 2.5 N \u2212 \u00b5</text>"),
            std::string::npos);
  for (const char* words :
       {">repetition lever</text>", ">line of centres</text>", ">leaning</text>", ">50 mm</text>"})
    EXPECT_EQ(mock::count(svg, words), 1) << words;
  EXPECT_EQ(mock::count(svg, "<clipPath"), mock::count(svg, "clip-path=\"url("));
  EXPECT_EQ(mock::count(svg, "<g"), mock::count(svg, "</g>"));
  EXPECT_EQ(mock::count_files(folder), 1);
}

TEST(Svg, SameSceneSameBytes) {
  const std::string folder = mock::fresh_folder("svg_same");
  draw_svg(picture(), {}, folder + "/a.svg");
  draw_svg(picture(), {}, folder + "/b.svg");
  EXPECT_EQ(mock::read_file(folder + "/a.svg"), mock::read_file(folder + "/b.svg"));
}

TEST(Pdf, HoldsRealWordsInAnEmbeddedFontAtFullSize) {
  ASSERT_EQ(mock::run("which pdftotext pdffonts pdfinfo | wc -l"), "3\n") << "install poppler-utils";
  const std::string folder = mock::fresh_folder("pdf");
  scene::Page page;
  page.scale = 1;
  const scene::Drawing drawing = lay_out(picture(), page);
  const std::string path = draw_pdf(picture(), page, folder + "/a.pdf");
  const std::string words = mock::run("pdftotext " + path + " -");
  for (const char* w :
       {"heel & capstan <as found> at 2.5 N \u2212 \u00b5", "repetition lever", "half stroke"})
    EXPECT_NE(words.find(w), std::string::npos) << w << "\n" << words;
  const std::string fonts = mock::run("pdffonts " + path);
  EXPECT_GE(mock::count(fonts, "DejaVuSans"), 2) << fonts;
  EXPECT_EQ(mock::count(fonts, "\n"), mock::count(fonts, "DejaVuSans") + 2) << "another font crept in\n"
                                                                            << fonts;
  EXPECT_EQ(mock::count(fonts, "yes yes yes"), mock::count(fonts, "DejaVuSans"))
      << fonts;  // embedded, subset, with a way back to Unicode
  std::smatch size;
  const std::string info = mock::run("pdfinfo " + path);
  ASSERT_TRUE(std::regex_search(info, size, std::regex("Page size: *([0-9.]+) x ([0-9.]+)"))) << info;
  EXPECT_NEAR(std::stod(size[1]) * 25.4 / 72, drawing.width, 0.01);
  EXPECT_NEAR(std::stod(size[2]) * 25.4 / 72, drawing.height, 0.01);
}

TEST(Png, HasTheSizeOfItsPage) {
  const std::string folder = mock::fresh_folder("png");
  scene::Page page;
  page.width_mm = 127;
  page.height_mm = 101.6;
  const std::string path = draw_png(picture(), page, folder + "/a.png", 100);
  EXPECT_EQ(mock::png_size(path).width, 500);
  EXPECT_EQ(mock::png_size(path).height, 400);
  EXPECT_GT(std::filesystem::file_size(path), 8000u);  // an empty page compresses to about 2 kB
}

TEST(Paper, MissingFolderIsAUserErrorWithAdvice) {
  const std::string folder = mock::fresh_folder("paper_missing");
  for (const auto draw : {&draw_svg, &draw_pdf}) {
    try {
      draw(picture(), {}, folder + "/nowhere/a.x");
      FAIL();
    } catch (const base::UserError& error) {
      EXPECT_NE(std::string(error.what()).find("nowhere does not exist"), std::string::npos) << error.what();
      EXPECT_FALSE(error.problems()[0].advice.empty());
    }
  }
  EXPECT_EQ(mock::count_files(folder), 0);
}

TEST(Paper, MissingFontLeavesNoFile) {
  const std::string folder = mock::fresh_folder("paper_font");
  setenv("LEVERWRIGHT_FONTS", folder.c_str(), 1);
  EXPECT_THROW(draw_pdf(picture(), {}, folder + "/a.pdf"), base::UserError);
  EXPECT_THROW(draw_png(picture(), {}, folder + "/a.png"), base::UserError);
  unsetenv("LEVERWRIGHT_FONTS");
  EXPECT_EQ(mock::count_files(folder), 0);
}

TEST(Paper, FailureKeepsTheOlderPicture) {
  const std::string folder = mock::fresh_folder("paper_older");
  draw_svg(picture(), {}, folder + "/a.svg");
  const std::string before = mock::read_file(folder + "/a.svg");
  scene::Page small;
  small.scale = 1;
  small.width_mm = 20;
  EXPECT_THROW(draw_svg(picture(), small, folder + "/a.svg"), base::UserError);
  EXPECT_EQ(mock::read_file(folder + "/a.svg"), before);
  EXPECT_EQ(mock::count_files(folder), 1);
}

}  // namespace
}  // namespace leverwright::paper
