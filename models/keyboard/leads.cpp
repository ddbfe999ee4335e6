#include "models/keyboard/leads.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/base/units.h"

namespace leverwright::keyboard {

namespace {

constexpr double kBin = 1e-6;  // kg m: 1 g mm
constexpr float kNo = std::numeric_limits<float>::infinity();

// The recursion over one stretch of the keystick.
class Stretch {
 public:
  Stretch(const LeadRules& rules, double from, double to, LeadWish wish, double greatest)
      : stock_(rules.stock), by_mass_(wish == LeadWish::kLeastLead), most_(rules.most) {
    if (!(to > from)) return;
    for (double d = from; d <= to + 1e-9; d += rules.step) place_.push_back(d);
    gap_ = static_cast<std::size_t>(std::max(1.0, std::ceil(rules.spacing / rules.step - 1e-9)));
    const double heaviest = *std::max_element(stock_.begin(), stock_.end());
    bins_ = static_cast<std::size_t>(std::lround(std::min(greatest, most_ * heaviest * to) / kBin)) + 200;
    cost_.assign(static_cast<std::size_t>(most_ + 1) * (place_.size() + 1) * bins_, kNo);
    // p counts the places allowed: 0, none.
    for (std::size_t p = 0; p <= place_.size(); ++p) at(0, p, 0) = 0;
    for (int k = 1; k <= most_; ++k)
      for (std::size_t p = 1; p <= place_.size(); ++p) {
        float* here = &at(k, p, 0);
        std::copy_n(&at(k, p - 1, 0), bins_, here);
        for (const double mass : stock_) {
          const float* before = &at(k - 1, p > gap_ ? p - gap_ : 0, 0);
          const float cost = cost_of(mass, p);
          const std::size_t moment = moment_of(mass, p);
          for (std::size_t m = moment; m < bins_; ++m) here[m] = std::min(here[m], before[m - moment] + cost);
        }
      }
  }

  // Least cost within the tolerance; of the moments reached, those within a quarter of it come first, so that
  // saving a little does not use the tolerance up. Empty when there are none.
  std::vector<case_file::PlacedMass> find(double moment, double tolerance, bool fewest) const {
    if (place_.empty()) return {};
    const double wanted = moment / kBin, allowed = std::max(0.5, tolerance / kBin);
    int most = most_;
    if (fewest) {
      most = 0;
      for (int k = 1; k <= most_ && most == 0; ++k)
        if (least(k, k, wanted, allowed).k > 0) most = k;
    }
    for (const double within : {std::max(0.5, 0.25 * allowed), allowed})
      if (const Found f = least(1, most, wanted, within); f.k > 0) return trace(f.k, f.m);
    return {};
  }

  // As near as any leads come.
  std::vector<case_file::PlacedMass> find_nearest(double moment) const {
    if (place_.empty()) return {};
    const double wanted = moment / kBin;
    double off = std::numeric_limits<double>::infinity();
    for (std::size_t m = 0; m < bins_; ++m) {
      const double here = std::abs(static_cast<double>(m) - wanted);
      if (here < off && least(1, most_, static_cast<double>(m), 0.25).k > 0) off = here;
    }
    if (!std::isfinite(off)) return {};
    const Found f = least(1, most_, wanted, off);
    return trace(f.k, f.m);
  }

 private:
  float& at(int k, std::size_t p, std::size_t m) {
    return cost_[(static_cast<std::size_t>(k) * (place_.size() + 1) + p) * bins_ + m];
  }
  float at(int k, std::size_t p, std::size_t m) const {
    return cost_[(static_cast<std::size_t>(k) * (place_.size() + 1) + p) * bins_ + m];
  }
  std::size_t moment_of(double mass, std::size_t p) const {
    return static_cast<std::size_t>(std::lround(mass * place_[p - 1] / kBin));
  }
  float cost_of(double mass, std::size_t p) const {  // in g mm2, or in g
    const double d = place_[p - 1];
    return static_cast<float>(by_mass_ ? mass * 1e3 : mass * d * d * 1e9);
  }
  float with(int k, std::size_t p, std::size_t m, double mass) const {
    if (moment_of(mass, p) > m) return kNo;
    return at(k - 1, p > gap_ ? p - gap_ : 0, m - moment_of(mass, p)) + cost_of(mass, p);
  }
  struct Found {
    int k = 0;
    std::size_t m = 0;
  };
  Found least(int from, int most, double wanted, double within) const {
    Found out;
    float cost = kNo;
    const double low = std::max(0.0, std::ceil(wanted - within)),
                 high = std::min(static_cast<double>(bins_) - 1, std::floor(wanted + within));
    for (int k = from; k <= most; ++k)
      for (double m = low; m <= high; ++m)
        if (const float here = at(k, place_.size(), static_cast<std::size_t>(m)); here < cost) {
          cost = here;
          out = {k, static_cast<std::size_t>(m)};
        }
    return out;
  }
  std::vector<case_file::PlacedMass> trace(int k, std::size_t m) const {
    std::vector<case_file::PlacedMass> out;
    std::size_t p = place_.size();
    while (k > 0) {
      while (p > 1 && at(k, p - 1, m) == at(k, p, m)) --p;
      for (const double mass : stock_) {
        if (with(k, p, m, mass) != at(k, p, m)) continue;
        out.push_back({mass, place_[p - 1]});
        m -= moment_of(mass, p);
        break;
      }
      p = p > gap_ ? p - gap_ : 0;
      --k;
    }
    std::reverse(out.begin(), out.end());
    return out;
  }

  std::vector<double> stock_, place_;
  bool by_mass_ = false;
  int most_ = 0;
  std::size_t gap_ = 1, bins_ = 0;
  std::vector<float> cost_;
};

}  // namespace

struct LeadTable::Inside {
  LeadRules rules;
  LeadWish wish;
  Stretch front, rear;
};

LeadTable::LeadTable(const LeadRules& rules, LeadWish wish, double greatest)
    : in_(new Inside{rules, wish, Stretch(rules, rules.from, rules.to, wish, greatest),
                     Stretch(rules, rules.rear_from, rules.rear_to, wish, greatest)}) {}
LeadTable::~LeadTable() = default;

double lead_moment_for(double front_weight, double front_length) {
  return front_weight * front_length / base::kGravity;
}

LeadPlan LeadTable::choose(double front_weight, double front_length) const {
  LeadPlan plan;
  if (std::abs(front_weight) > in_->rules.tolerance) {
    const double moment = lead_moment_for(front_weight, front_length);
    const double tolerance = lead_moment_for(in_->rules.tolerance, front_length);
    const Stretch& stretch = moment > 0 ? in_->front : in_->rear;
    const bool fewest = in_->wish == LeadWish::kFewest;
    plan.leads = stretch.find(std::abs(moment), tolerance, fewest);
    if (plan.leads.empty()) plan.leads = stretch.find_nearest(std::abs(moment));
    if (moment < 0)
      for (auto& lead : plan.leads) lead.distance = -lead.distance;
  }
  plan.front_weight = base::kGravity * case_file::first_moment_of(plan.leads) / front_length;
  // Out of reach either way: no lead may be nearer than the nearest with one.
  if (std::abs(front_weight) < std::abs(plan.front_weight - front_weight)) {
    plan.leads.clear();
    plan.front_weight = 0;
  }
  plan.error = plan.front_weight - front_weight;
  // The rounding of the bins is allowed on top of the tolerance.
  const double rounding = 0.5 * kBin * in_->rules.most * base::kGravity / front_length;
  plan.found = std::abs(plan.error) <= in_->rules.tolerance + rounding;
  for (const auto& lead : plan.leads) plan.mass += lead.mass;
  plan.inertia = case_file::inertia_of(plan.leads);
  plan.reflected = plan.inertia / (front_length * front_length);
  return plan;
}

}  // namespace leverwright::keyboard
