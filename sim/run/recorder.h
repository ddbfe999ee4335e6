// Where a stroke puts what it computes. The integrator knows no more than this.
#pragma once
#include <string>
#include <vector>

#include "sim/planar/mechanism.h"

namespace leverwright::run {

enum class EventKind {
  kCloses,  // a contact group bears again; index: its place in Mechanism::groups()
  kOpens,   // the last contact of a group has parted
  kCaller,  // an event function of the caller; index: its place in the caller's list
};

struct Event {
  EventKind kind;
  int index;
  const std::string* name;  // group, or the caller's name
  double t;                 // [s]
};

// x: the state of the mechanism, state_size() long; s: forces and rates at that state, from calc_rates.
// Both are valid during the call only.
class Recorder {
 public:
  virtual ~Recorder() = default;
  virtual void on_start(const planar::Mechanism& model) = 0;
  virtual void on_sample(double t, const double* x, const planar::Scratch& s) = 0;
  virtual void on_event(const Event& event, const double* x, const planar::Scratch& s) = 0;
  // After each accepted step, whatever the output interval: for peaks.
  virtual void on_step(double /*t*/, const double* /*x*/, const planar::Scratch& /*s*/) {}
};

// Keeps states, forces and events in memory, one row per sample.
class MemoryRecorder : public Recorder {
 public:
  // Room for that many samples is set aside at the start, so that a run of known length allocates nothing.
  explicit MemoryRecorder(std::size_t samples_expected = 0) : expected_(samples_expected) {}
  void on_start(const planar::Mechanism& model) override;
  void on_sample(double t, const double* x, const planar::Scratch& s) override;
  void on_event(const Event& event, const double* x, const planar::Scratch& s) override;

  struct KeptEvent {
    EventKind kind;
    int index;
    std::string name;
    double t;
  };
  std::vector<double> time;
  std::vector<double> states;  // time.size() rows of state_size
  std::size_t state_size = 0;
  std::vector<KeptEvent> events;
  const double* state(std::size_t row) const { return states.data() + row * state_size; }
  // Time of the first event of that kind and name; NaN when there was none.
  double first(EventKind kind, const std::string& name) const;

 private:
  std::size_t expected_;
};

}  // namespace leverwright::run
