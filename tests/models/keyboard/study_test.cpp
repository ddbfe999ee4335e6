// The whole keyboard on a few notes of the demo case.
#include <gtest/gtest.h>

#include <cmath>

#include "models/keyboard/bands.h"
#include "models/keyboard/write_note_case.h"
#include "models/study/set_up_solver.h"
#include "tests/models/keyboard/few_notes.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::keyboard {
namespace {

const Keyboard& demo() {
  static const Keyboard k = [] {
    KeyboardCase input = read_keyboard(demo_case());
    input.wishes = {CapstanWish::kByRegulation, CapstanWish::kByWeight};
    return study_keyboard(demo_case(), input, few({41, 70, 88}));
  }();
  return k;
}

// Laws through the base note's own values, without error: the model's note 40 is the base note itself.
TEST(KeyboardStudy, ASampleNoteWithoutErrorIsReproduced) {
  auto d = remedies::read_case("cases/missed_heel/case.toml");
  d.set_ups.resize(1);
  KeyboardCase input;
  const auto add = [&](const char* key, double per_note, bool apart) {
    SampleColumn c;
    c.key = key;
    c.law = {1, apart};
    for (const int n : {4, 14, 28, 40, 41, 64, 83})
      c.samples.push_back({n, d.value(key) + per_note * (n - 40) + (apart && is_sharp(n) ? -0.01 : 0), 0});
    input.columns.push_back(c);
    input.sampled = {4, 14, 28, 40, 41, 64, 83};
  };
  add("measured.strike_weight", -0.06 * kGf, false);
  add("measured.front_weight", -0.4 * kGf, false);
  add("measured.key_front_length", 1e-5, true);
  add("friction.hammer_centre", -2e-6, false);
  const Keyboard k = study_keyboard(d, input, few({40, 52}));
  const study::SetUpSolver solver(d);
  const study::Measures own = solver.measure(d, 0, {});
  const auto note = describe_note(d, input, k.carried, 40);
  for (const SampleColumn& c : input.columns)
    EXPECT_NEAR(note.value(c.key), d.value(c.key), 1e-12 * std::abs(d.value(c.key))) << c.key;
  // Inputs that agree to rounding: the answers agree to what regulation is solved to.
  for (std::size_t q = 0; q < study::kMeasureCount; ++q)
    if (std::isfinite(own[q])) {
      EXPECT_NEAR(k.courses[0].measures[39][q], own[q], 5e-5 * std::abs(own[q]) + 1e-9)
          << study::kMeasures[q].name;
    }
  EXPECT_LT(k.courses[0].measures[51][study::kDownWeight], own[study::kDownWeight]);
}

// A note written as a case of its own is the note the study weighs.
TEST(KeyboardStudy, ANoteWrittenAsACaseIsThatNote) {
  const KeyboardCase input = read_keyboard(demo_case());
  const auto carried = carry_all(input);
  for (const int note : {41, 70}) {
    const support::ScratchFolder folder;
    const auto d =
        remedies::read_case(folder.write("note.toml", write_note_case(demo_case(), input, carried, note)));
    EXPECT_EQ(d.choice("note.name"), note_name(note));
    EXPECT_FALSE(d.has("measured.heel_contact_arm"));
    const auto study = describe_note(demo_case(), input, carried, note);
    for (const auto& [key, q] : d.quantities) {
      EXPECT_NEAR(q.value, study.value(key), 1e-10 * std::abs(q.value)) << key;
      EXPECT_NEAR(q.sigma, study.quantity(key).sigma, 1e-10 * std::abs(q.sigma)) << key;
    }
    for (const auto& [key, q] : study.quantities)
      EXPECT_TRUE(d.has(key) || key == "measured.down_weight" || key == "measured.up_weight") << key;
    ASSERT_EQ(d.leads.size(), 1u);
    EXPECT_NEAR(d.leads[0].mass, study.leads[0].mass, 1e-10);
    const study::SetUpSolver solver(d);
    const auto found = solver.measure(d, 0, {});
    const auto expected = demo().courses[0].measures[static_cast<std::size_t>(note - 1)];
    EXPECT_NEAR(found[study::kDownWeight], expected[study::kDownWeight], 1e-4 * expected[study::kDownWeight]);
  }
}

TEST(KeyboardStudy, WantedPlacesMeetWhatIsWanted) {
  const Keyboard& k = demo();
  ASSERT_TRUE(k.complete);
  ASSERT_EQ(k.wanted.size(), 2u);
  const Course* own = k.find(CourseKind::kOwnPlace);
  ASSERT_NE(own, nullptr);
  for (const int note : k.notes) {
    const auto i = static_cast<std::size_t>(note - 1);
    EXPECT_NEAR(own->measures[i][study::kAftertouch], k.input.aftertouch, 0.02e-3) << note;
    // The by-weight place, run here afresh.
    auto d = describe_note(demo_case(), k.input, k.carried, note);
    const study::SetUpSolver solver(d);
    move_capstan(d, capstan_place(d) - k.wanted[1].place[i]);
    EXPECT_NEAR(solver.measure(d, 0, {})[study::kWeightRatio], k.input.weight_ratio, 5e-3) << note;
  }
}

TEST(KeyboardStudy, OnTheLineANoteLosesAsMuchAsItMisses) {
  const Keyboard& k = demo();
  const Course *own = k.find(CourseKind::kOwnPlace), *line = k.find(CourseKind::kNearestLine);
  for (const int note : k.notes) {
    const auto i = static_cast<std::size_t>(note - 1);
    EXPECT_NEAR(line->place[i] - own->place[i], k.wanted[0].squares.miss[i], 1e-12);
    // Nearer to the wippen centre: the key pushes with a longer arm, so the ratio grows.
    const double ratio = line->measures[i][study::kDistanceRatio] - own->measures[i][study::kDistanceRatio];
    if (std::abs(k.wanted[0].squares.miss[i]) > 0.1e-3) {
      EXPECT_LT(ratio * k.wanted[0].squares.miss[i], 0) << note;
    }
  }
}

TEST(KeyboardStudy, LeadsBringTheWantedBalanceWeight) {
  const Keyboard& k = demo();
  const Course *line = k.find(CourseKind::kNearestLine), *leaded = k.find(CourseKind::kLeads);
  for (const int note : k.notes) {
    const auto i = static_cast<std::size_t>(note - 1);
    const LeadPlan& plan = k.leads[i].plans[0];
    EXPECT_TRUE(plan.found) << note;
    EXPECT_NEAR(leaded->measures[i][study::kBalanceWeight], 37 * kGf, 0.35 * kGf) << note;
    // Lead changes down and up weight alike.
    const double down = leaded->measures[i][study::kDownWeight] - line->measures[i][study::kDownWeight],
                 up = leaded->measures[i][study::kUpWeight] - line->measures[i][study::kUpWeight];
    EXPECT_NEAR(down, up, 0.25 * kGf) << note;
  }
}

// Question 7: the same front weight by few leads far out and by more near the balance rail. The model's own
// reflected mass differs by the leads' inertia over the square of the front length.
TEST(KeyboardStudy, ReflectedMassGoesWithTheSquareOfTheLeadsPlace) {
  const Keyboard& k = demo();
  const int note = 70;
  const std::size_t i = note - 1;
  const LeadPlan &few_far = k.leads[i].plans[2], &near = k.leads[i].plans[1];
  ASSERT_GT(few_far.inertia, near.inertia);
  double reflected[2] = {}, balance[2] = {};
  int n = 0;
  for (const LeadPlan* plan : {&few_far, &near}) {
    auto d = describe_note(demo_case(), k.input, k.carried, note);
    const study::SetUpSolver solver(d);
    d.leads.clear();
    for (const auto& lead : plan->leads) d.leads.push_back({lead.mass, lead.distance, 0, 0, {}});
    d.quantities.at("measured.front_weight").value = k.leads[i].bare_front_weight + plan->front_weight;
    const auto m = solver.measure(d, 0, {});
    reflected[n] = m[study::kReflectedMass];
    balance[n++] = m[study::kBalanceWeight];
  }
  EXPECT_NEAR(reflected[0] - reflected[1], few_far.reflected - near.reflected, 0.02 * few_far.reflected);
  EXPECT_NEAR(balance[0], balance[1], 0.25 * kGf) << "the same to the scale";
}

TEST(KeyboardStudy, SpringsHelpWithoutMass) {
  const Keyboard& k = demo();
  const Course *leaded = k.find(CourseKind::kLeads), *sprung = k.find(CourseKind::kSprings);
  for (const int note : {41, 70, 88}) {
    const auto i = static_cast<std::size_t>(note - 1);
    EXPECT_NEAR(k.leads[i].spring, k.leads[i].wanted_front_weight - k.leads[i].bare_front_weight, 1e-12);
    // As much less inertia as the leads had.
    EXPECT_NEAR(leaded->measures[i][study::kReflectedMass] - sprung->measures[i][study::kReflectedMass],
                k.leads[i].plans[0].reflected, 0.02 * k.leads[i].plans[0].reflected + 2e-5)
        << note;
    EXPECT_NEAR(sprung->measures[i][study::kDownWeight], leaded->measures[i][study::kDownWeight], 0.6 * kGf)
        << note;
  }
}

TEST(KeyboardStudy, AnyNumberOfThreadsGivesTheSameBits) {
  KeyboardCase input = read_keyboard(demo_case());
  KeyboardOptions one = few({14, 64}), many = few({14, 64});
  one.threads = 1;
  many.threads = 2;
  input.wishes = {CapstanWish::kHeelMiddle};
  input.has_leads = false;
  const Keyboard a = study_keyboard(demo_case(), input, one), b = study_keyboard(demo_case(), input, many);
  ASSERT_EQ(a.courses.size(), b.courses.size());
  // The lifting face goes from 59 to 69 mm.
  EXPECT_NEAR(a.wanted[0].worst.worst, 0, 1e-12);
  EXPECT_NEAR(a.wanted[0].squares.place[20], 64e-3, 1e-9);
  for (std::size_t c = 0; c < a.courses.size(); ++c)
    for (const int note : a.notes)
      EXPECT_EQ(a.courses[c].measures[static_cast<std::size_t>(note - 1)][study::kDownWeight],
                b.courses[c].measures[static_cast<std::size_t>(note - 1)][study::kDownWeight]);
}

TEST(KeyboardStudy, StoppedKeepsWhatIsFinished) {
  const KeyboardCase input = read_keyboard(demo_case());
  KeyboardOptions o = few({14, 40, 64});
  o.threads = 1;
  int told = 0;
  o.progress = [&](const std::string&, double) { return ++told < 2; };
  const Keyboard k = study_keyboard(demo_case(), input, o);
  EXPECT_FALSE(k.complete);
  ASSERT_EQ(k.courses.size(), 1u);
  int there = 0;
  for (const int note : k.notes)
    there += std::isfinite(k.courses[0].measures[static_cast<std::size_t>(note - 1)][study::kDownWeight]);
  EXPECT_EQ(there, 2);
}

}  // namespace
}  // namespace leverwright::keyboard
