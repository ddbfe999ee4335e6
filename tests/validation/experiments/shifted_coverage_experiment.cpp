// Do the stated 95 % bands hold on pianos whose frictions lie outside what the defaults expect? The tables of
// models/handbook/priors.md.
//
//   build/tests/validation/experiments/shifted_coverage_experiment [PIANOS] [CALIBRATED] [COMMIT]
//
// (from the project's root; CALIBRATED of the pianos are calibrated as well). What is drawn and read:
// shifted_pianos.h. Wanted: at least 90 % each. Notes of one piano go together, so the interval is that of as
// many trials as there are pianos.
#include <fmt/format.h>

#include <boost/math/distributions/beta.hpp>
#include <cstdlib>

#include "tests/validation/experiments/shifted_pianos.h"

namespace leverwright::validation {
namespace {

constexpr std::uint64_t kSeed = 20260402;

void print(std::FILE* to, const std::string& bands, const std::map<std::string, Tally>& rows, int pianos,
           const char* unit) {
  for (const auto& [what, t] : rows) {
    if (t.count == 0) continue;
    using boost::math::beta_distribution;
    const double share = static_cast<double>(t.inside) / t.count, n = std::min(t.count, pianos);
    const double low = t.inside == 0 ? 0 : quantile(beta_distribution<>(share * n, n - share * n + 1), 0.025);
    const double high =
        t.inside == t.count ? 1 : quantile(beta_distribution<>(share * n + 1, n - share * n), 0.975);
    fmt::print(to, "| {} | {} | {} of {} | {:.0f} % | {:.0f} to {:.0f} % | {:.3g} {} | {:.2g} {} |\n", bands,
               what, t.inside, t.count, 100 * share, 100 * low, 100 * high, t.width / t.count, unit,
               t.off / t.count, unit);
  }
}

int run(int pianos, int calibrated, const std::string& commit) {
  const case_file::CaseDescription shipped = shipped_case();
  const keyboard::Effects effects = effects_of(shipped);
  std::vector<calibrate::Column> columns;
  if (calibrated > 0) {
    const auto rows = read_rows(shipped, nullptr);
    const auto data = calibrate::list_data(rows, true);
    std::vector<std::string> skip;
    for (const auto& u : calibrate::find_unknowns(shipped, rows)) skip.push_back(u.key);
    columns = calibrate::find_columns(shipped, rows, data, skip, {});
  }
  std::map<std::string, Tally> prior, leaned, found;
  int left_out = 0, not_calibrated = 0;
  const auto tell = [&](std::FILE* to, int done) {
    fmt::print(
        to,
        "{} pianos, seed {}, commit {}; {} left out (a sample note cannot be weighed), {} not calibrated.\n\n"
        "| bands | quantity | inside 95 % | share | binomial 95 % | mean width of the band | mean miss |\n"
        "|---|---|---|---|---|---|---|\n",
        done, kSeed, commit, left_out, not_calibrated);
    print(to, "`keyboard --prior-only`", prior, (done + 3) / 4, "gf");
    print(to, "`keyboard`", leaned, done - left_out, "gf");
    print(to, "`calibrate`, three notes", found, std::min(done, calibrated) - not_calibrated, "of its value");
  };
  for (int k = 0; k < pianos; ++k) {
    const ShiftedPiano piano(shipped, kSeed, k);
    if (!add_keyboard(shipped, effects, piano, k, false, leaned)) {
      ++left_out;
      continue;
    }
    if (k % 4 == 0) add_keyboard(shipped, effects, piano, k, true, prior);
    if (k < calibrated && !add_calibration(shipped, piano, columns, found)) ++not_calibrated;
    if (k % 20 == 19) tell(stderr, k + 1);
  }
  tell(stdout, pianos);
  return 0;
}
}  // namespace
}  // namespace leverwright::validation

int main(int argc, char** argv) {
  return leverwright::validation::run(argc > 1 ? std::atoi(argv[1]) : 200,
                                      argc > 2 ? std::atoi(argv[2]) : 200, argc > 3 ? argv[3] : "not said");
}
