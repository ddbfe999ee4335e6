#include "models/playing/repetition.h"

#include <fmt/format.h>
#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <exception>
#include <mutex>
#include <utility>

#include "models/playing/influences.h"
#include "sim/base/units.h"

namespace leverwright::playing {

using action::FingerMotion;
using action::WithFinger;

namespace {

constexpr double kFine = 0.1;  // [1/s] to which `unbroken` is told
constexpr double kFirstBack = 1e-3, kBackStep = 0.25e-3, kBackFine = 0.02e-3;  // of the key's return [m]
constexpr double kSlowRate = 2;     // [1/s] of the two blows of a second blow
constexpr double kSlowRaise = 0.1;  // [s] in which the key is let up before a second blow

FingerMotion single(FingerMotion m) {
  m.strokes = 1;
  m.time_jitter = m.height_jitter = 0;
  return m;
}

Rung play_rung(const WithFinger& with, FingerMotion motion, double rate) {
  motion.rate = rate;
  Rung rung;
  rung.rate = rate;
  const action::Train one = action::play_train(with, single(motion));
  const action::Train train = action::play_train(with, motion);
  rung.stopped = one.stopped.empty() ? train.stopped : one.stopped;
  rung.single_speed = one.strokes.front().hammer_speed;
  for (std::size_t k = 1; k < train.strokes.size(); ++k) {
    const action::RepeatedStroke& s = train.strokes[k];
    ++rung.counted;
    if (s.meetings > 0) ++rung.sounding;
    if (s.jack_was_set) ++rung.jack_set;
    if (rung.single_speed > 0 && s.hammer_speed >= kGoodSpeed * rung.single_speed) ++rung.good;
    rung.key_height += s.key_height;
  }
  rung.key_height /= std::max(1, rung.counted);
  return rung;
}

// From the rungs of an even ladder; then halving.
void find_limits(const WithFinger& with, const FingerMotion& motion, Ladder& ladder) {
  ladder.highest = ladder.unbroken = 0;
  ladder.failing = {};
  for (const Rung& r : ladder.rungs)
    if (r.holds()) ladder.highest = r.rate;
  for (const Rung& r : ladder.rungs) {
    if (!r.holds()) {
      ladder.failing = r;
      break;
    }
    ladder.unbroken = r.rate;
  }
  if (ladder.unbroken == 0 || ladder.failing.rate == 0) return;
  while (ladder.failing.rate - ladder.unbroken > kFine) {
    const Rung middle = play_rung(with, motion, 0.5 * (ladder.unbroken + ladder.failing.rate));
    if (middle.holds())
      ladder.unbroken = middle.rate;
    else
      ladder.failing = middle;
  }
  ladder.highest = std::max(ladder.highest, ladder.unbroken);
}

// `unbroken` alone, climbing from below `near`, where the unchanged action's limit lies.
double find_unbroken(const WithFinger& with, const FingerMotion& motion, const RepetitionOptions& o,
                     double near) {
  constexpr double kBelow = 2.5;
  double rate = std::max(o.slowest, near - kBelow);
  while (rate > o.slowest && !play_rung(with, motion, rate).holds()) rate = std::max(o.slowest, rate - 1);
  Ladder ladder;
  for (; rate <= o.fastest + 1e-9; rate += o.step) {
    ladder.rungs.push_back(play_rung(with, motion, rate));
    if (!ladder.rungs.back().holds()) break;
  }
  find_limits(with, motion, ladder);
  return ladder.unbroken;
}

// The blow after a blow, the key let up by `back` in between.
struct Second {
  double speed = 0, single_speed = 0;
  bool jack_set = false;
  bool sounds() const { return speed > 0; }
  bool good() const { return single_speed > 0 && speed >= kGoodSpeed * single_speed; }
};
Second play_second(const WithFinger& with, const RepetitionOptions& o, double depth, double back) {
  // The first blow falls the whole way; a way of its own, since the turning places differ.
  FingerMotion m = single(motion_of(o, depth, back));
  m.rate = kSlowRate;
  m.down_time = std::max(5e-3, o.down_time * back / depth);  // the same mean speed
  Second out;
  out.single_speed = action::play_train(with, m).strokes.front().hammer_speed;
  m.strokes = 2;
  m.first_back = depth;
  m.first_down_time = o.down_time;
  m.up_time = kSlowRaise;
  const action::RepeatedStroke blow = action::play_train(with, m).strokes.back();
  out.speed = blow.hammer_speed;
  out.jack_set = blow.jack_was_set;
  return out;
}

// Least return from which on `works` holds, on a grid from the dip downwards and then by halving.
double find_least_return(double depth, const std::vector<std::pair<double, bool>>& grid,
                         const std::function<bool(double)>& works) {
  double good = std::nan(""), bad = 0;
  for (auto it = grid.rbegin(); it != grid.rend(); ++it) {
    if (!it->second) {
      bad = it->first;
      break;
    }
    good = it->first;
  }
  if (std::isnan(good) || bad == 0) return good;
  while (good - bad > kBackFine) {
    const double middle = 0.5 * (good + bad);
    (works(middle) ? good : bad) = middle;
  }
  return std::min(good, depth);
}

SecondBlow find_second_blow(const WithFinger& with, const RepetitionOptions& o, double depth) {
  SecondBlow out;
  std::vector<std::pair<double, bool>> sounding, good, set;
  for (double back = kFirstBack; back <= depth + 1e-9; back += kBackStep) {
    const Second s = play_second(with, o, depth, back);
    sounding.emplace_back(back, s.sounds());
    good.emplace_back(back, s.good());
    set.emplace_back(back, s.jack_set);
  }
  out.least_sounding = find_least_return(
      depth, sounding, [&](double back) { return play_second(with, o, depth, back).sounds(); });
  out.least_good =
      find_least_return(depth, good, [&](double back) { return play_second(with, o, depth, back).good(); });
  out.least_set =
      find_least_return(depth, set, [&](double back) { return play_second(with, o, depth, back).jack_set; });
  FingerMotion m = single(motion_of(o, depth, depth));
  m.strokes = 2;
  m.rate = kSlowRate;
  const action::Train quick = action::play_train(with, m);
  out.reset_time = quick.jack_reset_after;
  out.reset_dip = quick.jack_reset_dip;
  m.rate = 1 / (2.6 * kSlowUp);  // leaves room for so slow a way up
  m.up_time = kSlowUp;
  out.slow_reset_dip = action::play_train(with, m).jack_reset_dip;
  return out;
}

class Work {
 public:
  Work(const case_file::CaseDescription& d, std::size_t index, const study::SetUpResult& s,
       const RepetitionOptions& o)
      : d_(d), index_(index), s_(s), o_(o) {}

  Repetition run() {
    out_.set_up = s_.name;
    const double dip = s_.regulated.dip;
    with_ = action::put_finger(s_.design, s_.regulated.screws, s_.regulated.rest.q);
    out_.full.back = dip;
    out_.partial.back = o_.partial * dip;
    const auto count = static_cast<std::size_t>(std::floor((o_.fastest - o_.slowest) / o_.step + 1e-9)) + 1;
    const std::vector<Influencer> all = o_.why ? known_influences() : std::vector<Influencer>{};
    std::vector<Job> jobs;
    for (Ladder* ladder : {&out_.full, &out_.partial}) {
      ladder->rungs.resize(count);
      for (std::size_t k = count; k-- > 0;)
        jobs.push_back([this, ladder, k] {
          ladder->rungs[k] = play_rung(with_, motion_of(o_, s_.regulated.dip, ladder->back),
                                       o_.slowest + o_.step * static_cast<double>(k));
        });
    }
    jobs.push_back([this] { out_.second = find_second_blow(with_, o_, s_.regulated.dip); });
    total_ = jobs.size() + 2 + 4 * all.size();
    if (!run_jobs(jobs)) return out_;
    jobs.clear();
    for (Ladder* ladder : {&out_.full, &out_.partial})
      jobs.push_back(
          [this, ladder] { find_limits(with_, motion_of(o_, s_.regulated.dip, ladder->back), *ladder); });
    if (!run_jobs(jobs)) return out_;
    if (o_.why && !find_influences(all)) return out_;
    out_.words = write_limit_words(out_);
    out_.complete = true;
    return out_;
  }

 private:
  using Job = std::function<void()>;

  bool run_jobs(const std::vector<Job>& jobs) {
    std::exception_ptr problem;
    tbb::parallel_for(
        tbb::blocked_range<std::size_t>(0, jobs.size(), 1),
        [&](const tbb::blocked_range<std::size_t>& some) {
          for (std::size_t k = some.begin(); k != some.end(); ++k) {
            if (stop_) return;
            try {
              jobs[k]();
            } catch (...) {
              const std::lock_guard<std::mutex> lock(talk_);
              if (!problem) problem = std::current_exception();
              stop_ = true;
              return;
            }
            const std::lock_guard<std::mutex> lock(talk_);
            ++done_;
            if (o_.progress && !o_.progress(static_cast<double>(done_) / static_cast<double>(total_)))
              stop_ = true;
          }
        },
        tbb::simple_partitioner());
    if (problem) std::rethrow_exception(problem);
    return !stop_ || done_ == total_;
  }

  bool find_influences(const std::vector<Influencer>& all) {
    out_.influences.resize(all.size());
    std::vector<Job> jobs;
    for (std::size_t i = 0; i < all.size(); ++i) {
      Influence& to = out_.influences[i];
      to.kind = all[i].kind;
      to.less = all[i].less;
      to.more = all[i].more;
      for (const int way : {-1, 1})
        for (const Ladder* ladder : {&out_.full, &out_.partial}) {
          double& change = ladder == &out_.full ? (way < 0 ? to.full_less : to.full_more)
                                                : (way < 0 ? to.partial_less : to.partial_more);
          jobs.push_back([this, &all, i, way, ladder, &change] {
            change = find_changed(all[i], way, *ladder) - ladder->unbroken;
          });
        }
    }
    if (!run_jobs(jobs)) return false;
    const auto size = [](const Influence& i) {
      return std::max(std::max(std::abs(i.full_less), std::abs(i.full_more)),
                      std::max(std::abs(i.partial_less), std::abs(i.partial_more)));
    };
    std::stable_sort(out_.influences.begin(), out_.influences.end(),
                     [&](const Influence& a, const Influence& b) { return size(a) > size(b); });
    return true;
  }

  double find_changed(const Influencer& influencer, int way, const Ladder& ladder) const {
    Varied v{d_, index_, s_.design, s_.regulated.screws, o_.up_time};
    influencer.apply(v, way);
    const action::Action bare = action::assemble(v.design, v.screws);
    const action::FrictionlessPath path(bare);
    if (!path.rest_found()) return 0;
    const WithFinger with = action::put_finger(v.design, v.screws, path.rest().q);
    // The front punching stays where it is: a key that rests higher goes down farther.
    const double depth = s_.regulated.dip + s_.regulated.travel_rest - with.rest.travel;
    FingerMotion m = motion_of(o_, depth, ladder.back + depth - s_.regulated.dip);
    m.up_time = v.up_time;
    return find_unbroken(with, m, o_, ladder.unbroken);
  }

  const case_file::CaseDescription& d_;
  std::size_t index_;
  const study::SetUpResult& s_;
  const RepetitionOptions& o_;
  WithFinger with_;
  Repetition out_;
  std::atomic<bool> stop_{false};
  std::mutex talk_;
  std::size_t done_ = 0, total_ = 1;
};

}  // namespace

std::string Ladder::failing_words() const {
  if (rungs.empty()) return "";
  if (failing.rate == 0) return "every rate of the ladder holds";
  const int silent = failing.counted - failing.sounding, soft = failing.sounding - failing.good;
  return fmt::format(
      "at {:.1f} /s {} of {} strokes are silent and {} too soft; the jack stands under the knuckle at the "
      "beginning of {}, and the key comes back to {:.1f} mm below its rest on average",
      failing.rate, silent, failing.counted, soft, failing.jack_set, failing.key_height * 1e3);
}

Repetition find_repetition(const case_file::CaseDescription& d, std::size_t index,
                           const study::SetUpResult& s, const RepetitionOptions& options) {
  Work work(d, index, s, options);
  if (options.threads <= 0) return work.run();
  tbb::task_arena arena(options.threads);
  return arena.execute([&] { return work.run(); });
}

}  // namespace leverwright::playing
