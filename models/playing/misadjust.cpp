#include "models/playing/misadjust.h"

#include <fmt/format.h>
#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <mutex>

#include "models/action/as_set.h"
#include "models/action/repeat.h"
#include "models/playing/repetition.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::playing {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kToGf = 1 / base::kGramForce;
constexpr double kWeighStep = 0.1e-3;  // of dip [m]
// Repetition is told coarsely here: full return, rates by kRate, the limit where the first one fails.
constexpr double kSlowest = 5, kUsual = 10, kFastest = 16, kRate = 0.5;
constexpr int kStrokes = 11;

std::string words_of(action::Screw screw, double moved) {
  const char* way = study::turn_direction(screw, moved > 0);
  if (screw == action::kFrontPunching) way = moved > 0 ? "of paper in" : "of paper out";
  if (screw == action::kJackStop) way = moved > 0 ? "toward the player" : "toward the strings";
  if (screw == action::kLeverStop) way = moved > 0 ? "lower" : "higher";
  if (screw == action::kRepetitionSpring)
    return fmt::format("{:.0f} % {}", 100 * kSpringPerLength * std::abs(moved), way);
  return fmt::format("{:.1f} mm {}", 1e3 * std::abs(moved), way);
}

double coarse_limit(const action::ActionDesign& d, const action::Regulated& r) {
  const action::WithFinger with = action::put_finger(d, r.screws, r.rest.q);
  const auto rung_holds = [&](double rate) {
    action::FingerMotion m;
    m.rate = rate;
    m.strokes = kStrokes;
    m.depth = m.back = r.dip;
    action::FingerMotion single = m;
    single.strokes = 1;
    single.time_jitter = single.height_jitter = 0;
    const double speed = action::play_train(with, single).strokes.front().hammer_speed;
    const action::Train train = action::play_train(with, m);
    int good = 0;
    for (std::size_t k = 1; k < train.strokes.size(); ++k)
      if (speed > 0 && train.strokes[k].hammer_speed >= kGoodSpeed * speed) ++good;
    return good >= kGoodShare * (kStrokes - 1) - 1e-9;
  };
  double rate = kUsual;
  if (!rung_holds(rate)) {
    while (rate > kSlowest && !rung_holds(rate -= kRate)) {
    }
    return rate > kSlowest ? rate : 0;
  }
  while (rate < kFastest && rung_holds(rate + kRate)) rate += kRate;
  return rate;
}

struct Fingers {  // the plateaus that gave p and mf on the regulated action
  action::FoundTouch p, mf;
};

void play_into(const action::Action& a, const action::Rest& rest, const action::FoundTouch& touch,
               const std::string& name, double wanted, MisadjustRow& row, MisadjustMeasure speed) {
  constexpr double kNeedsNoCheck = 0.9;  // m/s: below it a rebound may rightly not be caught
  if (!touch.found) return;
  action::PlayOptions options;
  options.stroke.output_interval = 0;
  const action::StrokeResult r = action::play(a, rest, action::pressed_drive(a, touch.touch), options);
  if (r.happened(action::kStringContact)) row.values[speed] = r.measures.hammer_speed;
  if (speed == kMisSpeedMf) row.values[kMisCheckDistance] = r.measures.check_distance;
  if (!r.stopped.empty()) row.faults.push_back(name + ": " + r.stopped);
  for (const action::Fault f : r.faults) {
    if (f == action::Fault::kFailedCheck && wanted < kNeedsNoCheck) continue;
    row.faults.push_back(name + ": " + action::name_of(f));
  }
}

MisadjustRow blank_row(int screw, double moved) {
  MisadjustRow row;
  row.screw = screw;
  row.moved = moved;
  row.words = screw < 0 ? "as regulated" : words_of(static_cast<action::Screw>(screw), moved);
  row.values.fill(kNone);
  return row;
}

MisadjustRow measure(const case_file::CaseDescription& description, const study::SetUpResult& s,
                     const Fingers& fingers, MisadjustRow row, bool repetition) {
  const int screw = row.screw;
  const double moved = row.moved;
  action::ScrewSettings screws = s.regulated.screws;
  if (screw == action::kRepetitionSpring)
    screws[action::kRepetitionSpring] +=
        kSpringPerLength * moved * (s.design.lever_spring.torque + screws[action::kRepetitionSpring]);
  else if (screw >= 0)
    screws[screw] += moved;
  try {
    const action::Regulated r = action::read_as_set(s.design, screws);
    if (r.dip > 0) {
      row.values[kMisBlow] = r.blow;
      row.values[kMisDip] = r.dip;
    }
    if (r.rest.q.size() == 0) {
      row.faults.push_back("no rest is found");
      return row;
    }
    const action::Action a = action::assemble(s.design, screws);
    if (r.ok) {
      row.values[kMisLetOff] = r.let_off;
      row.values[kMisDrop] = r.drop;
      row.values[kMisAftertouch] = r.aftertouch;
      row.dip_button = r.dip_button;
      row.dip_let_off = r.dip_let_off;
      if (r.aftertouch < 0) row.faults.push_back("slowly: the key is at its bottom before let-off");
      study::SolveOptions options;
      options.step = kWeighStep;
      study::SetUpResult as_set;
      as_set.design = s.design;
      as_set.regulated = r;
      study::weigh_as_set(as_set, options);
      const action::Weighing& w = as_set.weighing;
      if (w.ok) {
        row.values[kMisDownWeight] = as_set.measures[study::kDownWeight];
        row.values[kMisUpWeight] = as_set.measures[study::kUpWeight];
        row.dip_of_down_weight = w.dip_of_down_weight;
        if (r.aftertouch > 0) row.values[kMisLetOffResistance] = as_set.measures[study::kLetOffResistance];
      } else {
        row.faults.push_back("slowly: " + w.failure);
      }
    } else {
      row.faults.push_back(
          "slowly: the hammer never turns back before the key bottoms, so there is no let-off");
    }
    const action::Rest rest = action::build_rest(a, r.rest.q);
    play_into(a, rest, fingers.p, "p", description.value("touches.p"), row, kMisSpeedP);
    play_into(a, rest, fingers.mf, "mf", description.value("touches.mf"), row, kMisSpeedMf);
    if (repetition) row.values[kMisRepetition] = coarse_limit(s.design, r);
  } catch (const base::UserError& e) {
    row.faults.push_back(std::string("cannot be set so: ") + e.what());
  } catch (const base::Unstable& e) {
    row.faults.push_back(std::string("stopped: ") + e.what());
  }
  return row;
}

// What a technician would not believe without a reason is given one, out of where in the dip things happen.
// Let-off is where the hammer turns back: by the jack when it trips, or, when it trips early, by the drop
// screw that stops the lever. A down weight set late in the dip is no longer that of the load but of the
// let-off's rise.
void explain(const MisadjustRow& base, MisadjustRow& row) {
  constexpr double kMuchTouch = 0.3e-3, kMuchWeight = 5 * base::kGramForce, kLater = 1e-3;
  const auto change = [&](MisadjustMeasure m) { return row.values[m] - base.values[m]; };
  const auto mm = [](double m) { return fmt::format("{:.1f} mm", 1e3 * m); };
  std::vector<std::string> said;
  if (std::abs(change(kMisAftertouch)) > kMuchTouch && row.dip_let_off > 0) {
    const double carried = (row.dip_let_off - row.dip_button) - (base.dip_let_off - base.dip_button);
    if (row.screw == action::kLetOffButton && carried > 0.3e-3)
      said.push_back(
          fmt::format("the jack trips at {} of dip instead of {}, but the lever carries the hammer on: it "
                      "turns back only at {}, where the drop screw holds the lever",
                      mm(row.dip_button), mm(base.dip_button), mm(row.dip_let_off)));
    else if (std::abs(change(kMisBlow)) > 0.5e-3)
      said.push_back(
          fmt::format("{} at the screw is {} at the hammer; the hammer lets off at the same place, {} of "
                      "dip {}",
                      mm(std::abs(row.moved)), mm(std::abs(change(kMisBlow))),
                      mm(std::abs(row.dip_let_off - base.dip_let_off)),
                      row.dip_let_off > base.dip_let_off ? "later" : "earlier"));
    else
      said.push_back(fmt::format("the hammer turns back at {} of dip instead of {}", mm(row.dip_let_off),
                                 mm(base.dip_let_off)));
  }
  if (std::abs(change(kMisDownWeight)) > kMuchWeight) {
    if (row.dip_of_down_weight > base.dip_of_down_weight + kLater)
      said.push_back(
          fmt::format("the heaviest place is at {} of dip instead of {}: the rise to let-off begins before "
                      "the tender meets the button (at {}), and the scale takes it for down weight",
                      mm(row.dip_of_down_weight), mm(base.dip_of_down_weight), mm(row.dip_button)));
    else
      said.push_back("the jack bears the knuckle at another place, with another leverage");
  }
  for (const auto& one : said) row.reason += (row.reason.empty() ? "" : "; ") + one;
}

Misadjustment find_here(const case_file::CaseDescription& d, const study::SetUpResult& s,
                        const MisadjustOptions& o) {
  Misadjustment out;
  out.set_up = s.name;
  std::vector<MisadjustRow> rows{blank_row(-1, 0.0)};
  std::vector<double> moves;
  for (const double a : o.amounts) moves.insert(moves.end(), {-a, a});
  std::sort(moves.begin(), moves.end());
  for (int screw = 0; screw < action::kScrewCount; ++screw)
    for (const double m : moves) rows.push_back(blank_row(screw, m));
  std::vector<char> finished(rows.size(), 0);
  std::atomic<bool> stop{false};
  std::mutex talk;
  std::size_t done = 0;
  const auto tell = [&] {
    const std::lock_guard<std::mutex> lock(talk);
    ++done;
    if (o.progress && !o.progress(static_cast<double>(done) / static_cast<double>(rows.size() + 1)))
      stop = true;
  };
  Fingers fingers;
  {
    const action::Rest rest = action::build_rest(s.action, s.regulated.rest.q);
    fingers.p = action::find_pressed_touch(s.action, rest, d.value("touches.p"));
    fingers.mf = action::find_pressed_touch(s.action, rest, d.value("touches.mf"));
  }
  tell();
  if (!stop) {  // first, since every other row is told by its change against this one
    rows[0] = measure(d, s, fingers, rows[0], o.repetition);
    finished[0] = 1;
    tell();
  }
  std::exception_ptr problem;
  tbb::parallel_for(
      tbb::blocked_range<std::size_t>(1, rows.size(), 1),
      [&](const tbb::blocked_range<std::size_t>& some) {
        for (std::size_t k = some.begin(); k != some.end() && !stop; ++k) {
          try {
            rows[k] = measure(d, s, fingers, rows[k], o.repetition);
            finished[k] = 1;
          } catch (...) {
            const std::lock_guard<std::mutex> lock(talk);
            if (!problem) problem = std::current_exception();
            stop = true;
            return;
          }
          tell();
        }
      },
      tbb::simple_partitioner());
  if (problem) std::rethrow_exception(problem);
  for (std::size_t k = 1; k < rows.size(); ++k)
    if (finished[k]) explain(rows[0], rows[k]);
  for (std::size_t k = 0; k < rows.size(); ++k)
    (finished[k] ? out.rows : out.missing).push_back(std::move(rows[k]));
  out.complete = out.missing.empty();
  return out;
}

}  // namespace

const std::array<MisadjustInfo, kMisCount> kMisadjustMeasures = {{
    {"blow", "blow", "m", "mm", 1e3, 2, 0.5e-3},
    {"let_off", "let-off", "m", "mm", 1e3, 2, 0.25e-3},
    {"drop", "drop", "m", "mm", 1e3, 2, 0.5e-3},
    {"dip", "dip", "m", "mm", 1e3, 2, 0.1e-3},
    {"aftertouch", "aftertouch", "m", "mm", 1e3, 2, 0.1e-3},
    {"down_weight", "down weight", "N", "gf", kToGf, 1, 2 * base::kGramForce},
    {"up_weight", "up weight", "N", "gf", kToGf, 1, 2 * base::kGramForce},
    {"let_off_resistance", "let-off resistance", "N", "gf", kToGf, 0, 10 * base::kGramForce},
    {"hammer_speed_p", "hammer speed at p", "m/s", "m/s", 1, 3, 0.05},
    {"hammer_speed_mf", "hammer speed at mf", "m/s", "m/s", 1, 3, 0.1},
    {"check_distance", "check distance at mf", "m", "mm", 1e3, 1, 1e-3},
    {"repetition", "repetition, full return", "1/s", "1/s", 1, 1, 0.5},
}};

const MisadjustRow* Misadjustment::find(int screw, double moved) const {
  for (const MisadjustRow& r : rows)
    if (r.screw == screw && std::abs(r.moved - moved) < 1e-9) return &r;
  return nullptr;
}

std::string missing_words(const Misadjustment& m) {
  std::string out;
  for (std::size_t k = 0; k < m.missing.size();) {
    const int screw = m.missing[k].screw;
    std::string amounts;
    for (; k < m.missing.size() && m.missing[k].screw == screw; ++k)
      amounts += (amounts.empty() ? "" : ", ") + m.missing[k].words;
    const bool some =
        std::any_of(m.rows.begin(), m.rows.end(), [&](const MisadjustRow& r) { return r.screw == screw; });
    if (!out.empty()) out += "; ";
    if (screw < 0)
      out += amounts;
    else
      out += std::string(action::kScrewNames[screw]) + ": " + (some ? amounts : "every amount");
  }
  return out;
}

Misadjustment find_misadjustment(const case_file::CaseDescription& d, const study::SetUpResult& s,
                                 const MisadjustOptions& options) {
  if (options.threads <= 0) return find_here(d, s, options);
  tbb::task_arena arena(options.threads);
  return arena.execute([&] { return find_here(d, s, options); });
}

}  // namespace leverwright::playing
