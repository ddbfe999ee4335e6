#include "models/action/self_locking.h"

#include <Eigen/LU>
#include <algorithm>
#include <cmath>

namespace leverwright::action {

namespace {

using planar::MatQ;
using planar::VecQ;

constexpr std::array<ContactId, 3> kDrives = {kCapstanHeel, kJackKnuckle, kLeverKnuckle};
constexpr std::array<ContactId, 2> kStops = {kJackStopFelt, kLeverStopFelt};

// One column of the statics: a place that bears, its strips by their share of the force.
struct Column {
  ContactId place;
  VecQ row;           // per newton of normal force, full friction in the way it has now
  double normal = 0;  // as found [N]
};

class Statics {
 public:
  Statics(const Action& a, const run::StaticSample& s) : a_(a), s_(s), scratch_(a.mechanism) {
    scratch_.q = s.state.q;
    a.mechanism.calc_geometry(scratch_);
  }

  // A contact whose force at the edge of its cone turns nothing.
  const char* dead_contact() const {
    for (const ContactId place : kDrives)
      for (const std::size_t i : contacts_of(place)) {
        const auto& c = *a_.mechanism.contacts[i];
        const Vec2 arm = s_.contact_points[i].p - scratch_.poses[static_cast<std::size_t>(c.body_b)].o;
        const double along = base::cross(arm, planar::perp(s_.contact_points[i].n));
        if (mu_of(i) * std::abs(along) >= std::abs(base::cross(arm, s_.contact_points[i].n)))
          return kContactNames[static_cast<std::size_t>(place)];
      }
    return nullptr;
  }

  // True when the rigid train, all driving contacts sliding, cannot be moved by any finger.
  bool train_locks() const {
    const auto& m = a_.mechanism;
    const int n = m.n();
    // Everything that is not solved for, as found.
    VecQ rest = VecQ::Zero(n);
    for (int i = 0; i < n; ++i) {
      const auto& b = m.tree.body(i);
      if (b.mass > 0)
        m.tree.add_velocity_row(scratch_.poses, i, scratch_.poses[static_cast<std::size_t>(i)].to_W(b.p_cm),
                                b.mass * m.gravity, 1.0, rest);
    }
    m.add_spring_forces(s_.state.q, rest);
    for (std::size_t i = 0; i < m.pivots.size(); ++i)
      m.add_torque(m.tree.body(m.pivots[i].body).parent, m.pivots[i].body, -s_.pivot_torque[i], rest);
    std::vector<Column> columns;
    for (const ContactId place : kDrives) add_column(place, columns);
    for (const ContactId place : kStops) add_column(place, columns);
    // Jack and lever share the knuckle: where there is one unknown too many, in the ratio found.
    const auto of = [&](ContactId p) {
      return std::find_if(columns.begin(), columns.end(), [&](const Column& c) { return c.place == p; });
    };
    if (of(kJackKnuckle) != columns.end() && of(kLeverKnuckle) != columns.end()) {
      Column &jack = *of(kJackKnuckle), &lever = *of(kLeverKnuckle);
      const double both = jack.normal + lever.normal;
      Column& kept = jack.normal > lever.normal ? jack : lever;
      kept.row = (jack.normal * jack.row + lever.normal * lever.row) / both;
      kept.normal = both;
      columns.erase(of(kept.place == kJackKnuckle ? kLeverKnuckle : kJackKnuckle));
    }
    for (std::size_t i = 0; i < s_.normal.size(); ++i) {
      if (s_.normal[i] <= 0 || solved(i)) continue;
      rest -= s_.normal[i] * scratch_.J_d[i];
      if (s_.tangential[i] != 0) rest -= s_.tangential[i] * scratch_.J_t[i];
    }
    // The five levers alone; bodies of options follow what they found.
    const int count = static_cast<int>(columns.size()) + 1;
    if (count > kBodyCount) return false;
    Eigen::MatrixXd k(static_cast<int>(kBodyCount), count);
    for (int j = 0; j + 1 < count; ++j) k.col(j) = columns[static_cast<std::size_t>(j)].row.head(kBodyCount);
    k.col(count - 1).setZero();
    k(kKey, count - 1) = 1.0;  // the finger, as a moment on the key
    const Eigen::VectorXd b = -rest.head(kBodyCount), x = k.fullPivLu().solve(b);
    if (!((k * x - b).norm() < 1e-6 * (1e-3 + b.norm())))
      return false;  // not this picture: a part rests elsewhere
    for (int j = 0; j + 1 < count; ++j) {
      const ContactId place = columns[static_cast<std::size_t>(j)].place;
      if (std::find(kDrives.begin(), kDrives.end(), place) != kDrives.end() && x[j] <= 0) return true;
    }
    return false;
  }

  // The driving contact whose friction turns its driven body the most against its normal force.
  const char* worst() const {
    const char* out = kContactNames[kCapstanHeel];
    double most = 0;
    for (const ContactId place : kDrives)
      for (const std::size_t i : contacts_of(place)) {
        const auto& c = *a_.mechanism.contacts[i];
        const Vec2 arm = s_.contact_points[i].p - scratch_.poses[static_cast<std::size_t>(c.body_b)].o;
        const double share = mu_of(i) * std::abs(base::cross(arm, planar::perp(s_.contact_points[i].n))) /
                             std::max(1e-9, std::abs(base::cross(arm, s_.contact_points[i].n)));
        if (share > most) {
          most = share;
          out = kContactNames[static_cast<std::size_t>(place)];
        }
      }
    return out;
  }

 private:
  double mu_of(std::size_t i) const {
    const auto& c = *a_.mechanism.contacts[i];
    return c.friction.mu() * c.mu_factor(s_.contact_points[i].s_b);
  }
  std::vector<std::size_t> contacts_of(ContactId place) const {
    std::vector<std::size_t> out;
    const std::string& group = kContactNames[static_cast<std::size_t>(place)];
    for (std::size_t i = 0; i < s_.normal.size(); ++i)
      if (s_.normal[i] > 0 && a_.mechanism.contacts[i]->group == group) out.push_back(i);
    return out;
  }
  bool solved(std::size_t i) const {
    const std::string& group = a_.mechanism.contacts[i]->group;
    const auto is = [&](ContactId p) { return group == kContactNames[static_cast<std::size_t>(p)]; };
    return std::any_of(kDrives.begin(), kDrives.end(), is) || std::any_of(kStops.begin(), kStops.end(), is);
  }
  void add_column(ContactId place, std::vector<Column>& columns) const {
    Column c{place, VecQ::Zero(a_.mechanism.n())};
    for (const std::size_t i : contacts_of(place)) {
      const double n = s_.normal[i];
      c.row -= n * scratch_.J_d[i];
      if (!a_.mechanism.contacts[i]->is_angular() && s_.tangential[i] != 0)
        c.row -= n * std::copysign(mu_of(i), s_.tangential[i]) * scratch_.J_t[i];
      c.normal += n;
    }
    if (c.normal <= 0) return;
    c.row /= c.normal;
    columns.push_back(c);
  }

  const Action& a_;
  const run::StaticSample& s_;
  planar::Scratch scratch_;
};

}  // namespace

Jam find_jam(const Action& a, const std::vector<run::StaticSample>& down, double dip_free) {
  constexpr double kHeavy = 2.0;  // times what gravity, springs and cloth ask: before that nothing locks
  for (const auto& s : down) {
    if (s.travel > dip_free) break;
    const Statics statics(a, s);
    if (const char* place = statics.dead_contact()) return {true, place, s.travel};
    if (s.force > kHeavy * std::max(0.0, s.ledger.stored) && statics.train_locks())
      return {true, statics.worst(), s.travel};
  }
  return {};
}

}  // namespace leverwright::action
