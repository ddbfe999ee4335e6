#include "models/judgement/usual.h"

namespace leverwright::judgement {

namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();

void derive(std::vector<Measure>& measures, const char* sum, const char* difference, const char* of_sum,
            const char* of_difference, double scale) {
  const Measure *a = find_measure(measures, sum), *b = find_measure(measures, difference);
  if (!a || !b || !a->wanted.own || !b->wanted.own) return;
  const double one = a->wanted.high, other = b->wanted.high;
  const Measure* mean = find_measure(measures, of_sum);
  const Measure* half = find_measure(measures, of_difference);
  if (mean && !mean->wanted.own) set_target(measures, of_sum, scale * (one + other));
  if (half && !half->wanted.own) set_target(measures, of_difference, scale * (one - other));
}

}  // namespace

std::vector<Measure> usual_measures(double note) {
  const double friction = 15 - 5 * (note - 1) / 87;
  std::vector<Measure> out = {
      {"down_weight", "down weight", "gf", 1, 2, {45, 55}},
      {"up_weight", "up weight", "gf", 1, 2, {20, 30}},
      {"balance_weight", "balance weight", "gf", 1, 2, {35, 40}},
      {"friction", "friction", "gf", 1, 2, {-kInfinity, friction}, true},
      {"dip", "dip", "mm", 2, 0.1, {9.9, 10.7}},
      {"aftertouch", "aftertouch", "mm", 2, 0.1, {0.8, 1.5}},
      {"let_off", "let-off", "mm", 1, 0.2, {1.5, 2.5}},
      {"blow", "blow", "mm", 1, 0.5, {44.5, 47.6}},
      {"cap_margin", "margin on the cap", "mm", 1, 0.5, {0.5, kInfinity}, false, true},
      {"face_margin", "margin on the face", "mm", 1, 0.5, {0.5, kInfinity}, false, true},
  };
  return out;
}

Measure* find_measure(std::vector<Measure>& measures, const std::string& key) {
  for (Measure& m : measures)
    if (m.key == key) return &m;
  return nullptr;
}

void set_target(std::vector<Measure>& measures, const std::string& key, double value) {
  Measure* m = find_measure(measures, key);
  if (m) m->wanted = {m->is_friction ? -kInfinity : value, value, true};
}

void derive_targets(std::vector<Measure>& measures) {
  derive(measures, "down_weight", "up_weight", "balance_weight", "friction", 0.5);
  derive(measures, "balance_weight", "friction", "down_weight", "up_weight", 1);
}

}  // namespace leverwright::judgement
