// What a remedy's words for the person at the bench are made from: the change as asked for, the action before
// and after, and for the work order what was regulated and weighed.
//
// Places on a key count from the balance hole along the key's top; places on a wippen from its centre, level,
// wippen at rest.
#pragma once
#include <string>
#include <vector>

#include "models/action/design.h"
#include "models/case_file/remedy.h"

namespace leverwright::remedies {

using action::ActionDesign;

inline constexpr double kSquareLeg = 25e-3;  // a square's tongue along a capstan is read over this length, m
inline constexpr const char* kFromCentre = "from the wippen centre, level, wippen at rest";

struct Hand {
  const case_file::Change& c;
  const ActionDesign &base, &changed;

  bool has(const char* amount) const { return c.has(amount); }
  double value(const char* amount) const { return c.amount_or(amount, 0); }
  std::string word(const char* argument) const { return c.word(argument); }
  // "hammer_centre" -> "hammer centre"
  std::string plain(const char* argument) const;
  // Without its sign: "3.0 mm", "1.5 gf".
  std::string mm_words(const char* amount, int decimals = 1) const;
  std::string gf_words(const char* amount) const;
  // The direction as the case gives it, or the other one where a sought amount came out negative.
  std::string way(const char* amount) const;
};

// "12.0 mm behind the balance hole"; metres, positive towards the player.
std::string on_key(double distance);

struct Mark {        // something to measure or to mark out
  std::string what;  // "new hole, middle"
  double value = 0;  // in `unit`
  std::string unit;  // "mm"
  int decimals = 1;
  std::string from;      // "behind the balance hole, along the key's top"
  double tolerance = 0;  // in `unit`; 0: none asked
  bool critical = true;  // false: the tolerance is only where looking further stopped
  std::string because;   // "0.42 mm moves the down weight by 1 gf"
};

struct Exactness {       // how exactly one amount of a change has to come out
  std::string argument;  // "distance"; a key path for a part's own values
  case_file::Dimension dimension = case_file::Dimension::kLength;
  double value = 0;        // as the case asks, SI
  double scatter = 0;      // one standard deviation the case gives it, SI
  double tolerance = 0;    // SI, rounded down to two digits
  bool critical = true;    // false: more would still be allowed
  std::string decided_by;  // "down weight"; empty when nothing could be found out
  std::string why_not;     // the amount can not be moved at all: what fails then
};

struct Outcome {  // of the set-up, regulated and weighed; SI
  double capstan_turned = 0, friction = 0, balance_weight = 0, key_height_change = 0;
};

// A remedy writes its marks, steps and tools into it.
struct Work : Hand {
  Work(const Hand& hand, const Outcome& outcome, std::vector<const Exactness*> asked,
       const case_file::Quantity* capstan_hole)
      : Hand(hand), found(outcome), exactness(std::move(asked)), hole(capstan_hole) {}

  void step(const std::string& words) { steps.push_back(words); }
  // A step that cannot be taken back.
  void cut(const std::string& words) {
    no_way_back.push_back(steps.size());
    step(words);
  }
  void tool(const std::string& words) { tools.push_back(words); }
  // A mark in `unit`, the amount in SI. `argument`: the amount its tolerance is that of; "" none.
  void mark(const std::string& what, double amount_si, const std::string& unit, int decimals,
            const std::string& from, const std::string& argument = "");
  void mm(const std::string& what, double metres, const std::string& from, const std::string& argument = "",
          int decimals = 1) {
    mark(what, metres, "mm", decimals, from, argument);
  }
  void mark_friction_to_aim_for();
  void mark_balance_weight();
  // Of a bought part or cloth: its amounts by how exactly each has to be met, the tightest first; what is wrong
  // with one shows first in the answers.
  void mark_bought_amounts();

  const Outcome found;
  const std::vector<const Exactness*> exactness;  // of this change
  const case_file::Quantity* const
      hole;  // diameter of the capstan's hole; nullptr where the case does not say
  std::vector<Mark> marks;
  std::vector<std::string> steps, tools;
  std::vector<std::size_t> no_way_back;  // steps after which the old state cannot be had again, from 0

 private:
  const Exactness* find(const std::string& argument) const;
};

// "wippen.jack_centre_x" -> "wippen: jack centre x"
std::string plain_key(std::string key);

// Unit of a mark of this dimension ("mm", "gf at 23 mm", "" for numbers), and the SI value of one.
std::string mark_unit_of(case_file::Dimension dimension);
double mark_unit_in_si(const std::string& unit);

}  // namespace leverwright::remedies
