// What DEVELOPERS.md promises of a new remedy: one file, and it is read from a case, worked out, contradicted,
// warned of, compared and ordered. Here the file is this one, and the remedy a brass clip on the key's front.
#include <gtest/gtest.h>

#include <set>

#include "models/case_file/read_case.h"
#include "models/remedies/all.h"
#include "models/remedies/masses.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"
#include "models/study/remedies.h"
#include "models/workshop/order.h"
#include "sim/base/error.h"
#include "sim/base/units.h"
#include "tests/support/read_text.h"
#include "tests/support/scratch_folder.h"
#include "viz/table/cautions.h"
#include "viz/table/write_json.h"

namespace leverwright::remedies {
namespace {

constexpr double kGf = base::kGramForce;

RemedyRow its_row() {
  using namespace case_file::rows;
  return {"key clip",
          95,
          "a clip of brass on the key's front end",
          "static balance and inertia of the key",
          {},
          "yes",
          kUndoneInMinutes,
          {"note", 1, 2},
          "it may rattle",
          {"drilling"},
          {amount("mass", mass, "0.1 g", "0.5 to 10 g", "mass of the clip"),
           amount("distance", length, "0.5 mm", "100 to 260 mm", "from the balance hole to the player")}};
}

class KeyClip final : public Remedy {
 public:
  KeyClip() : Remedy(its_row()) {}
  std::vector<Claim> claims(const Change&) const override { return {{"clip", "the clip"}}; }
  void alter(const Change& c, ActionDesign& a) const override {
    add_mass(a.masses[0], c.amount("mass"), base::Vec2(-c.amount("distance"), a.key_height));
    weigh_front(a);
  }
  std::string hand(const Hand& h) const override { return "clip on, " + on_key(h.value("distance")); }
  void fill(Work& m) const override {
    m.mark("clip", m.value("mass"), "g", 1, "on the scale", "mass");
    m.step("Slide the clip on to the mark.");
    m.tool("scale");
  }
};

case_file::CaseDescription read(const std::string& set_ups, const case_file::RemedyList& list) {
  std::string text = support::read_text("cases/missed_heel/case.toml");
  text = text.substr(0, text.find("[[set_up]]")) +
         "[[set_up]]\nname = \"as found\"\n[[set_up]]\nname = \"clipped\"\n" + set_ups;
  const support::ScratchFolder folder;
  return case_file::read_case(folder.write("case.toml", text), list);
}

const std::string kClip = "[[set_up.change]]\nkind = \"key clip\"\nmass = \"4 g\"\ndistance = \"180 mm\"\n";

TEST(AddedRemedy, IsReadComparedWarnedOfAndOrdered) {
  const KeyClip clip;
  case_file::RemedyList list = all();
  EXPECT_THROW(read(kClip, list), base::UserError) << "nobody knows it yet";
  list.push_back(&clip);
  const auto d = read(kClip, list);
  ASSERT_EQ(d.set_ups[1].changes.size(), 1u);
  EXPECT_EQ(d.set_ups[1].changes[0].remedy, &clip);
  EXPECT_EQ(d.set_ups[1].changes[0].quantities.at("mass").sigma, 0.1e-3);

  study::CompareOptions options;
  options.uncertainty = false;
  const study::Comparison c = study::compare(d, options);
  ASSERT_EQ(c.set_ups.size(), 2u);
  ASSERT_TRUE(c.set_ups[1].weighing.ok) << c.set_ups[1].weighing.failure;
  // Balance by hand: 4 g at 180 mm over the front length, and no more than that.
  const double less = 4 * 180e-3 / d.value("measured.key_front_length") * kGf;
  const auto balance = [&](std::size_t s) { return c.set_ups[s].measures[study::kBalanceWeight]; };
  EXPECT_NEAR((balance(0) - balance(1)) / kGf, less / kGf, 0.02);
  const std::string json = table::write_json(d, c, "complete");
  for (const char* words : {"key clip", "180.0 mm in front of the balance hole", "Clamp the key"})
    EXPECT_NE(json.find(words), std::string::npos) << words;

  const auto tasks = workshop::list_tasks(d.set_ups[1], c.set_ups[0], c.set_ups[1], {});
  ASSERT_EQ(tasks.size(), 1u);
  EXPECT_EQ(tasks[0].kind, "key clip");
  ASSERT_EQ(tasks[0].marks.size(), 1u);
  EXPECT_NEAR(tasks[0].marks[0].value, 4, 1e-12);
  EXPECT_EQ(tasks[0].steps.size(), 1u);
  std::set<std::string> cautions;
  for (const auto& caution : table::find_cautions({&clip})) cautions.insert(caution.about);
  EXPECT_EQ(cautions.count("drilling"), 1u);
}

TEST(AddedRemedy, IsContradictedLikeAnyOther) {
  const KeyClip clip;
  case_file::RemedyList list = all();
  list.push_back(&clip);
  try {
    read(kClip + kClip, list);
    FAIL() << "two clips on one key";
  } catch (const base::UserError& error) {
    EXPECT_NE(base::write_problems(error.problems()).find("both decide the clip"), std::string::npos);
  }
}

TEST(Remedies, EachHasAPlaceOfItsOwnInTheOrderOfTheWork) {
  std::set<int> orders;
  std::set<std::string> kinds;
  for (const Remedy* remedy : all()) {
    EXPECT_TRUE(orders.insert(remedy->row.order).second) << remedy->row.kind;
    EXPECT_TRUE(kinds.insert(remedy->row.kind).second) << remedy->row.kind;
    EXPECT_EQ(find(remedy->row.kind), remedy);
  }
  EXPECT_EQ(orders.size(), all().size());
}

// Neither the reader nor what comes after it asks a remedy for its name to know what it is.
TEST(Remedies, NoKindIsNamedOutsideItsFile) {
  for (const char* file :
       {"models/case_file/read_set_ups.cpp", "models/case_file/remedy.cpp", "models/case_file/check_case.cpp",
        "models/action/design.cpp", "models/study/remedies.cpp", "models/study/inputs.cpp",
        "models/search/parts.cpp", "models/workshop/order.cpp", "models/workshop/tolerance.cpp",
        "models/keyboard/note_case.cpp", "viz/table/cautions.cpp", "viz/sheets/order_drawing.cpp"}) {
    const std::string text = support::read_text(file);
    for (const Remedy* remedy : all()) {
      if (remedy->row.kind.find(' ') == std::string::npos)
        continue;  // "part", "cap": words of other meanings
      EXPECT_EQ(text.find("\"" + remedy->row.kind + "\""), std::string::npos)
          << file << ": " << remedy->row.kind;
    }
  }
}

}  // namespace
}  // namespace leverwright::remedies
