// Do the stated 95 % bands hold on pianos whose frictions lie outside what the defaults expect? The table of
// models/handbook/priors.md.
//
//   build/tests/validation/experiments/shifted_coverage_experiment [PIANOS] [COMMIT]      (from the project's
//   root)
//
// Each piano is the typical note (tests/validation/typical_note) with every friction multiplied by one factor
// between 0.6 and 1.6, drawn for the piano, times a scatter of a tenth for each; the other uncertain inputs
// are drawn as the case says. It is weighed, the readings get errors of 1.5 gf, and three sets of bands are
// tried:
//   prior        what the shipped ranges say of this note, without readings
//   conditioned  the same after down and up weight as found: predicted are the weights after another change,
//   the
//                hammer centre eased and the hammer 1 gf lighter, which nobody has read
//   calibrate    the frictions found from the readings of one note with its two centres gauged
#include <fmt/format.h>

#include <boost/math/distributions/beta.hpp>
#include <cmath>
#include <cstdlib>
#include <map>

#include "models/calibrate/as_found.h"
#include "models/calibrate/calibrate.h"
#include "sim/base/error.h"
#include "tests/validation/experiments/prior_draws.h"

namespace leverwright::validation {
namespace {

constexpr std::uint64_t kSeed = 20260402;
constexpr double kLow = 0.6, kHigh = 1.6, kReading = 1.5;  // factor; gf

struct Tally {
  int inside = 0, count = 0;
  double width = 0;
  void add(double off, double sigma, double unit) {
    if (!std::isfinite(off) || !std::isfinite(sigma)) return;
    inside += std::abs(off) <= 1.96 * sigma;
    width += 2 * 1.96 * sigma / unit;
    ++count;
  }
};

bool is_friction(const std::string& key) {
  return key.rfind("friction.", 0) == 0
             ? key.find("radius") == std::string::npos && key.find("viscous") == std::string::npos
             : key.size() > 9 && key.compare(key.size() - 9, 9, ".friction") == 0;
}

struct Piano {
  case_file::CaseDescription description;
  study::Measures weights, after;  // as found; after the change
};

// What is done to it later: nobody can have read it before.
case_file::CaseDescription changed(const case_file::CaseDescription& d) {
  case_file::CaseDescription out = d;
  out.quantities.at("measured.strike_weight").value -= base::kGramForce;
  out.quantities.at("friction.hammer_centre").value *= 0.6;
  return out;
}

Piano draw_piano(const PriorNote& n, std::uint64_t k) {
  Piano p;
  p.description = n.description;
  for (const study::Input& in : n.inputs)
    if (in.kind != study::Input::Kind::kQuantity || !is_friction(in.key))
      p.description = study::move_input(p.description, in, study::draw(in, "", kSeed, k));
  const double factor = kLow + (kHigh - kLow) * study::counter_uniform(kSeed, 900, k);
  std::uint64_t stream = 1000;
  for (auto& [key, q] : p.description.quantities)
    if (is_friction(key)) q.value *= factor * (1 + 0.1 * study::counter_normal(kSeed, stream++, k));
  p.weights = n.solver.measure(p.description, 0, {});
  p.after = n.solver.measure(changed(p.description), 0, {});
  return p;
}

// Value and standard deviation of the measures, every input moved once.
std::pair<study::Measures, study::Measures> predict(const case_file::CaseDescription& d, bool after) {
  const study::SetUpSolver solver(d);
  const auto of = [&](const case_file::CaseDescription& x) {
    return solver.measure(after ? changed(x) : x, 0, {});
  };
  const study::Measures here = of(d);
  study::Measures variance{};
  const auto inputs = study::find_inputs(d);
  const auto moved = study::run_samples(static_cast<int>(inputs.size()), [&](int i) {
    return study::SampleOutput{of(study::move_input(d, inputs[static_cast<std::size_t>(i)], 1))};
  });
  for (const auto& m : moved)
    for (std::size_t k = 0; k < study::kMeasureCount; ++k)
      if (std::isfinite(m[0][k])) variance[k] += std::pow(m[0][k] - here[k], 2);
  for (double& v : variance) v = std::sqrt(v);
  return {here, variance};
}

void print(const std::string& name, const std::map<std::string, Tally>& rows, const char* unit) {
  for (const auto& [what, t] : rows) {
    if (t.count == 0) continue;
    using boost::math::beta_distribution;
    const double low = t.inside == 0 ? 0
                                     : quantile(beta_distribution<>(t.inside, t.count - t.inside + 1), 0.025),
                 high = t.inside == t.count
                            ? 1
                            : quantile(beta_distribution<>(t.inside + 1, t.count - t.inside), 0.975);
    fmt::print("| {} | {} | {} of {} | {:.0f} % | {:.0f} to {:.0f} % | {:.3g} {} |\n", name, what, t.inside,
               t.count, 100.0 * t.inside / t.count, 100 * low, 100 * high, t.width / t.count, unit);
  }
}

int run(int pianos, const std::string& commit) {
  const PriorNote note = typical_note();
  const auto prior = predict(note.description, false);
  std::map<std::string, Tally> alone, leaned, found;
  const std::pair<const char*, study::MeasureIndex> measures[] = {{"down weight", study::kDownWeight},
                                                                  {"up weight", study::kUpWeight},
                                                                  {"friction", study::kFriction},
                                                                  {"balance weight", study::kBalanceWeight}};
  int left_out = 0;
  for (int k = 0; k < pianos; ++k) {
    const Piano p = draw_piano(note, static_cast<std::uint64_t>(k));
    if (!std::isfinite(p.weights[study::kDownWeight]) || !std::isfinite(p.after[study::kDownWeight])) {
      ++left_out;
      continue;
    }
    for (const auto& [name, m] : measures)
      alone[name].add(p.weights[m] - prior.first[m], prior.second[m], base::kGramForce);
    case_file::CaseDescription d = note.description;
    int stream = 2000;
    for (const auto& [key, m] :
         {std::pair<const char*, study::MeasureIndex>{"measured.down_weight", study::kDownWeight},
          std::pair<const char*, study::MeasureIndex>{"measured.up_weight", study::kUpWeight}}) {
      case_file::Quantity q;
      q.knowledge = case_file::Knowledge::kMeasured;
      q.dimension = case_file::Dimension::kWeight;
      q.sigma = kReading * base::kGramForce;
      q.value = p.weights[m] + q.sigma * study::counter_normal(kSeed, static_cast<std::uint64_t>(stream++),
                                                               static_cast<std::uint64_t>(k));
      d.quantities[key] = q;
    }
    const auto conditioned = calibrate::condition_case(d).description;
    const auto after = predict(conditioned, true);
    for (const auto& [name, m] : measures)
      leaned[name].add(p.after[m] - after.first[m], after.second[m], base::kGramForce);

    calibrate::NoteRow row;
    row.note = "C4";
    row.readings = {
        {calibrate::Kind::kDownWeight, d.value("measured.down_weight"), kReading * base::kGramForce},
        {calibrate::Kind::kUpWeight, d.value("measured.up_weight"), kReading * base::kGramForce}};
    const double gauge = 0.5 * base::kGramForce * 23e-3;
    for (const auto& [kind, key] : {std::pair{calibrate::Kind::kHammerCentre, "friction.hammer_centre"},
                                    std::pair{calibrate::Kind::kWippenCentre, "friction.wippen_centre"}})
      row.readings.push_back(
          {kind,
           std::max(0.0, p.description.value(key) +
                             gauge * study::counter_normal(kSeed, static_cast<std::uint64_t>(stream++),
                                                           static_cast<std::uint64_t>(k))),
           gauge});
    try {
      const auto c = calibrate::calibrate(note.description, {row});
      for (std::size_t i = 0; i < c.unknowns.size(); ++i) {
        const auto at = static_cast<Eigen::Index>(i);
        const double sigma = std::sqrt(c.fit.covariance(at, at));
        found[c.unknowns[i].key].add(c.fit.p[at] - p.description.value(c.unknowns[i].key), sigma,
                                     note.description.value(c.unknowns[i].key));
      }
    } catch (const base::UserError&) {
      ++left_out;
    }
    fmt::print(stderr, "{} of {}\n", k + 1, pianos);
  }
  fmt::print(
      "{} pianos, seed {}, commit {}; frictions times {} to {}; {} left out (cannot be regulated).\n\n"
      "| bands | quantity | inside 95 % | share | binomial 95 % | mean width of the band "
      "|\n|---|---|---|---|---|---|\n",
      pianos, kSeed, commit, kLow, kHigh, left_out);
  print("shipped ranges alone", alone, "gf");
  print("conditioned on down and up weight, after another change", leaned, "gf");
  print("calibrate on one note", found, "of its value");
  return 0;
}

}  // namespace
}  // namespace leverwright::validation

int main(int argc, char** argv) {
  return leverwright::validation::run(argc > 1 ? std::atoi(argv[1]) : 200, argc > 2 ? argv[2] : "not said");
}
