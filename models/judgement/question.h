// What a judgement is asked: how the action stands, what is wanted of it, and what each move would change.
// Plain numbers in the units a person reads; nothing here knows a mechanism or a file.
//
// Doubt. Every value is v + sum_i c_i z_i, z_i independent standard normals, one for each uncertain input
// ("doubt"), the same z_i in the base and in every move: what two set-ups have in common cancels where they
// are compared, as it does at the bench.
#pragma once
#include <limits>
#include <string>
#include <vector>

namespace leverwright::judgement {

inline constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();

// The distance of x from what is wanted is max(low - x, 0, x - high). A target the user set has low = high,
// but for friction, where less is never wrong. Without one the usual range says only what lies outside it.
struct Wanted {
  double low = -std::numeric_limits<double>::infinity();
  double high = std::numeric_limits<double>::infinity();
  bool own = false;  // set by the user
  double distance(double x) const { return x < low ? low - x : x > high ? x - high : 0; }
};

struct Measure {
  std::string key, name, unit;
  int decimals = 1;
  double noticeable = 0;  // what a finger or a scale can tell apart, in `unit`; 0: shown, not judged
  Wanted wanted;
  bool is_friction = false;  // the one that decides whether friction comes first
  bool is_margin = false;    // what is left of cap or face
};

struct Doubtful {
  double value = kUnknown;
  std::vector<double> per_doubt;  // c_i; shorter than the list of doubts: the rest is zero
};

// How a move can be taken back.
inline constexpr int kUndoneInMinutes = 1, kUndoneWithWork = 2, kNotReversible = 3;

struct Move {
  std::string name;
  int undone = kUndoneInMinutes;
  bool friction_only = false;  // eases friction and touches nothing else
  double hours = 0;            // middle of the labour, for choosing between moves alike
  std::string fails;           // why it does not regulate; empty: it does
  std::string unset;           // back check or repetition spring that cannot be set as asked; empty: both can
  std::string over_limit;      // a limit of the user's it breaks; empty: none
  double invented_share = 0;   // of the variance of its changes: from values nobody measured
  std::vector<Doubtful> change;  // of each measure against the base
};

struct Note {
  std::string name;
  bool sharp = false;
  std::string fails;           // why the base does not regulate; empty: it does
  std::vector<Doubtful> base;  // each measure
  std::vector<Move> moves;     // the same moves in the same order on every note
};

struct Question {
  std::vector<Measure> measures;
  std::vector<std::string> doubts;  // "NAME; HOW": the uncertain inputs, and what a bench does about each
  std::vector<bool> ungauged;       // of each: a friction nobody has measured and a gauge tells; shorter: no
  std::vector<Note> notes;
  bool with_odds = true;      // false: uncertainties were not worked out
  bool weighed = false;       // down and up weight were read on the action and leaned on
  bool margin_asked = false;  // the user wants a move that leaves less than half a millimetre of cap or face
  int invented_values = 0;    // of the case, from invented or borrowed parts
};

}  // namespace leverwright::judgement
