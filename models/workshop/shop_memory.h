// A shop's memory: what was predicted and what was found, over all its jobs, and how often the bands held.
//
// A reading hits when it lies within 1.96 standard deviations of the prediction, its own error included. Of n
// readings with k hits the rate p lies, with 95 % confidence, between the ends of Wilson's interval (z = 1.96)
//
//   (p + z^2 / 2n  +-  z sqrt(p (1 - p) / n + z^2 / 4n^2)) / (1 + z^2 / n),      p = k / n      [@wilson1927]
//
// If the bands are right 95 of 100 readings hit. Readings of one note are not independent (a tight key moves down and
// up weight alike), so the interval is narrower than it should be; per job it is counted as well.
#pragma once
#include <string>
#include <vector>

namespace leverwright::workshop {

struct JobReading {  // in the unit shown
  std::string note, set_up, reading, unit;
  double predicted = 0, predicted_sigma = 0, measured = 0, measured_sigma = 0;
  std::string date;      // as written, 2026-11-02; "": not said
  double humidity = -1;  // per cent; negative: not said
  bool hit() const;
  double off() const { return measured - predicted; }
  double band() const;  // of the difference, 1.96 standard deviations
};

struct Job {
  std::string file, case_path, version;  // of the record; of the program that wrote it
  std::vector<JobReading> readings;
  int hits() const;
};

struct HitRate {
  int hits = 0, of = 0;
  double low = 0, high = 1;  // 95 %
};
HitRate find_hit_rate(int hits, int of);

struct ReadingRate {  // all jobs' readings of one kind
  std::string reading, unit;
  HitRate rate;
  double mean = 0, rms = 0;  // measured less predicted
};
// In the order in which kinds are first met.
std::vector<ReadingRate> count_by_reading(const std::vector<Job>& jobs);
HitRate count_all(const std::vector<Job>& jobs);

}  // namespace leverwright::workshop
