// Pianos whose frictions are not what the defaults expect, for the coverage of `keyboard` and `calibrate`.
//
// Each is the typical note (tests/validation/typical_note) on every key. Piano k: every friction of the case
// times one factor, even over 0.6 to 1.6, times 1 + 0.1 e for each friction of that piano, times 1 + 0.2 e for
// each friction of each note (jack and lever, on one leather, together). Heel cloth and knuckle leather are drawn
// over their ranges. Hammers fall along a line from 11 to 6 gf and scatter by 0.15, front weights from 34 to 2
// and scatter by 1. The rest of the geometry is exact on both sides: it is the frictions that are asked about,
// and so a piano costs a few seconds.
//
// Read on a sample note: down and up weight with an error of 1.2 gf, in whole gf, their usual 1.5 gf stated;
// strike and front weight with 0.1 gf, in tenths.
#pragma once
#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "models/calibrate/calibrate.h"
#include "models/calibrate/left_out.h"
#include "models/keyboard/bands.h"
#include "models/keyboard/keyboard.h"
#include "models/study/counter_random.h"
#include "sim/base/error.h"
#include "tests/validation/experiments/prior_draws.h"

namespace leverwright::validation {

inline constexpr double kShiftLow = 0.6, kShiftHigh = 1.6, kOfPiano = 0.1, kOfNote = 0.2;
inline constexpr double kGf = base::kGramForce;

inline bool ends_with(const std::string& text, const std::string& tail) {
  return text.size() > tail.size() && text.compare(text.size() - tail.size(), tail.size(), tail) == 0;
}

inline bool is_drag(const std::string& key) {
  return key.rfind("friction.", 0) == 0
             ? key.find("radius") == std::string::npos && key.find("viscous") == std::string::npos
             : ends_with(key, ".friction");
}

inline bool is_cloth(const std::string& key) {
  return key == "contact.capstan_heel.hysteresis" || key == "contact.capstan_heel.test_force" ||
         key == "contact.lever_knuckle.hysteresis" || key == "contact.capstan_heel.shear_share";
}

// The case as whoever studies such a piano has it: frictions and cloth as shipped, everything else exact.
inline case_file::CaseDescription shipped_case() {
  case_file::CaseDescription d = remedies::read_case("tests/validation/typical_note/case.toml");
  d.quantities.erase("measured.heel_contact_arm");  // nothing redundant: exact numbers would contradict it
  for (auto& [key, q] : d.quantities)
    if (!is_drag(key) && !is_cloth(key)) {
      q.sigma = 0;
      q.knowledge = case_file::Knowledge::kExact;
    }
  for (auto& [key, list] : d.point_lists) list.sigma = 0;
  for (auto& lead : d.leads) lead.sigma_mass = lead.sigma_distance = 0;
  calibrate::add_left_out(d);  // as whoever reads weights has it; in the pianos it is nothing
  return d;
}

class ShiftedPiano {
 public:
  ShiftedPiano(const case_file::CaseDescription& shipped, std::uint64_t seed, int number)
      : seed_(seed), number_(static_cast<std::uint64_t>(number)), shared_(shipped) {
    for (const study::Input& in : study::find_inputs(shipped))
      if (is_cloth(in.key)) shared_ = study::move_input(shared_, in, study::draw(in, "", seed, number_));
    factor_ = kShiftLow + (kShiftHigh - kShiftLow) * study::counter_uniform(seed, 900, number_);
    std::uint64_t stream = 1000;
    for (auto& [key, q] : shared_.quantities)
      if (is_drag(key)) q.value *= factor_ * std::max(0.3, 1 + kOfPiano * normal(stream++));
  }
  double factor() const { return factor_; }
  const case_file::CaseDescription& shared() const { return shared_; }

  // The note as it is.
  case_file::CaseDescription note(int n) const {
    case_file::CaseDescription d = shared_;
    std::uint64_t stream = 10000 + 200 * static_cast<std::uint64_t>(n);
    const double leather = normal(stream++);
    for (auto& [key, q] : d.quantities)
      if (is_drag(key)) {
        const double own = normal(stream++);
        q.value *= std::max(0.2, 1 + kOfNote * (key.find("_knuckle.") != std::string::npos ? leather : own));
      }
    const double along = (n - 1) / 87.0;
    d.quantities.at("measured.strike_weight").value = (11 - 5 * along + 0.15 * normal(stream++)) * kGf;
    d.quantities.at("measured.front_weight").value = (34 - 32 * along + normal(stream++)) * kGf;
    return d;
  }
  static study::Measures weigh(const case_file::CaseDescription& d) {
    return study::SetUpSolver(d).measure(d, 0, {});
  }
  const study::Measures& weigh(int n) const {
    if (weighed_.count(n) == 0) weighed_[n] = weigh(note(n));
    return weighed_.at(n);
  }
  // With an error of that size, in steps of that size; `which`: a number of its own for each reading.
  double read(double value, double error, double step, int n, int which) const {
    const double with_error = value + error * normal(50000 + 200 * static_cast<std::uint64_t>(n) +
                                                     static_cast<std::uint64_t>(which));
    return step * std::round(with_error / step);
  }

 private:
  double normal(std::uint64_t stream) const { return study::counter_normal(seed_, stream, number_); }
  std::uint64_t seed_, number_;
  case_file::CaseDescription shared_;
  double factor_ = 1;
  mutable std::map<int, study::Measures> weighed_;
};

// Three, four or five samples, and two notes that nobody weighed.
inline std::vector<int> sample_notes_of(int number) {
  switch (number % 3) {
    case 0:
      return {16, 45, 76};
    case 1:
      return {9, 33, 57, 80};
    default:
      return {4, 25, 45, 64, 85};
  }
}
inline constexpr int kUnweighed[] = {40, 70};

// Whether a band holds the truth, for one quantity.
struct Tally {
  int inside = 0, count = 0;
  double width = 0, off = 0;
  void add(double off_by, double sigma, double unit) {
    if (!std::isfinite(off_by) || !std::isfinite(sigma)) return;
    inside += std::abs(off_by) <= 1.96 * sigma;
    width += 2 * 1.96 * sigma / unit;
    off += std::abs(off_by) / unit;
    ++count;
  }
};

// The sheet of this piano's sample notes. Empty where one of them cannot be weighed.
inline std::optional<keyboard::KeyboardCase> read_sheet(const ShiftedPiano& piano,
                                                        const std::vector<int>& notes) {
  keyboard::KeyboardCase out;
  const auto column = [&](const char* key, const char* name, double scatter) {
    keyboard::SampleColumn c;
    c.key = key;
    c.name = name;
    c.law.degree = 1;
    c.law.scatter = scatter;
    out.columns.push_back(c);
  };
  column("measured.strike_weight", "strike weight", 0.15 * kGf);
  column("measured.front_weight", "front weight", 1 * kGf);
  column("measured.down_weight", "down weight", -1);
  column("measured.up_weight", "up weight", -1);
  for (const int n : notes) {
    const case_file::CaseDescription d = piano.note(n);
    const study::Measures& m = piano.weigh(n);
    if (!std::isfinite(m[study::kDownWeight])) return std::nullopt;
    const auto put = [&](std::size_t c, double value, double error, double step, double stated) {
      out.columns[c].samples.push_back({n, piano.read(value, error, step, n, static_cast<int>(c)), stated});
    };
    put(0, d.value("measured.strike_weight"), 0.1 * kGf, 0.1 * kGf, 0.1 * kGf);
    put(1, d.value("measured.front_weight"), 0.1 * kGf, 0.1 * kGf, 0.1 * kGf);
    put(2, m[study::kDownWeight], 1.2 * kGf, kGf, 1.5 * kGf);
    put(3, m[study::kUpWeight], 1.2 * kGf, kGf, 1.5 * kGf);
  }
  out.sampled = notes;
  return out;
}

inline constexpr std::pair<const char*, study::MeasureIndex> kWeights[] = {
    {"down weight", study::kDownWeight},
    {"up weight", study::kUpWeight},
    {"balance weight", study::kBalanceWeight},
    {"friction", study::kFriction}};

inline keyboard::Keyboard on_sheet(const keyboard::KeyboardCase& sheet) {
  keyboard::Keyboard k;
  k.input = sheet;
  k.carried = keyboard::carry_all(sheet);
  return k;
}

// What the inputs do hangs little on which piano it is: worked out once, on hammers and leads without scatter.
inline keyboard::Effects effects_of(const case_file::CaseDescription& shipped) {
  keyboard::KeyboardCase sheet;
  for (const char* key :
       {"measured.strike_weight", "measured.front_weight", "measured.down_weight", "measured.up_weight"}) {
    keyboard::SampleColumn c;
    c.key = c.name = key;
    c.law.degree = 1;
    const bool strike = c.key == "measured.strike_weight";
    for (const int n : {1, 45, 88})
      c.samples.push_back(
          {n, (strike ? 11 - 5 * (n - 1) / 87.0 : 34 - 32 * (n - 1) / 87.0) * kGf, 0.1 * kGf});
    sheet.columns.push_back(c);
  }
  sheet.sampled = {1, 45, 88};
  keyboard::Work work({}, 1);
  return *keyboard::Effects::find(shipped, on_sheet(sheet), work);
}

// `rows` by quantity; false where the piano cannot be weighed. `prior_only`: the shipped ranges alone. As
// keyboard::study_keyboard does it for the course "as found", but with effects worked out once.
inline bool add_keyboard(const case_file::CaseDescription& shipped, const keyboard::Effects& effects,
                         const ShiftedPiano& piano, int number, bool prior_only,
                         std::map<std::string, Tally>& rows) {
  const std::vector<int> notes = sample_notes_of(number);
  const auto sheet = read_sheet(piano, notes);
  if (!sheet) return false;
  const keyboard::Keyboard k = on_sheet(*sheet);
  const keyboard::Effects here = effects.on(shipped, k);
  keyboard::Work work({}, 1);
  const keyboard::Lean lean = keyboard::lean_on_samples(shipped, k, here, prior_only, work);
  if (!prior_only && !lean.leaned) return false;
  const keyboard::Bands bands = keyboard::find_bands(here, lean);
  for (const int n : {kUnweighed[0], notes[1], kUnweighed[1]}) {
    const study::Measures &truth = piano.weigh(n), told = ShiftedPiano::weigh(keyboard::describe_note(
                                                       lean.values, k.input, k.carried, n));
    const auto i = static_cast<std::size_t>(n - 1);
    const Eigen::Vector2d& own = lean.own[i].shift;
    const study::Measures shift = {own[0], own[1], 0.5 * (own[0] + own[1]), 0.5 * (own[0] - own[1])};
    const char* where = n == notes[1] ? ", on a note that was weighed" : "";
    for (const auto& [name, q] : kWeights)
      rows[name + std::string(where)].add(truth[q] - told[q] - shift[q], bands.total[i][q], kGf);
  }
  return true;
}

// `calibrate` on the first three of the notes, each with its hammer centre and its key gauged (0.5 and 1 gf).
inline std::vector<calibrate::NoteRow> read_rows(const case_file::CaseDescription& shipped,
                                                 const ShiftedPiano* piano) {
  std::vector<calibrate::NoteRow> out;
  const double gauge = 0.5 * kGf * 23e-3;
  for (const int n : {16, 45, 76}) {
    calibrate::NoteRow row;
    row.note = keyboard::note_name(n);
    const case_file::CaseDescription d = piano ? piano->note(n) : shipped;
    const study::Measures m = piano ? piano->weigh(n) : study::Measures{};
    const auto put = [&](calibrate::Kind kind, double value, double error, double step, double stated) {
      const double read = piano ? piano->read(value, error, step, n, 10 + static_cast<int>(kind)) : value;
      row.readings.push_back({kind, std::max(0.0, read), stated});
    };
    put(calibrate::Kind::kDownWeight, m[study::kDownWeight], 1.2 * kGf, kGf, 1.5 * kGf);
    put(calibrate::Kind::kUpWeight, m[study::kUpWeight], 1.2 * kGf, kGf, 1.5 * kGf);
    put(calibrate::Kind::kHammerCentre, d.value("friction.hammer_centre"), gauge, 0.5 * gauge, gauge);
    put(calibrate::Kind::kKeyFriction, d.value("friction.key_balance") + d.value("friction.key_front"), kGf,
        0.5 * kGf, kGf);
    for (const char* key : {"measured.strike_weight", "measured.front_weight"}) {
      case_file::Quantity q = shipped.quantities.at(key);
      q.value = d.value(key);
      row.own[key] = q;
    }
    out.push_back(row);
  }
  return out;
}

inline bool add_calibration(const case_file::CaseDescription& shipped, const ShiftedPiano& piano,
                            const std::vector<calibrate::Column>& columns,
                            std::map<std::string, Tally>& rows) {
  const auto read = read_rows(shipped, &piano);
  for (const auto& row : read)
    for (const auto& r : row.readings)
      if (!std::isfinite(r.value)) return false;
  try {
    const auto c = calibrate::calibrate(shipped, read, {}, &columns);
    for (std::size_t i = 0; i < c.unknowns.size(); ++i) {
      const auto at = static_cast<Eigen::Index>(i);
      const calibrate::Unknown& u = c.unknowns[i];
      double truth = piano.shared().value(u.key);
      for (const int n : {16, 45, 76})
        if (u.note == keyboard::note_name(n)) truth = piano.note(n).value(u.key);
      const std::string name = u.note.empty() ? u.name : u.name.substr(u.name.find(": ") + 2) + " of a note";
      rows[name].add(c.fit.p[at] - truth, std::sqrt(c.fit.covariance(at, at)), shipped.value(u.key));
    }
  } catch (const base::UserError&) {
    return false;
  }
  return true;
}

}  // namespace leverwright::validation
