#include "models/calibrate/as_found.h"

#include <fmt/format.h>
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <Eigen/Cholesky>
#include <Eigen/SVD>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>

#include "models/calibrate/left_out.h"
#include "models/calibrate/swing.h"
#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"
#include "models/study/inputs.h"
#include "models/study/set_up_solver.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::calibrate {

using case_file::CaseDescription;
using case_file::Quantity;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using study::Input;

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kToMm = 1e3;

// What is computed of one action. The first may be leaned on; the ratio is the geometry's.
enum Number {
  kDown,
  kUp,
  kKey,
  kHammerCentre,
  kWippenCentre,
  kLeverDrag,
  kJackDrag,
  kCapstanDrag,
  kAftertouchNumber,
  kRatio,
  kDipNumber,
  kBlowNumber,
  kNumberCount
};
using Numbers = std::array<double, kNumberCount>;

// Readings that are leaned on, in the order of Number. Those below the first two tell one value of the case each
// (of the key two), straight.
struct Leanable {
  const char *key, *name, *unit;
  int decimals;
  double factor;  // shown = SI * factor
};
constexpr double kPerGf = 1 / base::kGramForce, kAtGauge = kPerGf / 23e-3;
constexpr std::array<Leanable, 8> kLeanables = {
    {{"measured.down_weight", "down weight", "gf", 1, kPerGf},
     {"measured.up_weight", "up weight", "gf", 1, kPerGf},
     {"measured.key_friction", "key friction, stack off", "gf", 1, kPerGf},
     {"measured.hammer_swings", "hammer centre by its swings", "gf at 23 mm", 1, kAtGauge},
     {"measured.wippen_swings", "wippen centre by its swings", "gf at 23 mm", 1, kAtGauge},
     {"measured.lever_knuckle_drag", "repetition lever drawn along the knuckle", "", 2, 1},
     {"measured.jack_knuckle_drag", "jack drawn along the knuckle", "", 2, 1},
     {"measured.capstan_heel_drag", "capstan drawn along the heel cloth", "", 2, 1}}};
constexpr auto kLeanable = static_cast<Index>(kLeanables.size());
static_assert(kLeanables.size() == kAftertouchNumber);

struct Solved {
  Numbers numbers{};
  action::Regulated regulated;
  std::string failure;
};

// `near`: another solution to begin at. `as_compared`: step, back check and spring as a comparison has them; else as for
// differences, quickly.
Solved solve(const CaseDescription& d, const study::SetUpSolver& solver,
             const action::Regulated* known = nullptr, bool as_compared = false,
             const Solved* near = nullptr) {
  Solved out;
  out.numbers.fill(kNone);
  out.numbers[kKey] = d.value("friction.key_balance") + d.value("friction.key_front");
  out.numbers[kHammerCentre] = d.value("friction.hammer_centre");
  out.numbers[kWippenCentre] = d.value("friction.wippen_centre");
  out.numbers[kLeverDrag] = d.value("contact.lever_knuckle.friction");
  out.numbers[kJackDrag] = d.value("contact.jack_knuckle.friction");
  out.numbers[kCapstanDrag] = d.value("contact.capstan_heel.friction");
  study::SolveOptions options = study::quick_options(near ? near->regulated.screws : solver.base_screws());
  options.known = known;
  if (as_compared) {
    options = {};
    options.by_playing = true;
    options.whole_stroke = false;
  }
  const study::SetUpResult s = solver.try_solve(d, d.set_ups.front(), options);
  out.failure = study::why_not_weighed(s);
  out.regulated = s.regulated;
  if (!out.failure.empty()) return out;
  out.numbers[kDown] = s.weighing.down_weight;
  out.numbers[kUp] = s.weighing.up_weight;
  out.numbers[kAftertouchNumber] = s.regulated.aftertouch;
  out.numbers[kRatio] = s.weighing.distance_ratio;
  out.numbers[kDipNumber] = s.regulated.dip;
  out.numbers[kBlowNumber] = s.regulated.blow;
  return out;
}

std::optional<Quantity> reading(const CaseDescription& d, const char* key) {
  const auto at = d.quantities.find(key);
  if (at == d.quantities.end() || !(at->second.value > 0) || at->second.from_default) return std::nullopt;
  Quantity q = at->second;
  if (q.sigma <= 0) {
    const auto* spec = case_file::schema().find_key(key);
    const auto usual = case_file::read_quantity(spec->default_sigma, spec->dimension);
    q.sigma = std::get<Quantity>(usual).value;
  }
  return q;
}

// A swing count as the torque that gives it (swing.h): a count goes with one over friction, a torque is friction.
// The strike weight and the arm it needs are known far better than half a swing.
std::optional<Quantity> as_torque(const CaseDescription& d, std::optional<Quantity> swings,
                                  const char* weight, const char* arm) {
  if (!swings || !d.has(weight) || !d.has(arm)) return std::nullopt;
  const double moment = d.value(weight) * d.value(arm);
  const auto torque = [&](double n) { return torque_of_swings(std::max(n, 0.3), moment, kUsualRelease); };
  Quantity out = *swings;
  out.value = torque(swings->value);
  out.sigma = 0.5 * (torque(swings->value - swings->sigma) - torque(swings->value + swings->sigma));
  out.dimension = case_file::Dimension::kTorque;
  return out;
}

std::array<std::optional<Quantity>, kLeanables.size()> leanable_readings(const CaseDescription& d) {
  std::array<std::optional<Quantity>, kLeanables.size()> out;
  for (std::size_t k = 0; k < out.size(); ++k) out[k] = reading(d, kLeanables[k].key);
  out[kHammerCentre] = as_torque(d, out[kHammerCentre], "measured.strike_weight", "measured.hammer_length");
  out[kWippenCentre] =
      as_torque(d, out[kWippenCentre], "measured.wippen_weight", "measured.heel_contact_arm");
  return out;
}

struct Screw {
  const char* read;
  const char* wanted;
  const char* name;
};
constexpr std::array<Screw, 4> kScrews = {{{"measured.dip", "regulation.dip", "dip"},
                                           {"measured.blow", "regulation.blow", "blow"},
                                           {"measured.let_off", "regulation.let_off", "let-off"},
                                           {"measured.drop", "regulation.drop", "drop"}}};

// The case with the readings in place of the specification.
CaseDescription put_readings(const CaseDescription& d, AsFound& out) {
  CaseDescription found = d;
  found.set_ups.resize(1);
  const auto put = [&](const char* key, double value) {
    Quantity q;
    q.value = value;
    q.dimension = case_file::Dimension::kLength;
    found.quantities[key] = q;
  };
  for (const Screw& s : kScrews)
    if (const auto q = reading(d, s.read))
      put(s.wanted, q->value);
    else
      out.missing.emplace_back(s.name);
  const bool dip = reading(d, "measured.dip").has_value(), blow = reading(d, "measured.blow").has_value();
  const auto after = reading(d, "measured.aftertouch");
  if (after) put("regulation.aftertouch", after->value);
  std::string& policy = found.choices["regulation.policy"];
  if (dip && blow)
    policy = "keep dip and blow";
  else if (blow && after)
    policy = "keep blow and aftertouch";
  else if (dip && after)
    policy = "keep dip and aftertouch";
  else if (found.has("regulation.dip") && found.has("regulation.blow"))
    policy = "keep dip and blow";
  return found;
}

bool moves_no_screw(const std::string& key) {
  return key.rfind("friction.", 0) == 0 || (key.rfind("contact.", 0) == 0 && key.size() > 9 &&
                                            key.compare(key.size() - 9, 9, ".friction") == 0);
}

struct Effects {
  MatrixXd g;  // numbers x inputs
  MatrixXd r;  // numbers x readings of screws
};

// By one standard deviation up. `earlier`: found before at other values; then up and down, as a comparison takes them,
// of the inputs alone that moved one of the `leaned` readings by more than kLittle of its error.
Effects find_effects(const CaseDescription& found, const CaseDescription& original,
                     const std::vector<Input>& inputs, const study::SetUpSolver& solver, const Solved& here,
                     const Effects* earlier = nullptr, const std::vector<Index>& leaned = {},
                     const VectorXd& errors = VectorXd()) {
  constexpr double kLittle = 0.05;
  std::vector<std::pair<std::string, double>> screws;
  for (const Screw& s : kScrews)
    if (const auto q = reading(original, s.read)) screws.emplace_back(s.wanted, q->sigma);
  const std::size_t n = inputs.size();
  const auto is_little = [&](std::size_t i) {
    for (std::size_t j = 0; j < leaned.size(); ++j)
      if (std::abs(earlier->g(leaned[j], static_cast<Index>(i))) > kLittle * errors[static_cast<Index>(j)])
        return false;
    return true;
  };
  Effects out;
  out.g = MatrixXd::Zero(kNumberCount, static_cast<Index>(n));
  out.r = MatrixXd::Zero(kNumberCount, static_cast<Index>(screws.size()));
  tbb::parallel_for(std::size_t{0}, n + screws.size(), [&](std::size_t i) {
    const auto difference = [&](const CaseDescription& moved, double sign, const action::Regulated* known) {
      const Solved s = solve(moved, solver, known, false, &here);
      VectorXd change = VectorXd::Constant(kNumberCount, kNone);
      for (Index k = 0; k < kNumberCount; ++k)
        change[k] =
            sign * (s.numbers[static_cast<std::size_t>(k)] - here.numbers[static_cast<std::size_t>(k)]);
      return change;
    };
    VectorXd change;
    if (earlier && (i >= n || is_little(i))) {
      change = i < n ? earlier->g.col(static_cast<Index>(i)) : earlier->r.col(static_cast<Index>(i - n));
    } else if (i < n) {
      const auto* known = inputs[i].kind == Input::Kind::kQuantity && moves_no_screw(inputs[i].key)
                              ? &here.regulated
                              : nullptr;
      change = difference(study::move_input(found, inputs[i], 1), 1, known);
      if (earlier || !change.allFinite()) {
        const VectorXd down = difference(study::move_input(found, inputs[i], -1), -1, known);
        if (!change.allFinite())
          change = down;
        else if (down.allFinite())
          change = 0.5 * (change + down);
      }
    } else {
      CaseDescription moved = found;
      moved.quantities.at(screws[i - n].first).value += screws[i - n].second;
      change = difference(moved, 1, nullptr);
    }
    if (!change.allFinite()) return;  // taken to tell nothing
    (i < n ? out.g.col(static_cast<Index>(i)) : out.r.col(static_cast<Index>(i - n))) = change;
  });
  return out;
}

std::string shown(double si, const Quantity& q) {
  double unit = case_file::trade_unit_in_si(q.dimension);
  std::string word = case_file::trade_unit(q.dimension);
  if (q.dimension == case_file::Dimension::kTorque) {
    unit = base::kGramForce * 23e-3;
    word = "gf at 23 mm";
  }
  return fmt::format("{:.3g}{}{}", si / unit, word.empty() ? "" : " ", word);
}

// Largest moves of estimates and frictions, and the doubts that are left nearly whole.
void tell_moves(const CaseDescription& before, const CaseDescription& after, const std::vector<Input>& inputs,
                const LinearPosterior& p, const VectorXd& x, const MatrixXd& g, AsFound& out) {
  std::vector<std::size_t> order(inputs.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return std::abs(x[static_cast<Index>(a)]) > std::abs(x[static_cast<Index>(b)]);
  });
  for (const std::size_t i : order) {
    if (out.moved.size() == 4 || std::abs(x[static_cast<Index>(i)]) < 0.1) break;
    if (inputs[i].kind != Input::Kind::kQuantity) continue;
    const Quantity &was = before.quantity(inputs[i].key), &is = after.quantity(inputs[i].key);
    out.moved.push_back(
        fmt::format("{} {} to {}", inputs[i].name, shown(was.value, was), shown(is.value, is)));
  }
  // By their share in the friction.
  const VectorXd friction = 0.5 * (g.row(kDown) - g.row(kUp)).transpose();
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return std::abs(friction[static_cast<Index>(a)]) > std::abs(friction[static_cast<Index>(b)]);
  });
  for (std::size_t k = 0; k < std::min<std::size_t>(3, order.size()); ++k) {
    const auto i = static_cast<Index>(order[k]);
    double left = 1;
    for (Index m = 0; m < p.left.size(); ++m) left -= (1 - p.left[m] * p.left[m]) * p.v(i, m) * p.v(i, m);
    out.kept.push_back(
        fmt::format("{} {:.0f} %", inputs[order[k]].name, 100 * std::sqrt(std::max(0.0, left))));
  }
}

FoundRow leanable_row(const Leanable& l, const Quantity& q) {
  return {l.name, l.unit, l.decimals, l.factor, q.value, q.sigma, false, kNone, kNone, kNone, kNone};
}

FoundRow length_row(const char* name, const Quantity& q, int decimals) {
  return {name, "mm", decimals, kToMm, q.value, q.sigma, true, q.value, 0, q.value, kNone};
}

double doubt_of(const Effects& e, Index k) { return e.g.row(k).norm(); }

void compare_ratio(const CaseDescription& d, const Solved& here, const Effects& e, AsFound& out) {
  const auto dip = reading(d, "measured.dip"), blow = reading(d, "measured.blow"),
             let_off = reading(d, "measured.let_off"), after = reading(d, "measured.aftertouch");
  if (!dip || !blow || !let_off || !after || dip->value <= after->value) return;
  const double hammer = blow->value - let_off->value, key = dip->value - after->value;
  out.ratio_read = hammer / key;
  out.ratio_sigma = out.ratio_read * std::hypot(std::hypot(blow->sigma, let_off->sigma) / hammer,
                                                std::hypot(dip->sigma, after->sigma) / key);
  out.ratio_geometry = here.numbers[kRatio];
  out.ratio_doubt = doubt_of(e, kRatio);
  const double off = (out.ratio_read - out.ratio_geometry) / std::hypot(out.ratio_sigma, out.ratio_doubt);
  if (std::abs(off) > kAgrees)
    out.warnings.push_back(
        fmt::format("The travel ratio from the readings, (blow - let-off) / (dip - aftertouch), is {:.2f} +- "
                    "{:.2f}; the geometry "
                    "makes it {:.2f} +- {:.2f}: {:.1f} standard deviations apart. Something was measured "
                    "wrong: read aftertouch "
                    "and let-off again with a slow finger, then look at the arms and the heights.",
                    out.ratio_read, out.ratio_sigma, out.ratio_geometry, out.ratio_doubt, std::abs(off)));
}

// The base has to come to its specification as well with these values.
std::string why_not_at_specification(const CaseDescription& d, const std::vector<Input>& inputs, VectorXd x) {
  CaseDescription moved = moved_to(d, inputs, x);
  moved.set_ups.resize(1);
  return study::why_no_answer(
      study::SetUpSolver(moved).try_solve(moved, moved.set_ups.front(), study::quick_options()));
}

Conditioned condition_here(const CaseDescription& original, const ConditionOptions& options) {
  Conditioned out;
  out.description = original;
  CaseDescription d = original;
  AsFound& f = out.as_found;
  const auto weights = leanable_readings(d);
  const auto after = reading(d, "measured.aftertouch");
  const bool redundant = reading(d, "measured.dip") && reading(d, "measured.blow");
  std::array<std::optional<Quantity>, kLeanables.size() + 1> read;  // in the order of Number
  std::copy(weights.begin(), weights.end(), read.begin());
  if (redundant) read[kAftertouchNumber] = after;
  f.any = has_readings(d);
  if (!f.any || d.set_ups.empty()) return out;

  if (read[kDown] || read[kUp]) add_left_out(d);
  CaseDescription found = put_readings(d, f);
  study::SetUpSolver solver(found);
  Solved here = solve(found, solver);
  if (!here.failure.empty()) {
    f.warnings.push_back(
        fmt::format("The base cannot be solved to the readings as found ({}): they are held against "
                    "the base at specification.",
                    here.failure));
    found = d;
    found.set_ups.resize(1);
    solver = study::SetUpSolver(found);
    here = solve(found, solver);
    f.missing.clear();
    for (const Screw& s : kScrews) f.missing.emplace_back(s.name);
    if (!here.failure.empty()) return out;  // the study itself will say why
  }
  std::vector<Input> inputs;
  for (const Input& in : study::find_inputs(found)) inputs.push_back(in);
  const Effects e = find_effects(found, d, inputs, solver, here);

  // Rows, and which of them are leaned on.
  std::vector<Index> leaned;
  std::vector<std::string> names;
  const auto lean_on = [&](const FoundRow& row, Index k) {
    if (std::abs(row.off_by()) <= kDisbelieved) {
      leaned.push_back(k);
      names.emplace_back(row.name);
      return;
    }
    f.warnings.push_back(
        fmt::format("{} as found is {:.1f} standard deviations from what the model computes with "
                    "all its doubts: nothing is conditioned on it. Read it again, or something in "
                    "the case is not as it says.",
                    row.name, std::abs(row.off_by())));
  };
  for (Index k = 0; k < kLeanable; ++k) {
    const Leanable& leanable = kLeanables[static_cast<std::size_t>(k)];
    const auto& q = read[static_cast<std::size_t>(k)];
    if (!q) continue;
    FoundRow row = leanable_row(leanable, *q);
    row.computed = here.numbers[static_cast<std::size_t>(k)];
    row.doubt = std::hypot(doubt_of(e, k), e.r.row(k).norm());
    row.conditioned = row.computed;
    lean_on(row, k);
    f.rows.push_back(row);
  }
  for (const Screw& s : kScrews)
    if (const auto q = reading(d, s.read))
      f.rows.push_back(length_row(s.name, *q, std::string(s.name) == "dip" ? 2 : 1));
  if (after) {
    FoundRow row = length_row("aftertouch", *after, 2);
    row.set_to = !redundant;
    if (redundant) {
      row.computed = row.conditioned = here.numbers[kAftertouchNumber];
      row.doubt = std::hypot(doubt_of(e, kAftertouchNumber), e.r.row(kAftertouchNumber).norm());
      lean_on(row, kAftertouchNumber);
    }
    f.rows.push_back(row);
  }
  compare_ratio(d, here, e, f);

  Solved now = here;
  if (!leaned.empty() && !options.prior_only) {
    const auto m = static_cast<Index>(leaned.size());
    VectorXd y(m), s(m), good = VectorXd::Zero(e.g.cols());
    for (Index j = 0; j < m; ++j) {
      const auto k = static_cast<std::size_t>(leaned[static_cast<std::size_t>(j)]);
      y[j] = read[k]->value;
      s[j] = read[k]->sigma;
    }
    LinearPosterior p;
    MatrixXd g(m, e.g.cols()), r(m, e.r.cols());
    // First with the effects at the case's own values; where the readings bent away from them, with those where they led.
    double bend = 0;  // of the computed readings from a straight line, in the readings' errors
    for (const bool again : {false, true}) {
      Effects there = e;
      if (again) {
        if (!f.conditioned || bend < kBends) break;
        const CaseDescription moved = moved_to(found, inputs, good);
        study::SetUpSolver at_moved(moved);
        const Solved afresh = solve(moved, at_moved);
        if (!afresh.failure.empty()) break;
        solver = std::move(at_moved);
        now = afresh;
        there = find_effects(moved, d, inputs, solver, now, &e, leaned, s);
      }
      for (Index j = 0; j < m; ++j) {
        g.row(j) = there.g.row(leaned[static_cast<std::size_t>(j)]);
        r.row(j) = there.r.row(leaned[static_cast<std::size_t>(j)]);
      }
      const MatrixXd c = MatrixXd(s.array().square().matrix().asDiagonal()) + r * r.transpose();
      for (int round = 0; round < kRounds; ++round) {
        VectorXd computed(m), x;
        for (Index j = 0; j < m; ++j)
          computed[j] = now.numbers[static_cast<std::size_t>(leaned[static_cast<std::size_t>(j)])];
        Solved next;
        LinearPosterior asked;
        // An action that was weighed does not jam. Where the values asked for do, what would have to go farthest
        // stays where it is, and the others are asked again.
        for (int tries = 0; tries <= kHeldBack; ++tries) {
          asked = find_posterior(g, c, y - computed + g * good);
          x = asked.x;
          for (Index i = 0; i < x.size(); ++i)
            if (g.col(i).isZero(0)) x[i] = good[i];
          next = solve(moved_to(found, inputs, x), solver);
          if (next.failure.empty()) next.failure = why_not_at_specification(d, inputs, x);
          if (next.failure.empty()) break;
          Index farthest = 0;
          (x - good).cwiseAbs().maxCoeff(&farthest);
          g.col(farthest).setZero();
        }
        if (!next.failure.empty()) break;
        const VectorXd straight = computed + g * (x - good);
        for (Index j = 0; round == 0 && j < m; ++j)
          bend = std::max(
              bend, std::abs(next.numbers[static_cast<std::size_t>(leaned[static_cast<std::size_t>(j)])] -
                             straight[j]) /
                        s[j]);
        now = next;
        good = x;
        p = asked;
        f.conditioned = true;
      }
    }
    std::string list;
    for (std::size_t k = 0; k < names.size(); ++k)
      list += (k == 0 ? "" : k + 1 == names.size() ? " and " : ", ") + names[k];
    if (f.conditioned) {
      const CaseDescription moved = moved_to(d, inputs, good);
      tell_moves(d, moved, inputs, p, good, e.g, f);
      out.description = moved;
      for (Index k = 0; k < p.left.size(); ++k) {
        case_file::Told told;
        told.left = p.left[k];
        for (std::size_t i = 0; i < inputs.size(); ++i)
          told.along[study::id_of(inputs[i])] = p.v(static_cast<Index>(i), k);
        out.description.told.push_back(std::move(told));
      }
      f.leans_on = "Frictions and constants are conditioned on " + list + " as found.";
    } else {
      f.warnings.push_back(
          "With the values that " + list +
          " as found ask for the model jams or cannot be regulated: nothing is conditioned on them, and the base "
          "computed is not the one read. Read them again; look at heel, cap and capstan.");
    }
  }
  // What the base then reads: measured and the computed change.
  CaseDescription base_only = out.description;
  base_only.set_ups.resize(1);
  const study::SetUpSolver at_specification(base_only);
  const Solved base = solve(base_only, at_specification),
               compared = solve(base_only, at_specification, nullptr, true);
  for (FoundRow& row : f.rows) {
    for (std::size_t k = kKey; k < kLeanables.size(); ++k)
      if (row.name == kLeanables[k].name) row.conditioned = now.numbers[k];
    const int k = row.name == "down weight"  ? kDown
                  : row.name == "up weight"  ? kUp
                  : row.name == "dip"        ? kDipNumber
                  : row.name == "blow"       ? kBlowNumber
                  : row.name == "aftertouch" ? kAftertouchNumber
                                             : -1;
    if (k < 0) continue;
    const auto at = static_cast<std::size_t>(k);
    if (!row.set_to) row.conditioned = now.numbers[at];
    row.table = compared.numbers[at];
    row.base = row.set_to ? base.numbers[at] : row.measured + base.numbers[at] - now.numbers[at];
  }
  return out;
}

}  // namespace

bool has_readings(const CaseDescription& d) {
  const auto leanable = leanable_readings(d);
  return reading(d, "measured.aftertouch") ||
         std::any_of(kScrews.begin(), kScrews.end(),
                     [&](const Screw& s) { return reading(d, s.read).has_value(); }) ||
         std::any_of(leanable.begin(), leanable.end(), [](const auto& q) { return q.has_value(); });
}

double FoundRow::off_by() const { return (measured - computed) / std::hypot(sigma, doubt); }

LinearPosterior find_posterior(const MatrixXd& g, const MatrixXd& c, const VectorXd& r) {
  const Eigen::LLT<MatrixXd> llt(c);
  const MatrixXd a = llt.matrixL().solve(g);
  const VectorXd scaled = llt.matrixL().solve(r);
  const Eigen::JacobiSVD<MatrixXd> svd(a, Eigen::ComputeThinU | Eigen::ComputeThinV);
  const VectorXd& s = svd.singularValues();
  LinearPosterior out;
  const VectorXd u = svd.matrixU().transpose() * scaled;
  out.x = svd.matrixV() * (s.array() * u.array() / (1 + s.array().square())).matrix();
  out.v = svd.matrixV();
  out.left = (1 + s.array().square()).rsqrt();
  return out;
}

CaseDescription moved_to(const CaseDescription& d, const std::vector<Input>& inputs, VectorXd& x) {
  CaseDescription out = d;
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    const Input& in = inputs[i];
    double& by = x[static_cast<Index>(i)];
    if (by == 0) continue;
    if (in.kind != Input::Kind::kQuantity) {
      out = study::move_input(out, in, by);
      continue;
    }
    Quantity& q = out.quantities.at(in.key);
    constexpr double kLeast = 0.05;  // of its value: a friction, a stiffness, a mass does not vanish
    const bool positive = q.value > 0 && q.dimension != case_file::Dimension::kAngle;
    double value = q.value + by * in.sigma;
    if (positive) value = std::max(value, kLeast * q.value);
    const double gone = value - q.value;
    by = gone / in.sigma;
    q.value = value;
    // An input is moved within its range: left where it was, a range would cut the doubt of a value near its
    // end.
    if (q.high > q.low) {
      q.low = positive ? std::max(q.low + gone, std::min(q.low, kLeast * value)) : q.low + gone;
      q.high += gone;
    } else {
      q.low = q.high = value;
    }
  }
  return out;
}

std::vector<std::string> AsFound::sentences() const {
  std::vector<std::string> out;
  if (!any) {
    out.emplace_back(
        "No readings of the action as found: absolute values rest on estimates. Weigh down and up weight, "
        "and read dip, "
        "blow, let-off and aftertouch, before anything is changed.");
    return out;
  }
  for (const FoundRow& row : rows) {
    const auto words = [&](double x, int more = 0) {
      return fmt::format("{:.{}f}", x * row.factor, row.decimals + more);
    };
    std::string text = fmt::format("As found, {}: measured {} +- {}{}{}", row.name, words(row.measured),
                                   words(row.sigma), row.unit.empty() ? "" : " ", row.unit);
    if (row.set_to)
      text += ", the screws are solved to it";
    else if (std::isfinite(row.computed))
      text += fmt::format(", computed {} +- {}, off by {:.1f} standard deviations", words(row.computed),
                          words(row.doubt), row.off_by());
    // The base of the tables weighs reading and model by their doubts; the reading with the computed change is beside it.
    if (std::isfinite(row.table))
      text += fmt::format("; at specification {}, as the tables have it", words(row.table));
    if (std::isfinite(row.base) && words(row.base) != words(row.table))
      text += std::isfinite(row.table)
                  ? fmt::format(" (the reading with the computed change: {})", words(row.base))
                  : fmt::format("; at specification {}", words(row.base));
    out.push_back(text + ".");
  }
  if (!missing.empty()) {
    std::string list;
    for (std::size_t k = 0; k < missing.size(); ++k)
      list += (k == 0 ? "" : k + 1 == missing.size() ? " and " : ", ") + missing[k];
    out.push_back(fmt::format("Not read as found, taken from the specification: {}.", list));
  }
  if (ratio_read > 0)
    out.push_back(
        fmt::format("Travel ratio from the readings {:.2f} +- {:.2f}, from the geometry {:.2f} +- {:.2f}.",
                    ratio_read, ratio_sigma, ratio_geometry, ratio_doubt));
  if (!leans_on.empty()) {
    std::string text = leans_on;
    for (std::size_t k = 0; k < moved.size(); ++k) text += (k == 0 ? " Moved most: " : "; ") + moved[k];
    if (!moved.empty()) text += ".";
    for (std::size_t k = 0; k < kept.size(); ++k)
      text += (k == 0 ? " They tell how much rubs, hardly where; of their doubt keep " : ", ") + kept[k];
    if (!kept.empty()) text += ".";
    out.push_back(text);
  } else if (!conditioned) {
    out.emplace_back("Nothing is conditioned on these readings: absolute values rest on estimates.");
  }
  out.insert(out.end(), warnings.begin(), warnings.end());
  return out;
}

Conditioned condition_case(const CaseDescription& d, const ConditionOptions& options) {
  Conditioned out;
  const auto work = [&] { out = condition_here(d, options); };
  if (options.threads > 0) {
    tbb::task_arena arena(options.threads);
    arena.execute(work);
  } else {
    work();
  }
  for (const std::string& sentence : out.as_found.sentences()) out.description.notes.push_back(sentence);
  return out;
}

}  // namespace leverwright::calibrate
