// The section [keyboard] and its sheet, right and wrong.
#include <gtest/gtest.h>

#include <cmath>

#include "models/keyboard/keyboard_case.h"
#include "models/keyboard/note_case.h"
#include "models/remedies/read_case.h"
#include "sim/base/error.h"
#include "sim/base/units.h"
#include "tests/support/read_text.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::keyboard {
namespace {

// The demo case with pieces of its two files replaced.
class Copy {
 public:
  Copy& in_case(const std::string& from, const std::string& to) { return replace(case_, from, to); }
  Copy& in_sheet(const std::string& from, const std::string& to) { return replace(sheet_, from, to); }
  Copy& sheet(const std::string& text) {
    sheet_ = text;
    return *this;
  }
  KeyboardCase read() const {
    const support::ScratchFolder folder;
    folder.write("sample_notes.csv", sheet_);
    return read_keyboard(remedies::read_case(folder.write("case.toml", case_)));
  }
  // The one problem there is.
  base::Problem problem() const {
    try {
      read();
    } catch (const base::UserError& e) {
      EXPECT_EQ(e.problems().size(), 1u) << e.what();
      return e.problems().front();
    }
    ADD_FAILURE() << "nothing was wrong with it";
    return {};
  }
  std::size_t problems() const {
    try {
      read();
    } catch (const base::UserError& e) {
      return e.problems().size();
    }
    return 0;
  }

 private:
  Copy& replace(std::string& text, const std::string& from, const std::string& to) {
    const auto at = text.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    if (at != std::string::npos) text.replace(at, from.size(), to);
    return *this;
  }
  std::string case_ = support::read_text("cases/samples_to_88/case.toml"),
              sheet_ = support::read_text("cases/samples_to_88/sample_notes.csv");
};

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

TEST(Samples, AreReadWithUnitsAndLaws) {
  const KeyboardCase k = Copy().read();
  EXPECT_EQ(k.sampled, (std::vector<int>{4, 14, 28, 40, 41, 64, 67, 83}));
  const SampleColumn* strike = k.find("measured.strike_weight");
  ASSERT_NE(strike, nullptr);
  ASSERT_EQ(strike->samples.size(), 8u);
  EXPECT_FALSE(strike->law.apart);
  EXPECT_EQ(strike->law.degree, 2);
  EXPECT_NEAR(strike->samples[0].sigma, 0.1 * base::kGramForce, 1e-12) << "the usual one";
  EXPECT_TRUE(k.find("measured.key_front_length")->law.apart);
  // Leads taken off the scale's reading: 14 g at 120 mm are 1680 g mm.
  const SampleColumn *front = k.find("measured.front_weight"), *bare = k.find("bare_front_weight"),
                     *length = k.find("measured.key_front_length");
  const double lead = 1680e-6 * base::kGravity / length->samples[7].value;
  EXPECT_NEAR(bare->samples[7].value, front->samples[7].value - lead, 1e-12);
  EXPECT_NEAR(k.find("lead_reflected")->samples[7].value,
              0.014 * std::pow(0.120 / length->samples[7].value, 2), 1e-12);
}

TEST(Samples, ALawMayBeChanged) {
  const KeyboardCase k =
      Copy()
          .in_case("[keyboard.spring]",
                   "[[keyboard.law]]\ncolumn = \"strike_weight\"\ndegree = 3\napart = true\n"
                   "scatter = \"0.15 gf\"\n[keyboard.spring]")
          .read();
  EXPECT_EQ(k.find("measured.strike_weight")->law.degree, 3);
  EXPECT_TRUE(k.find("measured.strike_weight")->law.apart);
  EXPECT_NEAR(k.find("measured.strike_weight")->law.scatter, 0.15 * base::kGramForce, 1e-12);
}

TEST(Samples, OneKindAloneIsSaid) {
  const KeyboardCase k =
      Copy()
          .sheet(
              "note, key_front_length [mm], strike_weight [gf]\nC2, 246, 10.5\nC4, 246, 9.5\n"
              "52, 246, 8.6 +- 0.2 # remark\n\nC7, 246, 6.5\n")
          .in_case("wanted = [\"measured\", \"by regulation\", \"by weight\"]", "wanted = \"by weight\"")
          .read();
  EXPECT_EQ(k.sampled, (std::vector<int>{16, 40, 52, 76}));
  EXPECT_NEAR(k.find("measured.strike_weight")->samples[2].sigma, 0.2 * base::kGramForce, 1e-12);
  ASSERT_EQ(k.warnings.size(), 1u);
  EXPECT_TRUE(has(k.warnings[0], "key front length (no sharp measured)")) << k.warnings[0];
  EXPECT_FALSE(k.find("measured.key_front_length")->law.apart);
  const Carried front = carry_all(k)[0];
  EXPECT_TRUE(front.at(41).extrapolated) << "a sharp among naturals is a guess";
  EXPECT_FALSE(front.at(42).extrapolated);
}

TEST(Samples, ProblemsAreToldWithFileAndLine) {
  struct Wrong {
    const char *from, *to;
    int line;
    const char* part;
  };
  for (const Wrong& w : {
           Wrong{"C3,", "H3,", 7, "\"H3\" is no note"},
           Wrong{"C3,", "C1,", 7, "stands here twice"},
           Wrong{"strike_weight [gf]", "strike_weight [g]", 5, ""},
           Wrong{"strike_weight [gf]", "strike_weight", 4, "has no unit"},
           Wrong{"strike_weight [gf]", "strike_wieght [gf]", 4, "unknown column"},
           Wrong{"14 g at 120 mm, 2", "14 g by 120 mm, 2", 12, "is not understood"},
           Wrong{"14 g at 120 mm, 2", "14 gf at 120 mm, 2", 12, "mass of a lead"},
           Wrong{"note,", "key,", 4, ""},
           Wrong{"C3, ", "C3, , ", 7, "fields where the headings name"},
       }) {
    Copy copy;
    copy.in_sheet(w.from, w.to);
    try {
      copy.read();
      ADD_FAILURE() << w.to << " was accepted";
    } catch (const base::UserError& e) {
      const base::Problem& p = e.problems().front();
      EXPECT_TRUE(has(p.file, "sample_notes.csv")) << p.file;
      EXPECT_EQ(p.line, w.line) << e.what();
      EXPECT_TRUE(has(p.what, w.part)) << p.what;
      EXPECT_FALSE(p.expected.empty()) << e.what();
    }
  }
}

TEST(Samples, SectionProblemsAreToldWithLine) {
  struct Wrong {
    const char *from, *to, *line, *part;
  };
  for (const Wrong& w : {
           Wrong{"\"by weight\"]", "\"by wieght\"]", "wanted = ", "is not wanted \"by wieght\""},
           Wrong{"spacing = \"17 mm\"", "spacing = \"17 g\"", "spacing", ""},
           Wrong{"spacing", "spacings", "spacings", "has no \"spacings\""},
           Wrong{"wanted_balance_weight = \"37 gf\"", "", "[keyboard.leads]", "nothing is wanted"},
           Wrong{"break = \"none\"", "break = 0", "break", "is not understood"},
           Wrong{"weight_ratio = 5.35", "", "[keyboard.capstan]", "no weight ratio"},
           Wrong{"to = \"205 mm\"", "to = \"45 mm\"", "[keyboard.leads]", "no room"},
           Wrong{"[[1, \"40 gf\"]", "[[40, \"40 gf\"]", "front_weight_limit", "no line over the notes"},
           Wrong{"\"sample_notes.csv\"", "\"nothing.csv\"", "", "cannot be read"},
           Wrong{"samples = \"sample_notes.csv\"", "", "[keyboard]", "no sheet"},
       }) {
    Copy copy;
    copy.in_case(w.from, w.to);
    const base::Problem p = copy.problem();
    EXPECT_TRUE(has(p.line_text, w.line)) << p.what << ": " << p.line_text;
    EXPECT_TRUE(has(p.what, w.part)) << p.what;
  }
}

TEST(Samples, EveryProblemIsToldAtOnce) {
  EXPECT_EQ(Copy().in_sheet("C3,", "H3,").in_sheet("G7,", "G9,").in_case("spacing", "spacings").problems(),
            3u);
}

TEST(Samples, TooFewAreRefused) {
  const base::Problem p = Copy().sheet("note, strike_weight [gf]\nC2, 10.5\nC4, 9.5\n").problem();
  EXPECT_TRUE(has(p.what, "2 sample notes are too few")) << p.what;
}

TEST(Samples, ACaseWithoutAKeyboardSaysWhatIsMissing) {
  const auto d = remedies::read_case("cases/missed_heel/case.toml");
  EXPECT_FALSE(has_keyboard(d));
  EXPECT_TRUE(has_keyboard(remedies::read_case("cases/samples_to_88/case.toml")));
  EXPECT_THROW(read_keyboard(d), base::UserError);
}

// Any two of the three lengths fix the third; the base note's own third one must not contradict them.
TEST(Samples, ANoteTakesWhatTheSamplesSayAndNoMore) {
  const auto d = remedies::read_case("cases/samples_to_88/case.toml");
  const KeyboardCase k = read_keyboard(d);
  const auto carried = carry_all(k);
  for (const int note : {1, 41, 88}) {
    const auto n = describe_note(d, k, carried, note);
    EXPECT_EQ(n.choice("note.kind"), is_sharp(note) ? "sharp" : "natural");
    EXPECT_FALSE(n.has("measured.heel_contact_arm"));
    const auto c = static_cast<std::size_t>(k.find("measured.strike_weight") - k.columns.data());
    EXPECT_EQ(n.value("measured.strike_weight"), carried[c].at(note).value);
    // Leads as one of the same moment and inertia.
    ASSERT_EQ(n.leads.size(), 1u);
    const double front = n.value("measured.key_front_length");
    const auto weight = static_cast<std::size_t>(k.find("lead_front_weight") - k.columns.data());
    const auto mass = static_cast<std::size_t>(k.find("lead_reflected") - k.columns.data());
    EXPECT_NEAR(n.leads[0].mass * n.leads[0].distance * base::kGravity / front,
                carried[weight].at(note).value, 1e-12);
    EXPECT_NEAR(n.leads[0].mass * std::pow(n.leads[0].distance / front, 2), carried[mass].at(note).value,
                1e-12);
  }
  EXPECT_NEAR(capstan_place(describe_note(d, k, carried, 40)), 0.0600, 0.002);
}

}  // namespace
}  // namespace leverwright::keyboard
