// How long the hammer stays on the string at pp, and what decides it: the table of
// models/handbook/options.md.
//
//   build/tests/validation/experiments/string_experiment      (from the project's root, seconds)
//
// First the published string and hammer of C4 by themselves, then the demo's note as found, one thing
// different in each row.
#include <fmt/format.h>

#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "models/action/string_blow.h"
#include "models/remedies/read_case.h"
#include "models/study/compare.h"

namespace leverwright::study {
namespace {

constexpr double kSpeeds[] = {0.5, 1.0, 2.0, 4.5, 6.0};

void alone(const std::string& name, const planar::StringData& string, const planar::Cloth& felt,
           double mass) {
  std::string line = "| " + name + " |";
  for (const double speed : kSpeeds) {
    const action::StringBlow b = action::strike_string(string, felt, mass, speed);
    line += b.parted ? fmt::format(" {:.2f} |", b.duration * 1e3) : std::string(" - |");
  }
  fmt::print("{}\n", line);
}

planar::Cloth with(const planar::Cloth& felt, double exponent, double hysteresis) {
  return planar::Cloth(felt.reference_force(), felt.reference_compression(), exponent, hysteresis,
                       felt.damping_time(), felt.loss_time());
}

void write_alone() {
  const action::PublishedNote& c4 = action::kPublishedNotes[1];
  const planar::Cloth felt = action::felt_of(c4, true);
  alone("published hammer and string, its felt without loss", c4.string, action::felt_of(c4, false),
        c4.hammer_mass);
  alone("the same with the loss every felt starts with", c4.string, felt, c4.hammer_mass);
  for (const double p : {2.3, 3.0})
    alone(fmt::format("exponent {:g}, that of {}", p, p < 2.5 ? "C2" : "C7"), c4.string,
          with(felt, p, felt.hysteresis()), c4.hammer_mass);
  for (const double eta : {0.15, 0.45})
    alone(fmt::format("hysteresis {:g}", eta), c4.string, with(felt, felt.exponent(), eta), c4.hammer_mass);
  for (const double factor : {0.5, 2.0})
    alone(factor < 1 ? "felt half as hard" : "felt twice as hard", c4.string, felt.scaled(factor),
          c4.hammer_mass);
  for (const double factor : {0.8, 0.9, 1.1})
    alone(fmt::format("hammer of {:.2f} g on the string, {:+.0f} %", c4.hammer_mass * factor * 1e3,
                      100 * (factor - 1)),
          c4.string, felt, c4.hammer_mass * factor);
  for (const double factor : {0.9, 1.1}) {
    planar::StringData s = c4.string;
    s.tension *= factor;
    alone(fmt::format("string's tension {:+.0f} %", 100 * (factor - 1)), s, felt, c4.hammer_mass);
  }
}

void write_played() {
  const auto row = [](const std::string& name, const std::vector<std::pair<std::string, double>>& moves,
                      const std::string& felt = "") {
    auto d = remedies::read_case("cases/missed_heel/case.toml");
    d.set_ups.resize(1);
    for (const auto& [key, value] : moves) d.quantities.at(key).value = value;
    CompareOptions options;
    options.uncertainty = false;
    options.touches = {"pp", "p", "mf", "f", "ff"};
    const Comparison c = compare(d, options);
    std::string line = "| " + name + felt + " |";
    for (const PlayedTouch& t : c.set_ups.front().touches)
      line +=
          t.found.found ? fmt::format(" {:.2f} |", t.stroke.measures.string_time * 1e3) : std::string(" - |");
    fmt::print("{}\n", line);
  };
  row("played: the demo's note", {});
  row("played, felt's hysteresis 0.15", {{"contact.hammer_string.hysteresis", 0.15}});
  row("played, felt's hysteresis 0.45", {{"contact.hammer_string.hysteresis", 0.45}});
  row("played, no friction of crown on string", {{"contact.hammer_string.friction", 0}});
  row("played, felt's exponent 2.3", {{"contact.hammer_string.exponent", 2.3}});
  row("played, felt's exponent 3", {{"contact.hammer_string.exponent", 3.0}});
  const auto d = remedies::read_case("cases/missed_heel/case.toml");
  const double weight = d.value("measured.strike_weight");
  row("played, strike weight 10 % less", {{"measured.strike_weight", 0.9 * weight}});
}

}  // namespace
}  // namespace leverwright::study

int main() {
  using namespace leverwright;
  const action::PublishedNote& c4 = action::kPublishedNotes[1];
  const double x = c4.string.striking_share * c4.string.length;
  const double stiffness = c4.string.tension / (x * (1 - c4.string.striking_share));
  fmt::print("Static stiffness of the string where it is struck {:.1f} N/mm, pi sqrt(m / k) {:.2f} ms.\n\n",
             stiffness * 1e-3, 1e3 * 3.14159265 * std::sqrt(c4.hammer_mass / stiffness));
  fmt::print(
      "| ms on the string | pp, 0.5 m/s | p, 1 | mf, 2 | f, 4.5 | ff, 6 |\n|---|---|---|---|---|---|\n");
  study::write_alone();
  study::write_played();
  return 0;
}
