#include "sim/run/recorder.h"

#include <limits>

namespace leverwright::run {

void MemoryRecorder::on_start(const planar::Mechanism& model) {
  state_size = static_cast<std::size_t>(model.state_size());
  time.clear();
  states.clear();
  events.clear();
  time.reserve(expected_);
  states.reserve(expected_ * state_size);
}

void MemoryRecorder::on_sample(double t, const double* x, const planar::Scratch&) {
  time.push_back(t);
  states.insert(states.end(), x, x + state_size);
}

void MemoryRecorder::on_event(const Event& event, const double*, const planar::Scratch&) {
  events.push_back({event.kind, event.index, *event.name, event.t});
}

double MemoryRecorder::first(EventKind kind, const std::string& name) const {
  for (const KeptEvent& e : events)
    if (e.kind == kind && e.name == name) return e.t;
  return std::numeric_limits<double>::quiet_NaN();
}

}  // namespace leverwright::run
