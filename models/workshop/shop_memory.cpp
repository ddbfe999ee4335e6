#include "models/workshop/shop_memory.h"

#include <algorithm>
#include <cmath>

namespace leverwright::workshop {

namespace {
constexpr double kBand = 1.96;
}

double JobReading::band() const { return kBand * std::hypot(predicted_sigma, measured_sigma); }

bool JobReading::hit() const { return std::abs(off()) <= band(); }

int Job::hits() const {
  return static_cast<int>(
      std::count_if(readings.begin(), readings.end(), [](const JobReading& r) { return r.hit(); }));
}

HitRate find_hit_rate(int hits, int of) {
  HitRate out{hits, of, 0, 1};
  if (of == 0) return out;
  const double n = of, p = hits / n, z2 = kBand * kBand;
  const double middle = p + z2 / (2 * n), half = kBand * std::sqrt(p * (1 - p) / n + z2 / (4 * n * n));
  out.low = std::max(0.0, (middle - half) / (1 + z2 / n));
  out.high = std::min(1.0, (middle + half) / (1 + z2 / n));
  return out;
}

std::vector<ReadingRate> count_by_reading(const std::vector<Job>& jobs) {
  std::vector<ReadingRate> out;
  for (const Job& job : jobs)
    for (const JobReading& r : job.readings) {
      auto at =
          std::find_if(out.begin(), out.end(), [&](const ReadingRate& o) { return o.reading == r.reading; });
      if (at == out.end()) at = out.insert(out.end(), {r.reading, r.unit, {}, 0, 0});
      at->rate.hits += r.hit() ? 1 : 0;
      ++at->rate.of;
      at->mean += r.off();
      at->rms += r.off() * r.off();
    }
  for (ReadingRate& o : out) {
    o.mean /= o.rate.of;
    o.rms = std::sqrt(o.rms / o.rate.of);
    o.rate = find_hit_rate(o.rate.hits, o.rate.of);
  }
  return out;
}

HitRate count_all(const std::vector<Job>& jobs) {
  int hits = 0, of = 0;
  for (const Job& job : jobs) {
    hits += job.hits();
    of += static_cast<int>(job.readings.size());
  }
  return find_hit_rate(hits, of);
}

}  // namespace leverwright::workshop
