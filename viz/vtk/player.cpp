#include "viz/vtk/player.h"

#include <algorithm>
#include <array>

namespace leverwright::vtk {
namespace {

constexpr std::array<double, 9> kPaces{1, 2, 5, 10, 20, 50, 100, 200, 500};
constexpr double kSame = 1e-6;  // s: an event it stands on is not the next

}  // namespace

Player::Player(double from, double to, std::vector<NamedTime> events)
    : from_(from), to_(to), time_(from), events_(std::move(events)) {
  events_.erase(std::remove_if(events_.begin(), events_.end(),
                               [&](const NamedTime& e) { return !(e.at >= from_ && e.at <= to_); }),
                events_.end());
  std::stable_sort(events_.begin(), events_.end(),
                   [](const NamedTime& a, const NamedTime& b) { return a.at < b.at; });
}

std::string Player::event() const {
  std::string out;
  for (const NamedTime& e : events_)
    if (e.at <= time_ + kSame) out = e.name;
  return out;
}

void Player::set_slow(double times) { slow_ = std::clamp(times, kPaces.front(), kPaces.back()); }

void Player::faster() {
  for (auto it = kPaces.rbegin(); it != kPaces.rend(); ++it)
    if (*it < slow_) {
      slow_ = *it;
      return;
    }
}

void Player::slower() {
  for (const double pace : kPaces)
    if (pace > slow_) {
      slow_ = pace;
      return;
    }
}

void Player::play(bool on) {
  if (on && time_ >= to_) time_ = from_;
  playing_ = on;
}

void Player::scrub(double share) {
  playing_ = false;
  time_ = from_ + std::clamp(share, 0.0, 1.0) * (to_ - from_);
}

void Player::step(double seconds) {
  playing_ = false;
  time_ = std::clamp(time_ + seconds, from_, to_);
}

void Player::next_event() {
  playing_ = false;
  for (const NamedTime& e : events_)
    if (e.at > time_ + kSame) {
      time_ = e.at;
      return;
    }
  time_ = to_;
}

void Player::last_event() {
  playing_ = false;
  for (auto it = events_.rbegin(); it != events_.rend(); ++it)
    if (it->at < time_ - kSame) {
      time_ = it->at;
      return;
    }
  time_ = from_;
}

void Player::wall_clock(double seconds) {
  if (!playing_) return;
  time_ += seconds / slow_;
  if (time_ < to_) return;
  time_ = to_;
  playing_ = false;
}

}  // namespace leverwright::vtk
