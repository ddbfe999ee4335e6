// What the demo's answers do not pass through: other wishes, other sheets, bands against closed forms.
#include <gtest/gtest.h>

#include <cmath>

#include "models/action/design.h"
#include "tests/models/keyboard/few_notes.h"

namespace leverwright::keyboard {
namespace {

// A wanted front weight is what the scale reads after the capstan has moved as well.
TEST(KeyboardOptions, AWantedFrontWeightIsReadOnTheScale) {
  KeyboardCase input = read_keyboard(demo_case());
  input.wishes = {CapstanWish::kMeasured};
  input.wanted_balance_weight = {};
  input.wanted_front_weight.points = {{1, 33 * kGf}, {40, 20 * kGf}, {88, 4 * kGf}};
  const Keyboard k = study_keyboard(demo_case(), input, few({28, 67}));
  for (const int note : k.notes) {
    const auto i = static_cast<std::size_t>(note - 1);
    const NoteLeads& l = k.leads[i];
    auto d = describe_note(demo_case(), k.input, k.carried, note);
    d.quantities.at("measured.front_weight").value = l.bare_front_weight + l.plans[0].front_weight;
    move_capstan(d, k.courses[0].place[i] - k.find(CourseKind::kLeads)->place[i]);
    const double wanted = note == 28 ? 33 - 13 * 27.0 / 39 : 20 - 16 * 27.0 / 48;
    EXPECT_NEAR(action::design(d, d.set_ups[0]).front_weight, wanted * kGf, 0.11 * kGf) << note;
  }
}

// Where nobody noted the leads, new ones come on top: the front weight as found is what they start from.
TEST(KeyboardOptions, UnknownLeadsStayWhereTheyAre) {
  KeyboardCase input = read_keyboard(demo_case());
  input.wishes = {CapstanWish::kMeasured};
  for (const char* key : {"lead_front_weight", "lead_reflected", "bare_front_weight"})
    for (auto c = input.columns.begin(); c != input.columns.end(); ++c)
      if (c->key == key) {
        input.columns.erase(c);
        break;
      }
  const Keyboard k = study_keyboard(demo_case(), input, few({52}));
  const NoteLeads& l = k.leads[51];
  const auto d = describe_note(demo_case(), k.input, k.carried, 52);
  EXPECT_EQ(l.bare_front_weight, d.value("measured.front_weight"));
  EXPECT_EQ(d.leads.size(), demo_case().leads.size());
  EXPECT_TRUE(l.plans[0].found);
  EXPECT_NEAR(k.find(CourseKind::kLeads)->measures[51][study::kBalanceWeight], 37 * kGf, 0.35 * kGf);
}

TEST(KeyboardOptions, ABreakGivesALineOfItsOwn) {
  KeyboardCase input = read_keyboard(demo_case());
  input.wishes = {CapstanWish::kMeasured};
  input.has_leads = false;
  input.break_after = 40;
  const Keyboard k = study_keyboard(demo_case(), input, few({14}));
  ASSERT_TRUE(k.wanted[0].broken);
  EXPECT_EQ(k.wanted[0].broken->sections.size(), 2u);
  EXPECT_LE(k.wanted[0].broken->rms, k.wanted[0].squares.rms * 1.001);
  const Course* broken = k.find(CourseKind::kBroken);
  ASSERT_NE(broken, nullptr);
  EXPECT_TRUE(std::isfinite(broken->measures[13][study::kDownWeight]));
}

// Felt stiffens by factors: half-way between two notes stands the geometric mean.
TEST(KeyboardOptions, FeltStringAndBoreAreCarriedToo) {
  KeyboardCase input;
  const auto add = [&](const char* key, bool logarithmic, std::vector<Sample> samples) {
    SampleColumn c;
    c.key = c.name = key;
    c.law = {1};
    c.logarithmic = logarithmic;
    c.samples = std::move(samples);
    input.columns.push_back(c);
  };
  add("contact.hammer_string.test_force", true, {{16, 2, 0.0}, {40, 8, 0.0}, {64, 32, 0.0}, {88, 128, 0.0}});
  add("measured.string_height", false, {{16, 0.199, 0}, {40, 0.201, 0}, {64, 0.203, 0}});
  add("measured.bore", false, {{16, 0.048, 0}, {40, 0.050, 0}, {64, 0.052, 0}});
  const auto carried = carry_all(input);
  const auto d = describe_note(demo_case(), input, carried, 52);
  EXPECT_NEAR(d.value("contact.hammer_string.test_force"), 16, 1e-9);
  EXPECT_NEAR(d.value("measured.string_height"), 0.202, 1e-12);
  EXPECT_NEAR(d.value("measured.bore"), 0.051, 1e-12);
  const NoteValue v = value_at(input.columns[0], carried[0], 52);
  EXPECT_NEAR(v.low, v.high, 1e-6);
}

// A line drawn too far: the note is left out with the reason, the others are answered.
TEST(KeyboardOptions, ANoteBeyondWhatIsPlausibleIsLeftOut) {
  KeyboardCase input = read_keyboard(demo_case());
  input.wishes = {CapstanWish::kMeasured, CapstanWish::kByWeight};
  for (SampleColumn& c : input.columns)
    if (c.key == "measured.strike_weight") {
      c.law.degree = 1;
      for (Sample& s : c.samples) s.value = (13 - 0.135 * s.note) * kGf;  // 1.1 gf at 88
    }
  const Keyboard k = study_keyboard(demo_case(), input, few({28, 41, 88}));
  EXPECT_TRUE(k.complete);
  EXPECT_EQ(k.courses[0].why_not[87], "carried beyond what is plausible: strike weight");
  for (const Course& c : k.courses) {
    EXPECT_TRUE(std::isnan(c.measures[87][study::kDownWeight])) << c.name;
    EXPECT_TRUE(std::isfinite(c.measures[27][study::kDownWeight])) << c.name;
  }
  EXPECT_TRUE(k.leads[87].plans[0].leads.empty());
}

// Only the strike weight is unsure: BW = SW R - ..., so the balance weight is as unsure as that times the
// weight ratio (static balance, [@ptj1996]), and all of it comes from carrying.
TEST(KeyboardOptions, BandOfTheBalanceWeightIsTheStrikeWeightsTimesTheRatio) {
  auto d = demo_case();
  d.quantities.erase("measured.heel_contact_arm");  // nothing redundant: exact numbers would contradict it
  for (auto& [key, q] : d.quantities) {
    q.sigma = 0;
    q.knowledge = case_file::Knowledge::kExact;
  }
  for (auto& [key, list] : d.point_lists) list.sigma = 0;
  for (auto& lead : d.leads) lead.sigma_mass = lead.sigma_distance = 0;
  KeyboardCase input;
  SampleColumn c;
  c.key = "measured.strike_weight";
  c.name = "strike weight";
  c.law = {1};
  for (const int n : {4, 28, 41, 64, 83})
    c.samples.push_back({n, (11 - 0.04 * n + (n % 2 ? 0.2 : -0.2)) * kGf, 0.1 * kGf});
  input.columns = {c};
  input.sampled = {4, 28, 41, 64, 83};
  input.wishes = {};
  KeyboardOptions o = few({9, 55});
  o.uncertainty = true;
  const Keyboard k = study_keyboard(d, input, o);
  ASSERT_TRUE(k.bands);
  EXPECT_EQ(k.bands->dominant[study::kBalanceWeight], "strike weight");
  for (const int note : {9, 55}) {
    const auto i = static_cast<std::size_t>(note - 1);
    const double expected = k.carried[0].at(note).sigma * k.courses[0].measures[i][study::kWeightRatio];
    EXPECT_NEAR(k.bands->carried[i][study::kBalanceWeight], expected, 0.03 * expected) << note;
    EXPECT_EQ(k.bands->carried[i][study::kBalanceWeight], k.bands->total[i][study::kBalanceWeight]);
  }
}

}  // namespace
}  // namespace leverwright::keyboard
