// One self-contained HTML file about a study: opens offline, prints, works on a phone.
#pragma once
#include <functional>
#include <string>
#include <vector>

namespace leverwright::report {

enum class Audience {
  kCustomer,  // words and pictures, no mathematics
  kTraining,  // with the formulas behind the numbers
  kWorkshop   // with screws, uncertainties and what to look at
};

struct Options {
  Audience audience = Audience::kWorkshop;
  std::string film;  // a film to put in; empty: one is made when ffmpeg is there, else still pictures
  bool with_film = true;
  std::function<bool(const std::string& doing, double share)> progress;  // false: stop, no file is left
};

struct Written {
  std::string path;
  size_t bytes = 0;
  std::string film;  // "film", "still pictures" or "none", and why
  bool stopped = false;
};
// Written under a temporary name and renamed.
Written write_report(const std::string& results_path, const std::string& path, const Options& options);

}  // namespace leverwright::report
