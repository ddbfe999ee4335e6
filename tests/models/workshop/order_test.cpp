// Work orders: marks and steps for every kind of change, tolerances held against the model itself, and
// predictions held against those of the check afterwards.
#include "models/workshop/order.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "models/remedies/all.h"
#include "models/remedies/read_case.h"
#include "models/workshop/accuracy.h"
#include "sim/base/error.h"
#include "sim/base/units.h"
#include "tests/support/read_text.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::workshop {
namespace {

using case_file::CaseDescription;

// The demo with other set-ups.
CaseDescription with_set_ups(const std::string& set_ups) {
  std::string text = support::read_text("cases/missed_heel/case.toml");
  text = text.substr(0, text.find("[[set_up]]")) + "[[set_up]]\nname = \"as found\"\n" + set_ups;
  const support::ScratchFolder folder;
  return remedies::read_case(folder.write("case.toml", text));
}

std::string set_up(const std::string& name, const std::vector<std::pair<std::string, std::string>>& changes) {
  std::string out = "[[set_up]]\nname = \"" + name + "\"\n";
  for (const auto& [kind, arguments] : changes)
    out += "[[set_up.change]]\nkind = \"" + kind + "\"\n" + arguments + "\n";
  return out;
}

const std::map<std::string, std::string>& every_kind() {
  static const std::map<std::string, std::string> table = {
      {"part", "slot = \"wippen\"\nid = \"wippen_original\""},
      {"material", "place = \"capstan_heel\"\nid = \"heel_cloth_worn\""},
      {"set value", "key = \"measured.spread\"\nvalue = \"113 mm\""},
      {"heel re-covered", "id = \"heel_cloth_firm\"\nthickness = \"2 mm\""},
      {"knuckle", "hanging_distance = \"17 mm\"\ndiameter = \"9.5 mm\""},
      {"cap", "shape = \"domed\"\ndiameter = \"9 mm\"\nheight = \"0.5 mm\"\nmass = \"5 g\""},
      {"friction", "pivot = \"hammer_centre\"\ntorque = \"2.5 gf at 23 mm\""},
      {"hammer weight", "amount = \"-0.6 gf\""},
      {"lead", "mass = \"8 g\"\ndistance = \"150 mm\"\naction = \"add\""},
      {"assist spring", "strength = \"5 gf\""},
      {"spread shim", "thickness = \"0.5 mm\"\nrail = \"hammer rail\"\ndirection = \"wider\""},
      {"balance punching halved", "shift = \"3 mm\"\ndirection = \"toward the player\""},
      {"balance punching shimmed", "thickness = \"0.3 mm\"\nunder = \"the player's half\""},
      {"capstan moved", "distance = \"3 mm +- 0.2 mm\"\ndirection = \"toward the balance rail\""},
      {"capstan lean", "angle = \"-4 deg\""},
      {"heel re-glued", "shift = \"3 mm\"\ndirection = \"toward the strings\"\nshim = \"0.5 mm\""},
      {"heel bolstered", "thickness = \"0.8 mm\""},
      {"heel build-up", "height = \"0.7 mm\"\nlength = \"5 mm\"\ncentre = \"61 mm\""}};
  return table;
}

// Regulated at rest alone: enough for marks.
study::SetUpResult solved(const CaseDescription& d, std::size_t index) {
  study::SetUpResult out;
  out.name = d.set_ups[index].name;
  const study::SetUpSolver solver(d);
  const auto start = search::find_trial_start(solver, d);
  const auto t = search::try_set_up(solver, d, d.set_ups[index], start);
  EXPECT_TRUE(t.ok) << out.name << ": " << t.why;
  out.design = t.design;
  out.regulated = t.regulated;
  for (std::size_t k = 0; k < study::kMeasureCount; ++k) out.measures[k] = t.numbers[k];
  return out;
}

const OrderMark* find_mark(const OrderTask& task, const std::string& what) {
  for (const OrderMark& m : task.marks)
    if (m.what == what) return &m;
  ADD_FAILURE() << task.kind << " has no mark \"" << what << "\"";
  return nullptr;
}

TEST(Order, EveryKindOfChangeHasStepsWithNumbers) {
  std::string text;
  for (const auto& [kind, arguments] : every_kind()) text += set_up(kind, {{kind, arguments}});
  const auto d = with_set_ups(text);
  const auto base = solved(d, 0);
  for (const auto* remedy : remedies::all())
    EXPECT_TRUE(every_kind().count(remedy->row.kind)) << "no order is tried for " << remedy->row.kind;
  for (std::size_t s = 1; s < d.set_ups.size(); ++s) {
    // No tolerances here, they are another test's: a part's marks come from them.
    std::vector<Tolerance> some;
    if (d.set_ups[s].name == "part") {
      Tolerance t;
      t.argument = "wippen.jack_centre_x";
      t.value = d.set_ups[s].changes[0].quantities.at(t.argument).value;
      t.tolerance = t.scatter = 0.5e-3;
      some.push_back(t);
    }
    const auto tasks = list_tasks(d.set_ups[s], base, solved(d, s), some);
    ASSERT_EQ(tasks.size(), 1u);
    const OrderTask& task = tasks.front();
    EXPECT_EQ(task.kind, d.set_ups[s].name);
    EXPECT_GE(task.steps.size(), 2u) << task.kind;
    EXPECT_GE(task.marks.size(), 1u) << task.kind;
    EXPECT_GE(task.tools.size(), 1u) << task.kind;
    ASSERT_NE(task.spec, nullptr);
    EXPECT_EQ(task.irreversible(), task.spec->reversible == "no");
    EXPECT_EQ(task.no_way_back.empty(), !task.irreversible()) << task.kind << ": which step is it?";
    for (const std::size_t step : task.no_way_back) EXPECT_LT(step, task.steps.size());
    for (const OrderMark& m : task.marks) {
      EXPECT_TRUE(std::isfinite(m.value)) << task.kind << ": " << m.what;
      EXPECT_FALSE(m.from.empty()) << task.kind << ": " << m.what;
    }
  }
}

// Marks against arithmetic done by hand on the case's own numbers.
TEST(Order, MarksAreWhereTheArithmeticSays) {
  const auto d = with_set_ups(set_up("moved", {{"capstan moved", every_kind().at("capstan moved")}}) +
                              set_up("leaned", {{"capstan lean", every_kind().at("capstan lean")}}) +
                              set_up("strip", {{"heel build-up", every_kind().at("heel build-up")}}) +
                              set_up("glued", {{"heel re-glued", every_kind().at("heel re-glued")}}) +
                              set_up("lead", {{"lead", every_kind().at("lead")}}) +
                              set_up("light", {{"hammer weight", every_kind().at("hammer weight")}}));
  const auto base = solved(d, 0);
  const auto task = [&](std::size_t s) { return list_tasks(d.set_ups[s], base, solved(d, s), {}).front(); };
  const auto value = [&](const OrderTask& t, const std::string& what) {
    const OrderMark* m = find_mark(t, what);
    return m == nullptr ? std::nan("") : m->value;
  };
  const auto moved = task(1);
  EXPECT_NEAR(value(moved, "new hole, middle"), value(moved, "old hole, middle") - 3, 1e-9);
  EXPECT_NEAR(value(moved, "old hole, middle"), std::sqrt(131.9 * 131.9 - 45 * 45), 0.2)
      << "an upright capstan";
  EXPECT_TRUE(moved.irreversible());
  // Leaned 4 deg toward the player about its cap: the hole goes the other way by height times tan 4 deg.
  const auto leaned = task(2);
  const double above = 1e3 * (base.design.cap_apex.y() - base.design.key_height);
  EXPECT_NEAR(value(leaned, "hole where it enters the key's top") - value(leaned, "the same before"),
              above * std::tan(4 * base::kDegree), 1e-6);
  EXPECT_NEAR(value(leaned, "the same on a square"), 25 * std::tan(4 * base::kDegree), 1e-9);
  const auto strip = task(3);
  EXPECT_NEAR(value(strip, "strip, near end"), 58.5, 1e-9);
  EXPECT_NEAR(value(strip, "strip, far end"), 63.5, 1e-9);
  EXPECT_NEAR(value(strip, "strip's middle from the face's near end"), 61 - 59, 1e-9)
      << "lifting face from 59 mm";
  const auto glued = task(4);
  EXPECT_NEAR(value(glued, "lifting face then, near end"), 59 - 3, 1e-9);
  EXPECT_NEAR(value(glued, "heel's surface then") - value(glued, "heel's surface before"), 0.5, 1e-6);
  const auto lead = task(5);
  EXPECT_NEAR(value(lead, "front weight then") - value(lead, "front weight before"), 8 * 150 / 246.0, 1e-6);
  // 8 g in 17 mm of width: a hole of 7.27 mm.
  EXPECT_NEAR(value(lead, "hole, if the slug is as long as the key is wide"),
              std::sqrt(4 * 8 / (base::kPi * 11.34e-3 * 17)), 1e-6);
  EXPECT_NEAR(value(task(6), "strike weight then"), 9.6 - 0.6, 1e-9);
}

TEST(Order, TheDrillIsThatOfTheOldHoleWhereTheCaseSaysIt) {
  const auto d = with_set_ups(set_up("moved", {{"capstan moved", every_kind().at("capstan moved")}}) +
                              set_up("leaned", {{"capstan lean", every_kind().at("capstan lean")}}));
  const auto base = solved(d, 0);
  const auto with_hole = remedies::read_case("cases/work_order/case.toml");
  ASSERT_EQ(find_capstan_hole(d), nullptr);
  const case_file::Quantity* hole = find_capstan_hole(with_hole);
  ASSERT_NE(hole, nullptr);
  const auto says = [](const OrderTask& t, const std::string& words) {
    return std::any_of(t.steps.begin(), t.steps.end(),
                       [&](const std::string& s) { return s.find(words) != std::string::npos; });
  };
  for (const std::size_t s : {1u, 2u}) {
    const OrderTask drilled = list_tasks(d.set_ups[s], base, solved(d, s), {}, hole).front();
    const OrderMark* drill = find_mark(drilled, "drill");
    ASSERT_NE(drill, nullptr);
    EXPECT_NEAR(drill->value, 4.5, 1e-9);
    EXPECT_NEAR(drill->tolerance, 0.1, 1e-9);
    const OrderTask plain = list_tasks(d.set_ups[s], base, solved(d, s), {}).front();
    EXPECT_EQ(plain.marks.size() + 1, drilled.marks.size());
    EXPECT_TRUE(s == 2 || says(drilled, "4.5 mm wide, to the old hole's depth"));
    EXPECT_TRUE(s == 2 || says(plain, "to the old hole's diameter and depth"));
  }
}

TEST(Order, ChangesThatCombineAreTakenInTheOrderOfTheWork) {
  const auto d =
      with_set_ups(set_up("both", {{"heel build-up", every_kind().at("heel build-up")},
                                   {"capstan moved", every_kind().at("capstan moved")},
                                   {"lead", "mass = \"14 g\"\ndistance = \"150 mm\"\naction = \"remove\""}}));
  const auto tasks = list_tasks(d.set_ups[1], solved(d, 0), solved(d, 1), {});
  ASSERT_EQ(tasks.size(), 3u);
  EXPECT_EQ(tasks[0].kind, "lead");
  EXPECT_EQ(tasks[1].kind, "capstan moved");
  EXPECT_EQ(tasks[2].kind, "heel build-up")
      << "a strip's place is measured after every other work on the heel";
}

// The tolerance is what it says: at its ends no answer has moved by more than allowed, and twice as far one
// has.
TEST(Tolerances, HoldAgainstTheModelItself) {
  const auto d = with_set_ups(set_up("moved", {{"capstan moved", every_kind().at("capstan moved")}}));
  const Allowed allowed;
  const auto found = find_tolerances(d, 1, allowed);
  ASSERT_EQ(found.size(), 2u) << "distance and lean; the plug's wood is an estimate";
  const study::SetUpSolver solver(d);
  const auto start = search::find_trial_start(solver, d);
  const auto as_asked = search::try_set_up(solver, d, d.set_ups[1], start);
  for (const Tolerance& t : found) {
    ASSERT_TRUE(t.why_not.empty()) << t.why_not;
    const auto worst_at = [&](double shift) {
      auto moved = d.set_ups[1];
      moved.changes[0].quantities.at(t.argument).value += shift;
      const auto trial = search::try_set_up(solver, d, moved, start);
      const auto share = [&](std::size_t k, double limit) {
        return std::abs(trial.numbers[k] - as_asked.numbers[k]) / limit;
      };
      return std::max({share(study::kDownWeight, allowed.down_weight),
                       share(study::kFriction, allowed.friction), share(study::kAftertouch, allowed.length)});
    };
    EXPECT_TRUE(t.critical);
    for (const double side : {-1.0, 1.0}) EXPECT_LE(worst_at(side * t.tolerance), kOver) << t.argument;
    EXPECT_GT(std::max(worst_at(-2 * t.tolerance), worst_at(2 * t.tolerance)), 1.3) << t.argument;
  }
  // Twice as much allowed, about twice as far.
  Allowed more;
  more.down_weight *= 2;
  more.friction *= 2;
  more.length *= 2;
  const auto wide = find_tolerances(d, 1, more);
  EXPECT_NEAR(wide[0].tolerance / found[0].tolerance, 2, 0.5);
}

TEST(Tolerances, RoundedDownToTwoDigits) {
  EXPECT_DOUBLE_EQ(two_digits_down(0.6789), 0.67);
  EXPECT_DOUBLE_EQ(two_digits_down(1.2e-3), 1.2e-3);
  EXPECT_DOUBLE_EQ(two_digits_down(0.0299e-3), 0.029e-3);
  EXPECT_DOUBLE_EQ(round_down(0.49), 0.2);
  EXPECT_DOUBLE_EQ(round_down(0.5), 0.5);
}

// Predictions of the order are those of the check afterwards, and the blank file is one it reads.
TEST(Order, PromisesWhatIsCheckedAfterwards) {
  auto d = remedies::read_case("cases/after_the_work/case.toml");
  // Where things stand, a weight and a friction are doubt enough: every one costs two regulations.
  for (auto& [key, q] : d.quantities)
    if (key != "friction.hammer_centre" && key != "measured.strike_weight" && key != "measured.spread" &&
        key.find("_height") == std::string::npos && key.find("heel_contact") == std::string::npos &&
        key.find("key_rear") == std::string::npos && key.find("balance_hole_to") == std::string::npos) {
      q.knowledge = case_file::Knowledge::kExact;
      q.sigma = 0;
    }
  d.point_lists.at("wippen.heel_profile").sigma = 0;
  const auto rows = calibrate::read_measurements("cases/after_the_work/measurements.csv", d);
  std::vector<calibrate::NoteRow> before, c4;
  for (const auto& row : rows) {
    if (row.note != "C4") continue;
    c4.push_back(row);
    if (row.set_up == 0) before.push_back(row);
  }
  const auto promised = expect_readings(d, before, {});
  const auto checked = calibrate::check_afterwards(d, c4);
  int compared = 0;
  for (const auto& c : checked.checked) {
    const auto& info = calibrate::info_of(c.reading.kind);
    for (const auto& e : promised) {
      if (e.name != info.name) continue;
      ++compared;
      EXPECT_NEAR(e.predicted, c.predicted * info.display_factor, 1e-6) << e.name;
      EXPECT_NEAR(e.band, 1.96 * c.sigma * info.display_factor, 0.02 * e.band + 1e-6) << e.name;
      if (e.name == std::string("down weight")) {
        EXPECT_DOUBLE_EQ(e.before, 53.0);
      }
    }
  }
  EXPECT_EQ(compared, 5);
  // Friction is half of the two: its band is no wider than theirs put together.
  const auto& down = promised[0];
  const auto& up = promised[1];
  const auto& friction = promised[2];
  EXPECT_NEAR(friction.predicted, 0.5 * (down.predicted - up.predicted), 1e-9);
  EXPECT_LE(friction.band, 0.5 * (down.band + up.band) + 1e-9);
  EXPECT_GE(friction.band, 0.5 * std::abs(down.band - up.band) - 1e-9);
  EXPECT_LT(promised[0].low, promised[0].predicted - promised[0].band)
      << "the reading's own error comes on top";

  const support::ScratchFolder folder;
  const auto back = calibrate::read_measurements(folder.write("after.csv", write_after_file(d, before)), d);
  ASSERT_EQ(back.size(), 2u);
  EXPECT_EQ(back[0].readings.size(), before[0].readings.size());
  EXPECT_EQ(back[0].readings[0].value, before[0].readings[0].value);
  EXPECT_TRUE(back[1].readings.empty());
  EXPECT_EQ(back[1].set_up, 1u);
  EXPECT_EQ(back[1].own.at("measured.strike_weight").value, before[0].own.at("measured.strike_weight").value);
}

TEST(Order, RefusesWhatNobodyShouldDrillFor) {
  const auto base_alone = with_set_ups("");
  EXPECT_THROW(write_order(base_alone, {}), base::UserError);
  auto d = with_set_ups(
      set_up("far", {{"capstan moved", "distance = \"19 mm\"\ndirection = \"toward the strings\""}}));
  try {
    write_order(d, {});
    ADD_FAILURE() << "an order for a set-up that does not regulate";
  } catch (const base::UserError& e) {
    EXPECT_NE(std::string(e.what()).find("case.toml:"), std::string::npos) << e.what();
  }
}

// Invented effects: which input is asked for, how finely, and which is left to calibration.
TEST(Accuracy, FollowsTheShares) {
  study::Comparison c;
  c.set_ups.resize(2);
  c.set_ups[0].name = "as found";
  c.set_ups[1].name = "moved";
  const auto add = [&](const std::string& key, double sigma, double effect_gf) {
    study::Input in;
    in.key = in.name = key;
    in.sigma = sigma;
    c.inputs.push_back(in);
    study::Measures none{}, some{};
    some[study::kDownWeight] = effect_gf * base::kGramForce;
    c.effects.change.resize(2);
    c.effects.change[0].push_back(none);
    c.effects.change[1].push_back(some);
  };
  add("measured.spread", 0.25e-3, 3);
  add("measured.bore", 0.5e-3, 0.1);
  add("contact.capstan_heel.friction", 0.05, 4);
  c.set_ups[1].results[study::kDownWeight].difference = 1 * base::kGramForce;
  c.set_ups[1].results[study::kDownWeight].sigma_difference = 5 * base::kGramForce;
  const auto plan = plan_accuracy(c);
  ASSERT_TRUE(plan.worked_out);
  const auto& spread = plan.by_key.at("measured.spread");
  EXPECT_NEAR(spread.share, 9 / 25.01, 1e-9);
  EXPECT_TRUE(spread.most);
  // 1.5 gf shared by the two that matter: 1.06 gf for the spread, which brings 3 gf at 0.25 mm.
  EXPECT_NEAR(spread.accuracy, 0.25e-3 * 1.5 / std::sqrt(2.0) / 3, 1e-9);
  EXPECT_TRUE(spread.finer);
  EXPECT_EQ(plan.by_key.count("measured.bore"), 0u);
  ASSERT_EQ(plan.not_on_the_sheet.size(), 1u);
  EXPECT_NE(plan.not_on_the_sheet[0].find("64 %"), std::string::npos) << plan.not_on_the_sheet[0];
  EXPECT_FALSE(plan_accuracy({}).worked_out);
}

}  // namespace
}  // namespace leverwright::workshop
