// Bench sheet and work order as pages: readable by a parser and by ear, black on white, escaped, and printed
// by a browser on both papers without anything cut off.
#include "viz/sheets/pages.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdio>
#include <map>
#include <regex>
#include <sstream>

#include "models/remedies/read_case.h"
#include "models/workshop/order.h"
#include "sim/base/units.h"
#include "tests/viz/support/read_back.h"
#include "viz/sheets/drawings.h"
#include "viz/table/order_table.h"

namespace leverwright::sheets {
namespace {

constexpr const char* kNasty = "<script>alert('x')</script> & \"quotes\"";

case_file::CaseDescription demo() {
  auto d = remedies::read_case("cases/missed_heel/case.toml");
  d.set_ups = {d.set_ups[0], d.set_ups[1], d.set_ups[2]};
  // Both at once, so that the order has two tasks.
  d.set_ups[2].changes.push_back(d.set_ups[1].changes[0]);
  d.set_ups.erase(d.set_ups.begin() + 1);
  return d;
}

// Numbers as the program would fill them in, but without the long work behind them.
workshop::WorkOrder quick_order(const case_file::CaseDescription& d) {
  workshop::WorkOrder o;
  study::CompareOptions options;
  options.uncertainty = false;
  o.comparison = study::compare(d, options);
  o.title = d.title;
  o.note = "C4";
  o.instrument = d.instrument;
  o.invented = true;
  o.base = d.set_ups[0].name;
  o.set_up = d.set_ups[1].name;
  o.what = "Capstans plugged and re-drilled.";
  o.why = "Better in down weight (-3.3 +- 0.6 gf).";
  o.policy = "keep dip and blow";
  workshop::Tolerance t;
  t.argument = "distance";
  t.tolerance = 0.66e-3;
  t.scatter = 0.5e-3;
  t.decided_by = "aftertouch";
  o.tolerances.push_back(t);
  o.tasks =
      workshop::list_tasks(d.set_ups[1], o.comparison.set_ups[0], o.comparison.set_ups[1], o.tolerances);
  for (const char* note : {"C4", "G3", "E5"})
    for (const char* name :
         {"down weight", "up weight", "friction, (down - up) / 2", "dip", "blow", "let-off", "aftertouch"})
      o.expected.push_back({note, "", name, "gf", 1, 52, 49.3, 2.1, 46.2, 52.4, false});
  o.with_before = true;
  return o;
}

class Pages : public testing::Test {
 protected:
  static void SetUpTestSuite() { d_ = new case_file::CaseDescription(demo()); }
  static void TearDownTestSuite() {
    delete d_;
    delete order_;
  }
  // Built when a test first asks for it.
  static const workshop::WorkOrder& order() {
    if (order_ == nullptr) order_ = new workshop::WorkOrder(quick_order(*d_));
    return *order_;
  }
  static std::string sheet(const std::string& paper, bool blank = false, bool supplement = false) {
    SheetPage page;
    page.description = d_;
    page.known = blank ? nullptr : d_;
    page.plan = &plan_;
    page.notes = {"C4", "G3", "E5"};
    page.supplement = supplement;
    page.paper = paper;
    return write_sheet_page(page);
  }
  static void write(const std::string& name, const std::string& html) { folder_.write(name + ".html", html); }
  // "sheet_A4", "order_Letter": written to the folder as well.
  static std::string page(const std::string& name) {
    const std::string paper = name.substr(name.find('_') + 1);
    const std::string html =
        name.rfind("sheet", 0) == 0 ? sheet(paper) : write_order_page(*d_, order(), paper);
    write(name, html);
    return html;
  }
  static inline const support::ScratchFolder folder_;
  static inline case_file::CaseDescription* d_ = nullptr;
  static inline workshop::WorkOrder* order_ = nullptr;
  static inline workshop::AccuracyPlan plan_;
};

TEST_F(Pages, AreAccessibleAndFetchNothing) {
  write("supplement", sheet("A4", true, true));
  page("sheet_A4");
  page("order_A4");
  for (const std::string name : {"sheet_A4", "order_A4", "supplement"})
    EXPECT_EQ(mock::run("/usr/bin/python3 tests/viz/report/check_page.py " + folder_.path(name + ".html") +
                        " 2>&1"),
              "")
        << name;
}

TEST_F(Pages, SheetHasEveryLineAndFillsInWhatIsKnown) {
  const std::string filled = page("sheet_A4"), blank = sheet("A4", true), all = sheet("A4", true, true);
  for (const auto& l : workshop::sheet_lines()) {
    const std::string number = ">" + std::to_string(l.number);
    const bool lead = l.use == workshop::Use::kLeadMass || l.use == workshop::Use::kLeadDistance;
    if (!lead) {
      EXPECT_NE(all.find(l.name), std::string::npos) << l.number;
      EXPECT_NE(all.find(number + "<"), std::string::npos) << l.number;
    }
    EXPECT_EQ(filled.find(number + "<") != std::string::npos, !l.supplement && !lead) << l.number;
  }
  EXPECT_NE(filled.find("64, 65"), std::string::npos) << "mass and place of a lead share a row";
  EXPECT_NE(filled.find("112.5 \u00b1 0.25"), std::string::npos);
  EXPECT_NE(filled.find("\u00d7</span>natural"), std::string::npos) << "the box of what is known is ticked";
  EXPECT_EQ(blank.find("112.5"), std::string::npos);
  EXPECT_EQ(blank.find("\u00d7</span>"), std::string::npos);
}

// 80 squares of a millimetre at twice the size, and half a millimetre of margin on either side.
TEST_F(Pages, TracePaperIsTwiceTheSize) {
  EXPECT_NE(draw_trace_paper().svg.find("width=\"161"), std::string::npos)
      << draw_trace_paper().svg.substr(0, 200);
  EXPECT_NE(sheet("A4", true, true).find("figure.true img { width: 161mm; }"), std::string::npos);
}

TEST_F(Pages, OrderHasItsParts) {
  const std::string html = page("order_A4");
  for (const char* part :
       {"What.", "Why.", "NOT REVERSIBLE", "new hole, middle", "strip, thickness", "Regulate", "stop below",
        "Stop when", "conservator", "Cyanoacrylate", "leverwright afterwards", "<b>drilling</b>",
        "played and approved by", "\u00b1 0.66 mm", "at least one note in twenty"})
    EXPECT_NE(html.find(part), std::string::npos) << part;
  // Steps are numbered through.
  int step = 0;
  const std::regex steps("<span class=\"step\">([0-9]+)</span>");
  for (std::sregex_iterator at(html.begin(), html.end(), steps), end; at != end; ++at)
    EXPECT_EQ(std::stoi((*at)[1]), ++step);
  EXPECT_GE(step, 12);
  EXPECT_EQ(mock::count(html, "<b>NOT REVERSIBLE.</b>"), 2) << "plugging and drilling";
}

TEST_F(Pages, EveryTextIsEscaped) {
  auto d = *d_;
  d.title = d.question = kNasty;
  auto o = quick_order(*d_);
  o.title = o.set_up = o.note = o.what = o.why = o.base = kNasty;
  o.expected.front().note = kNasty;
  SheetPage s;
  s.description = s.known = &d;
  s.plan = &plan_;
  s.notes = {kNasty, "B", "C"};
  for (const std::string& html : {write_sheet_page(s), write_order_page(d, o, "A4")}) {
    EXPECT_EQ(html.find("<script"), std::string::npos);
    EXPECT_NE(html.find("&lt;script&gt;"), std::string::npos);
  }
}

TEST_F(Pages, NoColourIsNeeded) {
  auto pictures = draw_sheet(*d_);
  for (const auto& p : draw_order(*d_, order())) pictures.push_back(p);
  pictures.push_back(draw_trace_paper());
  const std::regex hex("#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})");
  std::string everything = page("sheet_A4") + page("order_A4");
  for (const auto& p : pictures) {
    EXPECT_GT(p.alt.size(), 30u);
    everything += p.svg;
  }
  int seen = 0;
  for (std::sregex_iterator at(everything.begin(), everything.end(), hex), end; at != end; ++at, ++seen)
    EXPECT_TRUE((*at)[1] == (*at)[2] && (*at)[2] == (*at)[3]) << at->str();
  EXPECT_GT(seen, 100);
}

// The numbers in the drawings are those of lines on the sheet, each drawn once.
TEST_F(Pages, DrawingsCarryTheNumbersOfTheLines) {
  std::map<int, int> drawn;
  const std::regex words(">([0-9]+)</text>");
  for (const auto& p : draw_sheet(*d_))
    for (std::sregex_iterator at(p.svg.begin(), p.svg.end(), words), end; at != end; ++at)
      ++drawn[std::stoi((*at)[1])];
  for (const auto& [number, count] : drawn) {
    EXPECT_NE(workshop::find_line(number), nullptr) << number;
    EXPECT_EQ(count, 1) << number;
  }
  for (const int number :
       {11, 12, 13, 14, 15, 16, 17, 21, 22, 23, 32, 35, 41, 42, 43, 44, 45, 51, 52, 53, 54, 55, 61, 62, 71})
    EXPECT_EQ(drawn.count(number), 1u) << number;
}

struct Printed {
  int pages = 0;
  double width = 0, height = 0;                         // points
  double right = 0, bottom = 0, left = 1e9, top = 1e9;  // of the words
  std::string text;
};

// In a real browser, where one is installed (it is not in the list of test packages).
Printed print(const support::ScratchFolder& folder, const std::string& name, const std::string& browser) {
  const std::string pdf = folder.path(name + ".pdf");
  mock::run(browser + " --headless --no-sandbox --disable-gpu --user-data-dir=" + folder.path("profile") +
            " --no-pdf-header-footer --print-to-pdf=" + pdf + " file://" + folder.path(name + ".html") +
            " 2>/dev/null");
  Printed out;
  const std::string boxes = mock::run("pdftotext -bbox " + pdf + " - 2>/dev/null");
  const std::regex page("<page width=\"([0-9.]+)\" height=\"([0-9.]+)\">"),
      word(
          "<word xMin=\"([0-9.-]+)\" yMin=\"([0-9.-]+)\" xMax=\"([0-9.]+)\" "
          "yMax=\"([0-9.]+)\">([^<]*)</word>");
  for (std::sregex_iterator at(boxes.begin(), boxes.end(), page), end; at != end; ++at) {
    ++out.pages;
    out.width = std::stod((*at)[1]);
    out.height = std::stod((*at)[2]);
  }
  for (std::sregex_iterator at(boxes.begin(), boxes.end(), word), end; at != end; ++at) {
    out.left = std::min(out.left, std::stod((*at)[1]));
    out.top = std::min(out.top, std::stod((*at)[2]));
    out.right = std::max(out.right, std::stod((*at)[3]));
    out.bottom = std::max(out.bottom, std::stod((*at)[4]));
    out.text += (*at)[5].str() + " ";
  }
  return out;
}

TEST_F(Pages, BrowserPrintsThemOnBothPapers) {
  const std::string found = mock::run("which chromium chromium-browser | head -n 1");
  if (found.empty() || mock::run("which pdftotext").empty()) {
    std::puts("no chromium or pdftotext here: the pages were only read by a parser");
    return;
  }
  const std::string browser = found.substr(0, found.find('\n'));
  constexpr double kMm = 72 / 25.4;
  for (const std::string paper : {"A4", "Letter"})
    for (const std::string kind : {"sheet", "order"}) {
      page(kind + "_" + paper);
      const Printed p = print(folder_, kind + "_" + paper, browser);
      const std::string at = kind + " on " + paper;
      EXPECT_NEAR(p.width, (paper == "A4" ? 210 : 215.9) * kMm, 1) << at;
      EXPECT_NEAR(p.height, (paper == "A4" ? 297 : 279.4) * kMm, 1) << at;
      EXPECT_GE(p.pages, 2) << at;
      EXPECT_LE(p.pages, kind == "sheet" ? 3 : 5) << at;  // six leads take a part of the third
      // Nothing is cut off: every word stands inside the margins (7 mm at least).
      EXPECT_GE(p.left, 7 * kMm) << at;
      EXPECT_GE(p.top, 7 * kMm) << at;
      EXPECT_LE(p.right, p.width - 7 * kMm) << at;
      EXPECT_LE(p.bottom, p.height - 7 * kMm) << at;
      if (kind == "sheet")
        for (const auto& l : workshop::sheet_lines()) {
          if (l.supplement || l.use == workshop::Use::kLeadMass || l.use == workshop::Use::kLeadDistance)
            continue;
          EXPECT_NE((" " + p.text).find(" " + std::to_string(l.number) + " "), std::string::npos)
              << at << ": " << l.number;
        }
    }
}

TEST_F(Pages, TheTextsForTheTerminalAndForPrograms) {
  table::Look look;
  look.width = 100;
  const std::string text = table::write_terminal(table::order_document(*d_, order()), look, true);
  for (const char* piece :
       {"NOT REVERSIBLE", "new hole, middle", "121.0", "+- 0.66 mm", "stop below", "Cautions"})
    EXPECT_NE(text.find(piece), std::string::npos) << piece;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) EXPECT_LE(table::columns_of(line), 112) << line;
  const std::string json = table::write_order_json(*d_, order());
  for (const char* piece : {"\"format\": \"leverwright order\"", "\"tolerance\": 0.66",
                            "\"stop_above\": 52.4", "\"reversible\": \"no\"", "\"turns\""})
    EXPECT_NE(json.find(piece), std::string::npos) << piece;
}

}  // namespace
}  // namespace leverwright::sheets
