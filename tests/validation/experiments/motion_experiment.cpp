// Motion in, force out: the model and a toy of one mass, driven by key motions and by forces. Writes the page
// tests/validation/motion_in_force_out.md and its picture beside it.
//
//   build/tests/validation/experiments/motion_experiment COMMIT      (from the project's root)
#include <fmt/format.h>

#include <cstdio>
#include <exception>
#include <fstream>

#include "models/remedies/read_case.h"
#include "tests/validation/experiments/motion_against_toy.h"
#include "viz/chart/draw_chart.h"

namespace leverwright::validation {
namespace {

const std::string kPage = "tests/validation/motion_in_force_out.md",
                  kPicture = "tests/validation/motion_in_force_out";

chart::Series line(const std::string& name, const std::vector<double>& x, double x_factor,
                   const std::vector<double>& y, double y_factor, int style) {
  chart::Series s;
  s.name = name;
  for (std::size_t k = 0; k < x.size(); ++k) {
    s.x.push_back(x[k] * x_factor);
    s.y.push_back(y[k] * y_factor);
  }
  s.role = scene::set_up_role(style);
  s.dashes = scene::set_up_dash(style);
  return s;
}

void draw(const ToyComparison& plain, const ToyComparison& fitted) {
  chart::Chart c;
  c.title =
      fmt::format("key led down in {:.0f} ms, hammer {:.1f} m/s", plain.down_time * 1e3, plain.hammer_speed);
  c.remark =
      "above: motion given, force is the answer; below: the model's force given, motion is the answer; up to "
      "let-off";
  c.height_mm = 130;
  chart::Panel force, dip;
  force.x.label = dip.x.label = "time";
  force.x.unit = dip.x.unit = "ms";
  force.y.label = "force";
  force.y.unit = "N";
  dip.y.label = "dip";
  dip.y.unit = "mm";
  force.series = {line("model", plain.time, 1e3, plain.force, 1, 0),
                  line("toy, reflected mass", plain.time, 1e3, plain.toy_force, 1, 2),
                  line("toy, mass fitted to force-driven motion", plain.time, 1e3, fitted.toy_force, 1, 4)};
  dip.series = {line("model", plain.time, 1e3, plain.dip, 1e3, 0),
                line("toy, reflected mass", plain.time, 1e3, plain.toy_dip, 1e3, 2),
                line("toy, fitted", plain.time, 1e3, fitted.toy_dip, 1e3, 4)};
  for (auto& s : dip.series) s.in_key = false;
  c.panels = {force, dip};
  chart::draw_chart(c, kPicture, {chart::Format::kPng, chart::Format::kSvg});
}

std::string percent(double share) { return fmt::format("{:.0f} %", 100 * share); }

int run(const std::string& commit) {
  auto d = remedies::read_case("cases/missed_heel/case.toml");
  d.set_ups.resize(1);
  study::CompareOptions options;
  options.uncertainty = false;
  const study::SetUpResult s = std::move(study::compare(d, options).set_ups.front());
  const test_support::OneMass toy = fit_toy(s);
  std::vector<playing::KeyMotionForce> motions;
  for (const double t : {0.25, 0.12, 0.07, 0.045, 0.03})
    motions.push_back(playing::find_key_motion_force(s, t));
  const test_support::OneMass fitted = fit_mass(s, toy, motions[2]);
  std::string out = fmt::format(
      "# Motion in, force out\n\nWritten by `tests/validation/experiments/motion_experiment` at {}. The "
      "demo's note as "
      "found (an invented piano), regulated.\n\n"
      "A model of an action is tried hardest by giving it the key's motion and asking for the finger's "
      "force: the mass "
      "in front smooths a force into a motion, so that a model driven by force looks right whatever it is "
      "made of "
      "(A. Thorin, X. Boutillon, J. Lozada, Acta Acustica united with Acustica 100, 2014, abstract; the same "
      "with X. "
      "Merlhiot, Meccanica 52, 2017, abstract). Beside the model stands a toy with one degree of freedom,\n\n"
      "    m y'' = F - S(y) - f sign(y'),\n\n"
      "S the mean of the slow forces down and up, f half their difference ({:.3f} N), m the reflected mass "
      "at half stroke "
      "({:.0f} g); and a second one whose m ({:.0f} g) was chosen so that it follows the model best when "
      "both are given "
      "the model's force at 70 ms. It has the model's own statics: all it lacks is the parts' motion against "
      "each other.\n\n"
      "The key goes down by the dip along a quintic ramp; compared from the start to let-off. Figures of "
      "merit: rms of the "
      "difference over rms of the model's answer, and greatest difference over its greatest value.\n\n"
      "| down in | hammer | model's greatest force | toy, motion in: force rms, peak | toy, force in: motion "
      "rms, peak | "
      "fitted toy, motion in | fitted toy, force in |\n|---|---|---|---|---|---|---|\n",
      commit, toy.friction, toy.mass * 1e3, fitted.mass * 1e3);
  for (const auto& m : motions) {
    const ToyComparison a = compare_with_toy(s, toy, m), b = compare_with_toy(s, fitted, m);
    out += fmt::format("| {:.0f} ms | {:.2f} m/s | {:.1f} N | {}, {} | {}, {} | {}, {} | {}, {} |\n",
                       m.down_time * 1e3, m.hammer_speed, m.peak, percent(a.by_motion.rms),
                       percent(a.by_motion.peak), percent(a.by_force.rms), percent(a.by_force.peak),
                       percent(b.by_motion.rms), percent(b.by_motion.peak), percent(b.by_force.rms),
                       percent(b.by_force.peak));
    if (&m == &motions[2]) draw(a, b);
  }
  out +=
      "\nTouches pressed by a smooth force (half-cosine rise in 40 ms) given to model and toy alike; motion "
      "until "
      "let-off:\n\n| hammer | toy: motion rms, peak | fitted toy |\n|---|---|---|\n";
  for (const double v : {1.0, 2.0, 4.5}) {
    const auto a = compare_pressed(s, toy, v), b = compare_pressed(s, fitted, v);
    out += fmt::format("| {:.2f} m/s | {}, {} | {}, {} |\n", a.hammer_speed, percent(a.misfit.rms),
                       percent(a.misfit.peak), percent(b.misfit.rms), percent(b.misfit.peak));
  }
  out +=
      "\n![force for a given motion, and motion for a given force](motion_in_force_out.png)\n\n"
      "What the toy misses: the hammer's inertia reaches the key through cloth and leather that give way, so "
      "the force "
      "comes later, rises higher and falls off again when the hammer runs ahead of a key that slows down. "
      "What one mass "
      "gives is neither its height nor its shape. With a mass chosen for the purpose the toy's motion under "
      "a force looks "
      "passable at p and mf, while its force for a motion stays wrong by a half and more from p on; at f and "
      "beyond it "
      "fails both ways, so that this note flatters the toy less than the strokes of the papers did "
      "theirs.\n\n"
      "## Outside witness\n\n"
      "Measured key motion together with force, in digits, was looked for in stored public text (the two "
      "papers above, "
      "A. Thorin's thesis, Ecole polytechnique, 2013, J. Lozada's, 2007, S. Timmermans and others, Machines "
      "8(4), 2020): "
      "abstracts and first pages were found, curves in digits were not. So the size of the forces has only "
      "ranges as "
      "witness: 0.5 to 15 N while playing (Lozada, abstract), up to 50 N in less than 20 ms for the hardest "
      "blows "
      "(Timmermans and others, abstract). The model stays inside both: see the third column. The model's own "
      "force, given "
      "back to it, gives its motion again (tests/models/action_play/drives_test.cpp), which by the argument "
      "above proves "
      "little. The same strokes in a second engine: tests/independent.\n";
  std::ofstream page(kPage);
  page << out;
  return page.good() ? 0 : 1;
}

}  // namespace
}  // namespace leverwright::validation

int main(int argc, char** argv) {
  try {
    return leverwright::validation::run(argc > 1 ? std::string("commit ") + argv[1] : "an unnamed commit");
  } catch (const std::exception& e) {
    std::fprintf(stderr, "%s\n", e.what());
    return 1;
  }
}
