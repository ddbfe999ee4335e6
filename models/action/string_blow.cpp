#include "models/action/string_blow.h"

#include <cmath>
#include <limits>
#include <memory>

#include "sim/run/stroke.h"

namespace leverwright::action {

const std::array<PublishedNote, 3> kPublishedNotes = {{
    {"C2", {1.90, 35e-3, 750, 7.5e-6, 0.12, 0.25, 7.5e-9, 40}, 4e8, 2.3, 4.9e-3},
    {"C4", {0.62, 3.93e-3, 670, 3.82e-5, 0.12, 0.5, 6.25e-9, 16}, 4.5e9, 2.5, 2.97e-3},
    {"C7", {0.09, 0.467e-3, 750, 8.67e-4, 0.0625, 0.5, 2.6e-10, 16}, 1e12, 3.0, 2.2e-3},
}};

planar::Cloth felt_of(const PublishedNote& n, bool with_loss) {
  constexpr double kDepth = 0.25e-3;  // any depth does for a power law
  constexpr double kEta = 0.3 / (2 - 0.3), kDamping = 0.2, kLossTime = 0.08e-3;
  const double force = n.felt_k * std::pow(kDepth, n.felt_p);
  return with_loss ? planar::Cloth(force, kDepth, n.felt_p, kEta, kDamping, kLossTime)
                   : planar::Cloth(force, kDepth, n.felt_p, 0, 0);
}

namespace {

// Notes when the string is touched and left, and the greatest force.
class BlowWatcher : public run::Recorder {
 public:
  void on_start(const planar::Mechanism&) override {}
  void on_sample(double, const double*, const planar::Scratch&) override {}
  void on_event(const run::Event& event, const double* x, const planar::Scratch&) override {
    if (event.kind == run::EventKind::kCloses) {
      if (std::isnan(touched)) touched = event.t;
      on_string = true;
    } else if (event.kind == run::EventKind::kOpens) {
      left = event.t;
      rebound = -x[1];
      on_string = false;
    }
  }
  void on_step(double, const double*, const planar::Scratch& s) override {
    peak = std::max(peak, s.normal[0]);
  }
  double touched = std::numeric_limits<double>::quiet_NaN(), left = touched, rebound = 0, peak = 0;
  bool on_string = false;
};

}  // namespace

StringBlow strike_string(const planar::StringData& data, const planar::Cloth& felt, double mass,
                         double speed) {
  planar::Mechanism m;
  m.gravity.setZero();
  planar::Body hammer;
  hammer.name = "hammer";
  hammer.joint = planar::Joint::kSlide;
  hammer.slide_direction = planar::Vec2(0, 1);
  hammer.mass = mass;
  m.tree.add(hammer);
  auto contact = std::make_unique<planar::TipOnLine>("felt", planar::kGround, planar::Vec2(0, 0),
                                                     planar::Vec2(0, -1), 0, planar::Vec2(0, 0), 0.0);
  contact->cloth = felt;
  m.contacts.push_back(std::move(contact));
  m.strings.push_back({"string", 0, planar::ModalString(data)});
  m.finish();

  const run::Drive nothing;
  run::StrokeOptions options;
  options.output_interval = 0;
  options.tolerance = 0.01;  // a blow has a hundredth of a stroke's energy, and costs as little
  BlowWatcher watcher;
  run::Stroke stroke(m, nothing, options);
  std::vector<double> x(static_cast<std::size_t>(m.state_size()), 0.0);
  x[0] = -1e-6;
  x[1] = speed;
  stroke.start(0, x, &watcher);
  stroke.advance(kLongestBlow);
  StringBlow out;
  out.parted = !watcher.on_string && !std::isnan(watcher.left);
  out.duration = watcher.left - watcher.touched;
  out.rebound_speed = watcher.rebound;
  out.peak_force = watcher.peak;
  out.string_energy = m.strings[0].string.energy(stroke.state().data() + m.at_string(0));
  out.audit_error = stroke.audit().error();
  return out;
}

}  // namespace leverwright::action
