// What a player of a stroke does with time, apart from any window: it replays, and never changes the motion.
#pragma once
#include <string>
#include <vector>

namespace leverwright::vtk {

struct NamedTime {
  std::string name;
  double at = 0;  // s on the stroke's clock
};

class Player {
 public:
  // Events outside of the stretch are left out; `from` < `to`.
  Player(double from, double to, std::vector<NamedTime> events);

  double time() const { return time_; }
  double share() const { return (time_ - from_) / (to_ - from_); }  // 0 to 1
  bool playing() const { return playing_; }
  double slow() const { return slow_; }  // times slower than life, 1 to 500
  // The last event that has happened, "" before the first.
  std::string event() const;

  void set_slow(double times);  // kept within 1 and 500
  void faster();                // by the next of 500, 200, 100, 50, 20, 10, 5, 2, 1
  void slower();
  void play(bool on);        // from the start again when it stands at the end
  void scrub(double share);  // stops there
  void step(double seconds);
  void next_event();                // stops there; the end after the last
  void last_event();                // the one before; the start before the first
  void wall_clock(double seconds);  // so much time has passed for who looks on
 private:
  double from_, to_, time_, slow_ = 50;
  bool playing_ = false;
  std::vector<NamedTime> events_;
};

}  // namespace leverwright::vtk
