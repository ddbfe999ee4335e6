// What the shipped defaults alone say of a regulated typical note: the tables of models/handbook/priors.md.
//
//   build/tests/validation/experiments/prior_predictive_experiment [DRAWS] [TOUCHED] [COMMIT]   (project's
//   root)
//
// DRAWS notes are drawn (prior_draws.h), regulated and weighed; of the first TOUCHED of them the touches are
// played as well. Friction, down and up weight may set the ranges (use = prior) and are no evidence then; the
// other rows of models/handbook/bands.csv are checks.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <map>

#include "models/study/compare.h"
#include "tests/validation/experiments/prior_draws.h"
#include "viz/table/bands.h"

namespace leverwright::validation {
namespace {

constexpr std::uint64_t kSeed = 20260401;

struct Row {
  std::vector<double> x;
  double at(double share) const {
    std::vector<double> s = x;
    std::sort(s.begin(), s.end());
    return s[static_cast<std::size_t>(share * static_cast<double>(s.size() - 1) + 0.5)];
  }
  double inside(double low, double high) const {
    const auto n = std::count_if(x.begin(), x.end(), [&](double v) { return v >= low && v <= high; });
    return 100.0 * static_cast<double>(n) / static_cast<double>(x.size());
  }
};

void print_row(const std::string& name, const Row& r, double low, double high, const char* verdict) {
  fmt::print("| {} | {:.3g} | {:.3g} to {:.3g} | {:g} to {:g} | {:.0f} % | {} |\n", name, r.at(0.5),
             r.at(0.025), r.at(0.975), low, high, r.inside(low, high), verdict);
}

int run(int draws, int touched, const std::string& commit) {
  const PriorNote note = typical_note();
  const auto bands = table::read_bands("models/handbook/bands.csv");
  std::map<std::string, Row> rows;
  std::map<std::string, int> failed;
  std::vector<std::array<double, 3>> shares(note.inputs.size());
  std::vector<std::vector<double>> drawn(note.inputs.size());
  std::vector<double> friction;
  for (int k = 0; k < draws; ++k) {
    const PriorDraw one = draw_note(note, kSeed, static_cast<std::uint64_t>(k));
    const auto& m = one.measures;
    if (!std::isfinite(m[study::kFriction])) {
      ++failed[one.why_not];
      continue;
    }
    rows["friction"].x.push_back(m[study::kFriction] / base::kGramForce);
    rows["down_weight"].x.push_back(m[study::kDownWeight] / base::kGramForce);
    rows["up_weight"].x.push_back(m[study::kUpWeight] / base::kGramForce);
    rows["distance_ratio"].x.push_back(m[study::kDistanceRatio]);
    rows["reflected_mass"].x.push_back(m[study::kReflectedMass]);
    rows["capstan_friction"].x.push_back(m[study::kCapstanFriction] / base::kGramForce);
    friction.push_back(m[study::kFriction] / base::kGramForce);
    for (std::size_t i = 0; i < note.inputs.size(); ++i)
      drawn[i].push_back(study::draw(note.inputs[i], "", kSeed, static_cast<std::uint64_t>(k)));
    if (k >= touched) continue;
    study::CompareOptions options;
    options.uncertainty = false;
    options.touches = study::known_touches();
    options.threads = 1;
    const auto c = study::compare(one.description, options);
    const auto& s = c.set_ups.front();
    if (!s.weighing.ok) continue;
    auto values = table::find_band_values(s);
    for (const char* id : {"friction", "down_weight", "up_weight", "distance_ratio", "reflected_mass"})
      values.erase(id);
    values.merge(table::find_band_values(s.touches));
    table::add_band_values(table::find_finger_band_values(one.description, s), values);
    values.merge(table::find_extreme_band_values(s, bands));
    for (const auto& [name, x] : table::flatten_band_values(values))
      if (std::isfinite(x)) rows[name].x.push_back(x);
    fmt::print(stderr, "{} of {} played\n", k + 1, touched);
  }
  fmt::print("{} notes drawn, seed {}, commit {}; {} weighed.", draws, kSeed, commit, friction.size());
  for (const auto& [why, n] : failed) fmt::print(" Not weighed, {}: {}.", why, n);
  fmt::print(
      "\n\n| quantity | median | 95 of 100 draws | published | inside | |\n|---|---|---|---|---|---|\n");
  for (const auto& band : bands)
    for (const auto& [name, r] : rows) {
      if (name != band.id && name.rfind(band.id + "/", 0) != 0) continue;
      const double share = r.inside(band.low, band.high);
      const bool one_sided = band.low == 0;
      const char* verdict = band.use == "prior"                ? "sets the ranges"
                            : band.use == "shown"              ? "shown, no trustworthy source"
                            : band.use == "own" && share >= 50 ? "inside, but the width is ours: missed"
                            : one_sided                        ? (share >= 95 ? "met" : "MISSED")
                            : share >= 50                      ? (share > 99 ? "met, ranges narrow" : "met")
                                                               : "MISSED";
      print_row(name, r, band.low, band.high, verdict);
    }
  print_row("capstan_friction", rows["capstan_friction"], 0, 1e3, "shown");
  fmt::print("\nLargest shares of the friction's variance, each input by itself:\n\n");
  std::vector<std::pair<double, std::string>> by;
  for (std::size_t i = 0; i < note.inputs.size(); ++i)
    by.emplace_back(study::first_order_share(drawn[i], friction), note.inputs[i].name);
  std::sort(by.rbegin(), by.rend());
  for (std::size_t i = 0; i < std::min<std::size_t>(by.size(), 8); ++i)
    fmt::print("- {}: {:.0f} %\n", by[i].second, 100 * by[i].first);
  return 0;
}

}  // namespace
}  // namespace leverwright::validation

int main(int argc, char** argv) {
  return leverwright::validation::run(argc > 1 ? std::atoi(argv[1]) : 400, argc > 2 ? std::atoi(argv[2]) : 40,
                                      argc > 3 ? argv[3] : "not said");
}
