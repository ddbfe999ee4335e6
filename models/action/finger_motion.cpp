#include "models/action/finger_motion.h"

#include <algorithm>
#include <random>

namespace leverwright::action {

namespace {

constexpr double kSlowDown = 0.15, kQuiet = 0.15;  // [s]: laid on the key at the upper turning place, waits
constexpr double kAfterLast = 0.12;                // [s] held at the bottom

struct Shifted : run::History {
  std::shared_ptr<const run::History> history;
  double by = 0;
  run::Instant at(double t) const override {
    run::Instant i = history->at(t);
    i.value += by;
    return i;
  }
  void add_breakpoints(std::vector<double>& times) const override { history->add_breakpoints(times); }
};

}  // namespace

FingerWay find_finger_way(const FingerMotion& m) {
  std::mt19937_64 generator(m.seed);
  const auto random = [&] { return 2.0 * static_cast<double>(generator() >> 11U) * 0x1p-53 - 1.0; };
  const double period = 1 / m.rate;
  const double down = std::min(m.down_time, kDownShare * period), up = std::min(m.up_time, kUpShare * period);
  const double bottom_rest = 0.5 * (period - down - up);
  const double top = m.depth - m.back;
  FingerWay way;
  const double first_top = m.first_back > 0 ? m.depth - m.first_back : top;
  std::vector<double> times{0.0, kSlowDown}, heights{0.0, std::max(0.0, first_top)};
  const double first = kSlowDown + kQuiet;
  for (int k = 0; k < m.strokes; ++k) {
    // Every stroke draws three numbers, so that trains of one seed share their jitter at all rates.
    const double late = random(), deeper = random(), higher = random();
    const double start = first + period * (k + m.time_jitter * late);
    const double bottom = m.depth + m.back * m.height_jitter * deeper;
    way.start.push_back(start);
    const double this_down = k == 0 && m.first_down_time > 0 ? m.first_down_time : down;
    times.insert(times.end(), {start, start + this_down});
    heights.insert(heights.end(), {heights.back(), bottom});
    if (k + 1 == m.strokes) break;
    const double turn = start + down + bottom_rest;
    times.insert(times.end(), {turn, turn + up});
    heights.insert(heights.end(), {bottom, top - m.back * m.height_jitter * higher});
  }
  way.end = times.back() + kAfterLast;
  way.height = std::make_shared<run::RampHistory>(run::RampShape::kQuintic, times, heights);
  return way;
}

run::Drive finger_motion_drive(const Action& action, const Rest& rest,
                               std::shared_ptr<const run::History> height) {
  auto shifted = std::make_shared<Shifted>();
  shifted->history = std::move(height);
  shifted->by = rest.travel;
  run::Drive drive;
  drive.move(action.finger_body, shifted);
  return drive;
}

WithFinger put_finger(const ActionDesign& design, const ScrewSettings& screws, const planar::VecQ& q_rest,
                      const Finger& finger) {
  WithFinger out;
  out.action = assemble(design, screws, &finger);
  out.rest = build_rest(out.action, q_rest);
  out.rest.state[static_cast<std::size_t>(out.action.finger_body)] = out.rest.travel;
  return out;
}

}  // namespace leverwright::action
