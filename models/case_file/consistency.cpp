#include "models/case_file/consistency.h"

#include <fmt/format.h>

#include <cmath>
#include <functional>

#include "models/case_file/quantity.h"
#include "models/case_file/reconcile.h"
#include "models/case_file/static_balance.h"
#include "sim/base/error.h"

namespace leverwright::case_file {

namespace {

using Inputs = std::vector<double>;

struct Rule {
  std::string stated;
  std::vector<std::string> inputs;
  std::function<double(const Inputs&)> compute;
  std::string formula;
};

const std::vector<Rule>& rules() {
  static const std::vector<Rule> table = {
      {"stated.balance_weight",
       {"measured.down_weight", "measured.up_weight"},
       [](const Inputs& x) { return balance_weight_of(x[0], x[1]); },
       "half of down weight plus up weight"},
      {"stated.friction",
       {"measured.down_weight", "measured.up_weight"},
       [](const Inputs& x) { return friction_of(x[0], x[1]); },
       "half of down weight less up weight"},
      {"stated.key_ratio",
       {"horizontal rear arm", "measured.key_front_length"},
       [](const Inputs& x) { return x[0] / x[1]; },
       "the key's horizontal arm to the capstan's top over its front length"},
      {"stated.weight_ratio",
       {"measured.down_weight", "measured.up_weight", "measured.front_weight", "measured.strike_weight",
        "measured.wippen_weight", "key ratio"},
       [](const Inputs& x) {
         return weight_ratio_of(balance_weight_of(x[0], x[1]), {x[2], x[3], x[4], x[5]});
       },
       "balance weight plus front weight less wippen weight times key ratio, over strike weight"},
      {"stated.wippen_share",
       {"measured.wippen_weight", "key ratio"},
       [](const Inputs& x) { return wippen_share_of(x[0], x[1]); },
       "wippen weight times key ratio"},
      {"stated.distance_ratio",
       {"stated.hammer_travel", "stated.key_travel"},
       [](const Inputs& x) { return distance_ratio_of(x[0], x[1]); },
       "hammer travel over key travel"},
  };
  return table;
}

// Balance hole to the capstan's top along the keybed. The length itself is measured straight, up to the
// capstan's top, and is longer: 131.9 mm for 124 mm in a usual grand.
bool find_rear_arm(const CaseDescription& d, Quantity& out) {
  try {
    const ReconciledGeometry g = reconcile(d);
    out = Quantity{};
    out.dimension = Dimension::kLength;
    out.value = g.p_WC.x();
    out.sigma = std::sqrt(g.covariance(4, 4));
    return true;
  } catch (const base::UserError&) {
    return false;  // said where the lengths themselves are checked
  }
}

// A measured value, or what follows from several: the key ratio as stated, else from the horizontal arms as
// the weighing takes it; the rear arm from the reconciled lengths and heights.
bool find_input(const CaseDescription& d, const std::string& name, Quantity& out) {
  if (name == "horizontal rear arm") return find_rear_arm(d, out);
  if (name != "key ratio") {
    const auto found = d.quantities.find(name);
    if (found == d.quantities.end()) return false;
    out = found->second;
    return true;
  }
  if (find_input(d, "stated.key_ratio", out)) return true;
  Quantity rear, front;
  if (!find_rear_arm(d, rear) || !find_input(d, "measured.key_front_length", front)) return false;
  out = Quantity{};
  out.value = rear.value / front.value;
  out.sigma = out.value * std::hypot(rear.sigma / rear.value, front.sigma / front.value);
  return true;
}

double propagated_sigma(const Rule& rule, const Inputs& x, const Inputs& sigma) {
  double variance = 0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    Inputs up = x, down = x;
    up[i] += sigma[i];
    down[i] -= sigma[i];
    const double change = (rule.compute(up) - rule.compute(down)) / 2;
    variance += change * change;
  }
  return std::sqrt(variance);
}

std::string printed(double si, Dimension dimension) {
  const std::string unit = trade_unit(dimension);
  return fmt::format("{:.3g}{}{}", si / trade_unit_in_si(dimension), unit.empty() ? "" : " ", unit);
}

}  // namespace

std::vector<Disagreement> find_disagreements(const CaseDescription& d) {
  std::vector<Disagreement> out;
  for (const Rule& rule : rules()) {
    const auto stated = d.quantities.find(rule.stated);
    if (stated == d.quantities.end()) continue;
    Inputs x, sigma;
    for (const std::string& name : rule.inputs) {
      Quantity q;
      if (!find_input(d, name, q)) break;
      x.push_back(q.value);
      sigma.push_back(q.sigma);
    }
    if (x.size() != rule.inputs.size()) continue;
    Disagreement found{rule.stated, stated->second.value, rule.compute(x), propagated_sigma(rule, x, sigma),
                       ""};
    const double difference = found.stated - found.computed;
    if (std::abs(difference) <= stated->second.sigma) continue;
    const Dimension dimension = stated->second.dimension;
    const double in_sigmas = std::abs(difference) / std::max(found.bench_sigma, 1e-12);
    found.text = fmt::format(
        "{} is given as {}, but {} makes it {}: they disagree by {} ({:.1f} standard deviations of the bench "
        "measurements). {}",
        rule.stated, printed(found.stated, dimension), rule.formula, printed(found.computed, dimension),
        printed(std::abs(difference), dimension), in_sigmas,
        in_sigmas > 1.96
            ? "One of the numbers is wrong: weigh and work it out again."
            : "Measuring scatter could explain it; if both came off the same sheet, one is a slip.");
    out.push_back(found);
  }
  return out;
}

}  // namespace leverwright::case_file
