#include "sim/run/step_control.h"

#include <algorithm>
#include <cmath>

namespace leverwright::run {

using planar::Mechanism;
using planar::Scratch;

ErrorNorm::ErrorNorm(const Mechanism& m, const ErrorScales& scales, double tolerance)
    : model_(m),
      coordinate_(static_cast<std::size_t>(2 * m.n())),
      start_(m.contacts.size()),
      per_force_(1 / (scales.force * tolerance)),
      per_torque_(1 / (scales.torque * tolerance)),
      per_reaction_(1 / (scales.reaction * tolerance)) {
  for (int i = 0; i < m.n(); ++i) {
    const planar::Body& b = m.tree.body(i);
    double inertia =
        b.joint == planar::Joint::kRevolute ? b.inertia_cm + b.mass * b.p_cm.squaredNorm() : b.mass;
    if (b.joint == planar::Joint::kSlide)  // and what it carries
      for (int k = 0; k < m.n(); ++k)
        if (m.tree.body(k).parent == i) inertia += m.tree.body(k).mass;
    const double speed = std::sqrt(2 * scales.energy / std::max(inertia, 1e-9));
    coordinate_[static_cast<std::size_t>(m.at_q(i))] = 1 / (tolerance * speed * scales.time);
    coordinate_[static_cast<std::size_t>(m.at_v(i))] = 1 / (tolerance * speed);
  }
  // A mode's amplitude as a body's speed does: w sqrt(m) |error| against sqrt(2 energy); the displacement at
  // the struck point as a body's position.
  for (const planar::StringBehind& b : m.strings) {
    string_.push_back(0);  // the clock
    string_.push_back(std::sqrt(b.string.modes().front().mass / (2 * scales.energy)) /
                      (tolerance * scales.time));
    for (const planar::ModalString::Mode& mode : b.string.modes())
      string_.insert(string_.end(), 2,
                     mode.frequency * std::sqrt(mode.mass / (2 * scales.energy)) / tolerance);
  }
}

ErrorNorm::Load ErrorNorm::load_of(const planar::Contact& c, const Scratch& s, std::size_t i) {
  const double depth = s.contact_points[i].depth;
  if (depth <= 0) return {};
  return {planar::Cloth::kKappa * c.cloth.exponent() * s.reversible[i] / depth,
          c.friction.mu() * s.reversible[i]};
}

void ErrorNorm::note_start(const Scratch& s) {
  for (std::size_t i = 0; i < start_.size(); ++i) start_[i] = load_of(*model_.contacts[i], s, i);
}

void ErrorNorm::weigh(int component, double weighed) {
  if (not_a_number_ || weighed <= largest_) return;  // the first NaN is the culprit
  worst_ = component;
  largest_ = weighed;
  if (!std::isfinite(weighed)) {
    not_a_number_ = true;
    largest_ = kHopeless;
  }
}

double ErrorNorm::measure(const StrokeState& error, const Scratch& end) {
  largest_ = 0;
  not_a_number_ = false;
  const auto size_of = [&error](int i) { return std::abs(error[static_cast<std::size_t>(i)]); };
  for (int i = 0; i < 2 * model_.n(); ++i) weigh(i, size_of(i) * coordinate_[static_cast<std::size_t>(i)]);
  for (std::size_t i = 0; i < start_.size(); ++i) {
    const int k = static_cast<int>(i);
    const Load now = load_of(*model_.contacts[i], end, i);
    weigh(model_.at_d0(k), size_of(model_.at_d0(k)) *
                               std::max(std::max(now.cloth, start_[i].cloth) * per_force_, 1 / kLeastMemory));
    const int u = model_.at_u(k);
    if (u >= 0)
      weigh(u, size_of(u) *
                   std::max(std::max(now.friction, start_[i].friction) * per_force_, 1 / kLeastBristle));
  }
  for (std::size_t i = 0; i < model_.pivots.size(); ++i) {
    const int k = static_cast<int>(i);
    const double level = model_.pivots[i].friction.level(end.pivot_reaction[i]);
    weigh(model_.at_pivot_u(k), size_of(model_.at_pivot_u(k)) * level * per_torque_);
    weigh(model_.at_pivot_reaction(k), size_of(model_.at_pivot_reaction(k)) * per_reaction_);
  }
  if (!string_.empty() && !end.strings_alone) {
    const int from = model_.at_string(0);
    for (std::size_t i = 0; i < string_.size(); ++i)
      weigh(from + static_cast<int>(i), size_of(from + static_cast<int>(i)) * string_[i]);
  }
  return largest_;
}

std::string name_component(const planar::Mechanism& m, int component) {
  for (int i = 0; i < m.n(); ++i) {
    if (component == m.at_q(i)) return m.tree.name(i) + ", position";
    if (component == m.at_v(i)) return m.tree.name(i) + ", speed";
  }
  for (int i = 0; i < static_cast<int>(m.contacts.size()); ++i) {
    const std::string& name = m.contacts[static_cast<std::size_t>(i)]->name;
    if (component == m.at_d0(i)) return name + ", cloth";
    if (component == m.at_u(i)) return name + ", friction";
  }
  for (int i = 0; i < static_cast<int>(m.pivots.size()); ++i) {
    const std::string& name = m.pivots[static_cast<std::size_t>(i)].name;
    if (component == m.at_pivot_u(i)) return name + ", friction";
    if (component == m.at_pivot_reaction(i)) return name + ", joint force";
  }
  for (int k = static_cast<int>(m.strings.size()) - 1; k >= 0; --k)
    if (component >= m.at_string(k)) return m.strings[static_cast<std::size_t>(k)].name;
  return "energy audit";
}

}  // namespace leverwright::run
