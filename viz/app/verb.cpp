#include "viz/app/verb.h"

namespace leverwright::app {

void Verb::add_case(std::string& to) { add("CASE", "CASE", "Case file (.toml).", &to).needed().read(); }

void Verb::add_study(std::string& to) { add("STUDY", "STUDY", "Results file (.h5).", &to).needed().read(); }

void Verb::add_set_up(std::string& to, const std::string& standard) {
  add("--set-up", "NAME", "Take the set-up of this name.", &to, standard);
}

void Verb::add_prior_only(bool& to) {
  add_flag(
      "--prior-only",
      "Leave frictions and constants as case and materials give them; only compare the readings as found.",
      &to);
}

void Verb::add_out(const std::string& text, const std::string& standard) {
  add("--out", "FOLDER", text, &outputs.out, standard);
}

void Verb::add_pictures(const std::string& text) {
  outputs.charts = true;
  add_off("--no-pictures", text, &outputs.pictures);
}

void Verb::add_csv(const std::string& what) {
  add("--csv", "FILE", "Also write " + what + " as CSV to FILE; - for standard output.", &outputs.csv);
}

void Verb::add_json() {
  add("--json", "FILE", "Also write everything as JSON to FILE; - for standard output.", &outputs.json);
}

void Verb::add_all(const std::string& text) { add_flag("--all", text, &outputs.all); }

}  // namespace leverwright::app
