// The keyboard's tables, sentences and files from an invented study that is quick to make.
#include "viz/table/keyboard_table.h"

#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "viz/table/csv.h"

namespace leverwright::table {
namespace {

using namespace keyboard;

constexpr double kGf = 9.80665e-3;

Keyboard make_invented() {
  Keyboard k;
  k.complete = true;
  k.notes = {40, 41};
  SampleColumn c;
  c.key = "measured.strike_weight";
  c.name = "strike weight";
  c.unit = "N";
  c.display_unit = "gf";
  c.display_factor = 1 / kGf;
  c.law = {1};
  for (const int n : {4, 16, 28, 52, 64, 76, 88}) c.samples.push_back({n, (11 - 0.07 * n) * kGf, 0.1 * kGf});
  c.samples.push_back({40, 12 * kGf, 0.1 * kGf});  // 8.2 belongs there
  k.input.columns = {c};
  k.input.sampled = {4, 16, 28, 40, 52, 64, 76, 88};
  k.carried = carry_all(k.input);
  WantedPlaces w;
  w.place.assign(kNoteCount, 62e-3);
  for (int n = 1; n <= kNoteCount; ++n)
    if (is_sharp(n)) w.place[static_cast<std::size_t>(n - 1)] = 63e-3;
  w.sigma.assign(kNoteCount, 0);
  w.squares = fit_least_squares(w.place, std::vector<double>(kNoteCount, 1));
  w.worst = fit_least_worst(w.place);
  k.wanted = {w};
  study::Measures none;
  none.fill(NAN);
  const auto course = [&](CourseKind kind, const char* key, const char* name, double down) {
    Course one;
    one.kind = kind;
    one.key = key;
    one.name = name;
    one.place.assign(kNoteCount, 62.4e-3);
    one.measures.assign(kNoteCount, none);
    one.why_not.assign(kNoteCount, "");
    for (const int n : k.notes) {
      auto& m = one.measures[static_cast<std::size_t>(n - 1)];
      m.fill(0.1);
      m[study::kDownWeight] = (down + n - 40) * kGf;
    }
    k.courses.push_back(one);
  };
  course(CourseKind::kAsFound, "as_found", "as found", 60);
  course(CourseKind::kOwnPlace, "own_place", "capstan at its own place", 55);
  course(CourseKind::kNearestLine, "nearest_line", "straight line, least squares", 56.5);
  course(CourseKind::kLeads, "leaded", "leads as chosen", 52);
  course(CourseKind::kSprings, "sprung", "assist springs, no leads", 52.5);
  k.leads.assign(kNoteCount, NoteLeads{});
  LeadRules rules;
  for (const int n : k.notes) {
    NoteLeads& l = k.leads[static_cast<std::size_t>(n - 1)];
    l.wanted_front_weight = (n == 40 ? 25 : 80) * kGf;
    l.bare_front_weight = -9 * kGf;
    l.front_weight_limit = 20 * kGf;
    l.spring = (n == 40 ? 34 : 40) * kGf;
    for (std::size_t p = 0; p < 3; ++p)
      l.plans[p] = LeadTable(rules, static_cast<LeadWish>(p), 0.012)
                       .choose(l.wanted_front_weight - l.bare_front_weight, 0.246);
  }
  k.courses[0].measures[40] = none;
  k.courses[0].why_not[40] = "a contact jams";
  return k;
}

const Keyboard& invented() {
  static const Keyboard one = make_invented();
  return one;
}

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

TEST(KeyboardTable, SaysWhatIsOffTheLineAndWhatANoteLoses) {
  std::string all;
  for (const auto& s : keyboard_sentences(invented())) all += s + "\n";
  EXPECT_TRUE(has(all, "strike weight of C4 reads 12.0 gf, the other samples expect 8.2 +- 0.1")) << all;
  EXPECT_TRUE(has(all, "Sharps want their capstans 1.0 mm further from the wippen centres")) << all;
  EXPECT_TRUE(has(all, "misses by no more than 0.50 mm")) << all;
  EXPECT_TRUE(has(all, "down weight 1.5 gf on average, at most +1.5 gf")) << all;
  EXPECT_TRUE(has(all, "No answer with \"as found\" for C#4: a contact jams")) << all;
  EXPECT_TRUE(has(all, "Out of reach of the allowed leads: C#4")) << all;
  EXPECT_TRUE(has(all, "Front weight over the limit: C4, C#4")) << all;
  EXPECT_TRUE(has(all, "would be needed for C#4")) << all;
  EXPECT_FALSE(has(all, "nan")) << all;
}

TEST(KeyboardTable, FitsTheTerminalAndBringsCautions) {
  for (const int width : {80, 118, 140}) {
    Look look;
    look.width = width;
    const auto k = invented();
    const std::string text = write_terminal(keyboard_document(k, true), look, true);
    EXPECT_TRUE(has(text, "40 C4 *"));
    EXPECT_TRUE(has(text, "41 C#4"));
    EXPECT_TRUE(has(text, "trial note first"));
    EXPECT_FALSE(has(text, "nan"));
    std::size_t from = 0;
    for (std::size_t to; (to = text.find('\n', from)) != std::string::npos; from = to + 1)
      EXPECT_LE(columns_of(text.substr(from, to - from)), width) << text.substr(from, to - from);
  }
}

TEST(KeyboardTable, JsonAndCsvHoldTheSame) {
  const Keyboard k = invented();
  const auto json = nlohmann::json::parse(write_keyboard_json("my.toml", k));
  EXPECT_EQ(json["status"], "complete");
  EXPECT_EQ(json["carried"][0]["samples_to_halve"], k.carried[0].samples_to_halve);
  EXPECT_TRUE(json["courses"][0]["notes"][1]["down_weight"].is_null());
  EXPECT_EQ(json["courses"][0]["notes"][1]["why_not"], "a contact jams");
  const std::string csv = write_keyboard_csv(k);
  const auto head = split_csv(csv.substr(0, csv.find('\n')));
  const auto row =
      split_csv(csv.substr(csv.find('\n') + 1, csv.find('\n', csv.find('\n') + 1) - csv.find('\n') - 1));
  ASSERT_EQ(head.size(), row.size());
  for (std::size_t c = 0; c < head.size(); ++c) {
    if (head[c] == "strike_weight_gf") {
      EXPECT_NEAR(std::stod(row[c]), json["carried"][0]["notes"][39]["value"].get<double>(), 1e-9);
    }
    if (head[c] == "nearest_line_down_weight_gf") {
      EXPECT_NEAR(std::stod(row[c]), 56.5, 1e-9);
    }
  }
}

}  // namespace
}  // namespace leverwright::table
