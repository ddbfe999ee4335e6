#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <regex>

#include "sim/base/error.h"
#include "tests/viz/support/read_back.h"
#include "viz/chart/draw_chart.h"
#include "viz/chart/layout.h"
#include "viz/scene/drawing.h"

namespace leverwright::chart {
namespace {

// Words that would be markup, or would run a program that leaves a file.
std::string nasty(const std::string& file) {
  return "50% a_b^2 {x} <y> & 'it''s' \"q\" \\n `touch " + file + "` @z \u03b8 \u2212 \u00b5";
}

Chart sample() {
  Chart c;
  c.title = "force against dip";
  c.remark = "invented";
  Panel p;
  p.x.label = "dip";
  p.x.unit = "mm";
  p.y.label = "force";
  p.y.unit = "gf";
  Series s;
  s.name = "as found";
  for (int i = 0; i <= 40; ++i) {
    s.x.push_back(0.25 * i);
    s.y.push_back(48 - 0.9 * i + 0.02 * i * i);
  }
  s.y[7] = std::nan("");
  p.series.push_back(s);
  c.panels.push_back(p);
  return c;
}

TEST(Quote, NothingInWordsIsRunOrMarkup) {
  EXPECT_EQ(quote("it's"), "'it' . \"'\" . 's'");
  EXPECT_EQ(quote("a\nset output\t"), "'a set output '");
}

TEST(DrawChart, WordsComeOutAsWritten) {
  const support::ScratchFolder folder;
  const std::string words = nasty(folder.path("was_run"));
  Chart c = sample();
  c.title = words;
  c.panels[0].series[0].name = words;
  c.panels[0].y.ticks = {{30, words}, {40, "row_two"}};
  c.width_mm = 260;
  draw_chart(c, folder.path("a"));
  std::string svg = support::read_text(folder.path("a.svg"));
  for (const auto& [from, to] : std::vector<std::pair<std::string, std::string>>{
           {"&lt;", "<"}, {"&gt;", ">"}, {"&quot;", "\""}, {"&#39;", "'"}, {"&apos;", "'"}, {"&amp;", "&"}})
    svg = std::regex_replace(svg, std::regex(from), to);
  EXPECT_GE(mock::count(svg, words), 3);  // title, key, row
  EXPECT_FALSE(std::filesystem::exists(folder.path("was_run")));
}

TEST(DrawChart, WritesAllFormatsWithSizesInMillimetres) {
  const support::ScratchFolder folder;
  Chart c = sample();
  c.width_mm = 127;
  c.height_mm = 101.6;
  const std::vector<std::string> files = draw_chart(c, folder.path("a"));
  EXPECT_EQ(files, (std::vector<std::string>{folder.path("a.png"), folder.path("a.svg"), folder.path("a.pdf"),
                                             folder.path("a.csv")}));
  EXPECT_EQ(folder.names().size(), 4u);
  EXPECT_EQ(mock::png_size(files[0]).width, 1000);
  EXPECT_EQ(mock::png_size(files[0]).height, 800);
  EXPECT_GT(std::filesystem::file_size(files[0]), 8000u);
  const std::string svg = support::read_text(files[1]);
  EXPECT_NE(svg.find("width=\"127mm\" height=\"101.6mm\""), std::string::npos);
  EXPECT_NE(svg.find("font-weight=\"bold\""), std::string::npos);
  EXPECT_EQ(svg.find(":Bold"), std::string::npos);
}

TEST(DrawChart, PdfHasRealWordsInEmbeddedFontsOfTheRightSize) {
  ASSERT_EQ(mock::run("which pdftotext pdffonts | wc -l"), "2\n") << "install poppler-utils";
  const support::ScratchFolder folder;
  draw_chart(sample(), folder.path("a"), {Format::kPdf});
  const std::string words = mock::run("pdftotext " + folder.path("a.pdf") + " -");
  for (const char* w : {"force against dip", "dip (mm)", "as found", "invented"})
    EXPECT_NE(words.find(w), std::string::npos) << w << "\n" << words;
  const std::string fonts = mock::run("pdffonts " + folder.path("a.pdf"));
  EXPECT_GE(mock::count(fonts, "DejaVu"), 2) << fonts;
  EXPECT_EQ(mock::count(fonts, "yes yes"), mock::count(fonts, "DejaVu")) << fonts;
  // The title's letters: 3.8 mm em, so 1.164 em = 12.5 points from descender to ascender.
  const std::string boxes = mock::run("pdftotext -bbox " + folder.path("a.pdf") + " -");
  std::smatch box;
  ASSERT_TRUE(std::regex_search(
      boxes, box, std::regex("yMin=\"([0-9.]+)\" xMax=\"[0-9.]+\" yMax=\"([0-9.]+)\">against<")));
  EXPECT_NEAR(std::stod(box[2]) - std::stod(box[1]), 1.164 * 3.8 * 72 / 25.4, 0.3);
}

TEST(DrawChart, TheSameChartIsTheSameBytesWheneverItIsDrawn) {
  const support::ScratchFolder folder;
  draw_chart(sample(), folder.path("a"), {Format::kPdf});
  const std::string pdf = support::read_text(folder.path("a.pdf"));
  EXPECT_NE(pdf.find("/CreationDate (D:20000101000000Z)"), std::string::npos);
  EXPECT_EQ(mock::run("pdfinfo " + folder.path("a.pdf") + " 2>&1 >/dev/null"), "");
}

TEST(DrawChart, CsvHoldsTheDataWithUnits) {
  Chart c = sample();
  c.panels[0].series[0].name = "one, two \"three\"";
  c.events = {{12.5, "let-off", Role::kInk}};
  const std::string csv = write_csv(c);
  EXPECT_EQ(csv.substr(0, csv.find('\n')), "panel,name,x_quantity,x_unit,y_quantity,y_unit,x,y");
  EXPECT_NE(csv.find("1,\"one, two \"\"three\"\"\",dip,mm,force,gf,0.25,47.12\n"), std::string::npos) << csv;
  EXPECT_NE(csv.find(",gf,1.75,\n"), std::string::npos) << "a gap in the curve is an empty cell";
  EXPECT_NE(csv.find("event,let-off,,,,,12.5,\n"), std::string::npos);
  EXPECT_EQ(mock::count(csv, "\n"), 1 + 41 + 1);
}

TEST(DrawChart, MissingGnuplotIsSaidAndNothingIsLeft) {
  const support::ScratchFolder folder;
  setenv("LEVERWRIGHT_GNUPLOT", "/nowhere/gnuplot", 1);
  try {
    draw_chart(sample(), folder.path("a"));
    ADD_FAILURE() << "drew without gnuplot";
  } catch (const base::UserError& error) {
    EXPECT_NE(std::string(error.what()).find("gnuplot-nox"), std::string::npos) << error.what();
  }
  unsetenv("LEVERWRIGHT_GNUPLOT");
  EXPECT_EQ(folder.names().size(), 0u);
}

TEST(DrawChart, FailingGnuplotIsSaidWithItsMessageAndNothingIsLeft) {
  const support::ScratchFolder folder, tool;
  std::filesystem::permissions(
      tool.write("gnuplot", "#!/bin/sh\necho 'line 7: no such terminal' >&2\nexit 3\n"),
      std::filesystem::perms::owner_all);
  setenv("LEVERWRIGHT_GNUPLOT", tool.path("gnuplot").c_str(), 1);
  try {
    draw_chart(sample(), folder.path("a"));
    ADD_FAILURE() << "took a failed drawing for a good one";
  } catch (const base::UserError& error) {
    EXPECT_NE(std::string(error.what()).find("no such terminal"), std::string::npos) << error.what();
  }
  unsetenv("LEVERWRIGHT_GNUPLOT");
  EXPECT_EQ(folder.names().size(), 0u);
}

TEST(DrawChart, MissingFolderAndFontAreUserErrors) {
  const support::ScratchFolder folder;
  EXPECT_THROW(draw_chart(sample(), folder.path("none/a")), base::UserError);
  setenv("LEVERWRIGHT_FONTS", folder.path().c_str(), 1);
  EXPECT_THROW(draw_chart(sample(), folder.path("a")), base::UserError);
  unsetenv("LEVERWRIGHT_FONTS");
  EXPECT_EQ(folder.names().size(), 0u);
}

TEST(Layout, KeyNeverCoversData) {
  Chart c = sample();
  for (int i = 0; i < 9; ++i) {
    Series s = c.panels[0].series[0];
    s.name = "set-up with a long name " + std::to_string(i);
    c.panels[0].series.push_back(s);
  }
  const Layout layout = lay_out(c);
  ASSERT_EQ(layout.key.size(), 10u);
  for (const KeyEntry& e : layout.key) {
    EXPECT_LT(e.y + 0.5 * kTextSize, layout.panels[0].bottom - 2 * kTextSize);
    EXPECT_GT(e.y, 0);
    EXPECT_LT(e.x + kKeySample + 1.5 + kTextSize * scene::text_width(e.name), c.width_mm + 0.5);
  }
}

TEST(Layout, EventNamesDoNotTouchEachOtherNorLaterLines) {
  Chart c = sample();
  c.events = {{4.4, "let-off", Role::kInk},
              {4.6, "jack clear", Role::kInk},
              {5, "string", Role::kInk},
              {5.1, "key bottom", Role::kInk},
              {8, "check", Role::kInk}};
  const Layout layout = lay_out(c);
  ASSERT_EQ(layout.events.size(), 5u);
  for (const EventWords& a : layout.events)
    for (const EventWords& b : layout.events) {
      if (a.at >= b.at) continue;
      const double end = a.at + 1 + kSmallSize * scene::text_width(a.text);
      if (end > b.at) {
        EXPECT_GT(a.y - kSmallSize, b.y - 0.5) << a.text << " is crossed by the line of " << b.text;
      }
    }
}

TEST(Layout, ALongRemarkRunsOverLinesAboveThePanels) {
  Chart c = sample();
  const Layout one = lay_out(c);
  ASSERT_EQ(one.remark_lines.size(), 1u);
  c.remark.clear();
  for (int k = 0; k < 40; ++k) c.remark += "and another word ";
  const Layout many = lay_out(c);
  ASSERT_GT(many.remark_lines.size(), 2u);
  for (const std::string& line : many.remark_lines)
    EXPECT_LT(kSmallSize * scene::text_width(line), c.width_mm - 4) << line;
  const double lowest = many.remark_y - kRemarkStep * static_cast<double>(many.remark_lines.size() - 1);
  EXPECT_LT(many.panels.front().top, lowest);
  EXPECT_LT(many.panels.front().top, one.panels.front().top);
}

TEST(Layout, StackedPanelsShareXAndTheirSidesStandInLine) {
  Chart c = sample();
  c.panels.push_back(c.panels[0]);
  c.panels[1].series[0].x.back() = 31;
  const Layout layout = lay_out(c);
  EXPECT_EQ(layout.panels[0].left, layout.panels[1].left);
  EXPECT_EQ(layout.panels[0].x.high, layout.panels[1].x.high);
  EXPECT_GE(layout.panels[0].x.high, 31);
  EXPECT_GT(layout.panels[0].bottom, layout.panels[1].top);
  EXPECT_FALSE(layout.panels[0].x_words);
}

TEST(Layout, TooManyPanelsForTheSheetIsAUserError) {
  Chart c = sample();
  for (int i = 0; i < 30; ++i) c.panels.push_back(c.panels[0]);
  EXPECT_THROW(lay_out(c), base::UserError);
  EXPECT_THROW(lay_out(Chart{}), base::UserError);
}

TEST(RoundRange, HoldsTheDataWithRoundEnds) {
  const Range r = round_range(13.2, 52.7);
  EXPECT_DOUBLE_EQ(r.low, 10);
  EXPECT_DOUBLE_EQ(r.high, 60);
  const Range flat = round_range(3, 3);
  EXPECT_LT(flat.low, flat.high);
  EXPECT_LE(flat.low, 3);
  EXPECT_GE(flat.high, 3);
}

}  // namespace
}  // namespace leverwright::chart
