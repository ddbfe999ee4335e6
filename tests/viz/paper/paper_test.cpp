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
  const support::ScratchFolder folder;
  scene::Page page;
  page.width_mm = 150;
  page.height_mm = 120;
  const std::string svg = support::read_text(draw_svg(picture(), page, folder.path("a.svg")));
  EXPECT_NE(svg.find("width=\"150mm\" height=\"120mm\" viewBox=\"0 0 150 120\""), std::string::npos);
  EXPECT_NE(svg.find(">heel &amp; capstan &lt;as found&gt; at 2.5 N \u2212 \u00b5</text>"),
            std::string::npos);
  for (const char* words :
       {">repetition lever</text>", ">line of centres</text>", ">leaning</text>", ">50 mm</text>"})
    EXPECT_EQ(mock::count(svg, words), 1) << words;
  EXPECT_EQ(mock::count(svg, "<clipPath"), mock::count(svg, "clip-path=\"url("));
  EXPECT_EQ(mock::count(svg, "<g"), mock::count(svg, "</g>"));
  EXPECT_EQ(folder.names().size(), 1u);
}

TEST(Svg, SameSceneSameBytes) {
  const support::ScratchFolder folder;
  draw_svg(picture(), {}, folder.path("a.svg"));
  draw_svg(picture(), {}, folder.path("b.svg"));
  EXPECT_EQ(support::read_text(folder.path("a.svg")), support::read_text(folder.path("b.svg")));
}

TEST(Pdf, HoldsRealWordsInAnEmbeddedFontAtFullSize) {
  ASSERT_EQ(mock::run("which pdftotext pdffonts pdfinfo | wc -l"), "3\n") << "install poppler-utils";
  const support::ScratchFolder folder;
  scene::Page page;
  page.scale = 1;
  const scene::Drawing drawing = lay_out(picture(), page);
  const std::string path = draw_pdf(picture(), page, folder.path("a.pdf"));
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
  const support::ScratchFolder folder;
  scene::Page page;
  page.width_mm = 127;
  page.height_mm = 101.6;
  const std::string path = draw_png(picture(), page, folder.path("a.png"), 100);
  EXPECT_EQ(mock::png_size(path).width, 500);
  EXPECT_EQ(mock::png_size(path).height, 400);
  EXPECT_GT(std::filesystem::file_size(path), 8000u);  // an empty page compresses to about 2 kB
}

TEST(Paper, MissingFolderIsAUserErrorWithAdvice) {
  const support::ScratchFolder folder;
  for (const auto draw : {&draw_svg, &draw_pdf}) {
    try {
      draw(picture(), {}, folder.path("nowhere/a.x"));
      FAIL();
    } catch (const base::UserError& error) {
      EXPECT_NE(std::string(error.what()).find("nowhere does not exist"), std::string::npos) << error.what();
      EXPECT_FALSE(error.problems()[0].advice.empty());
    }
  }
  EXPECT_EQ(folder.names().size(), 0u);
}

TEST(Paper, MissingFontLeavesNoFile) {
  const support::ScratchFolder folder;
  setenv("LEVERWRIGHT_FONTS", folder.path().c_str(), 1);
  EXPECT_THROW(draw_pdf(picture(), {}, folder.path("a.pdf")), base::UserError);
  EXPECT_THROW(draw_png(picture(), {}, folder.path("a.png")), base::UserError);
  unsetenv("LEVERWRIGHT_FONTS");
  EXPECT_EQ(folder.names().size(), 0u);
}

TEST(Paper, FailureKeepsTheOlderPicture) {
  const support::ScratchFolder folder;
  draw_svg(picture(), {}, folder.path("a.svg"));
  const std::string before = support::read_text(folder.path("a.svg"));
  scene::Page small;
  small.scale = 1;
  small.width_mm = 20;
  EXPECT_THROW(draw_svg(picture(), small, folder.path("a.svg")), base::UserError);
  EXPECT_EQ(support::read_text(folder.path("a.svg")), before);
  EXPECT_EQ(folder.names().size(), 1u);
}

}  // namespace
}  // namespace leverwright::paper
