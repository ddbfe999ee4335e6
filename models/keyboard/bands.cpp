#include "models/keyboard/bands.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "models/study/inputs.h"
#include "models/study/set_up_solver.h"

namespace leverwright::keyboard {

using case_file::CaseDescription;
using study::Input;
using study::Measures;

namespace {

// Two naturals and two sharps, a ninth of the keyboard from its ends.
constexpr std::array<int, 4> kAnchors = {9, 80, 10, 79};

std::vector<Input> inputs_of(const CaseDescription& d, const Keyboard& k) {
  std::vector<Input> out = study::find_inputs(describe_note(d, k.input, k.carried, kAnchors[0]));
  out.erase(
      std::remove_if(out.begin(), out.end(), [](const Input& in) { return in.kind == Input::Kind::kChange; }),
      out.end());
  return out;
}

bool is_carried(const Keyboard& k, const std::string& key) {
  return k.input.find(key) != nullptr ||
         (k.input.find("key_friction") && (key == "friction.key_balance" || key == "friction.key_front"));
}

}  // namespace

int band_jobs(const CaseDescription& d, const Keyboard& k) {
  return static_cast<int>(kAnchors.size() * (1 + inputs_of(d, k).size()));
}

std::optional<Bands> find_bands(const CaseDescription& d, const Keyboard& k, Work& work) {
  const std::vector<Input> inputs = inputs_of(d, k);
  const std::size_t n = inputs.size(), anchors = kAnchors.size();
  std::vector<CaseDescription> notes;
  std::vector<study::SetUpSolver> solver(anchors);
  std::vector<Measures> still(anchors);
  for (const int note : kAnchors) notes.push_back(describe_note(d, k.input, k.carried, note));
  work.run("uncertainty", anchors, [&](std::size_t a) {
    solver[a] = study::SetUpSolver(notes[a]);
    still[a] = solver[a].measure(notes[a], 0, {});
  });
  std::vector<Measures> effect(anchors * n);
  work.run("uncertainty", anchors * n, [&](std::size_t job) {
    const std::size_t a = job / n, i = job % n;
    Measures m = solver[a].measure(study::move_input(notes[a], inputs[i], 1), 0, {});
    double sign = 1;
    if (std::isnan(m[study::kDownWeight])) {
      m = solver[a].measure(study::move_input(notes[a], inputs[i], -1), 0, {});
      sign = -1;
    }
    for (std::size_t q = 0; q < study::kMeasureCount; ++q) {
      const double change = sign * (m[q] - still[a][q]);
      effect[job][q] = std::isfinite(change) ? change : 0;
    }
  });
  if (work.stopped()) return std::nullopt;
  Bands out;
  std::array<std::vector<double>, study::kMeasureCount> share;
  std::array<double, study::kMeasureCount> all{};
  for (auto& s : share) s.assign(n, 0);
  const auto sigma_on = [](const CaseDescription& note, const Input& in) {
    const auto at = note.quantities.find(in.key);
    return in.kind == Input::Kind::kQuantity && at != note.quantities.end() ? at->second.sigma : in.sigma;
  };
  for (int note = kFirstNote; note <= kLastNote; ++note) {
    const CaseDescription here = describe_note(d, k.input, k.carried, note);
    const std::size_t low = is_sharp(note) ? 2 : 0, high = low + 1;
    const double to_high = static_cast<double>(note - kAnchors[low]) / (kAnchors[high] - kAnchors[low]);
    Measures carried{}, total{};
    for (std::size_t i = 0; i < n; ++i) {
      const bool own = is_carried(k, inputs[i].key);
      const double s = sigma_on(here, inputs[i]);
      const double s_low = sigma_on(notes[low], inputs[i]), s_high = sigma_on(notes[high], inputs[i]);
      if (!(s_low > 0) || !(s_high > 0)) continue;
      for (std::size_t q = 0; q < study::kMeasureCount; ++q) {
        const double rate =
            (1 - to_high) * effect[low * n + i][q] / s_low + to_high * effect[high * n + i][q] / s_high;
        const double var = std::pow(rate * s, 2);
        total[q] += var;
        if (own) carried[q] += var;
        share[q][i] += var;
        all[q] += var;
      }
    }
    for (std::size_t q = 0; q < study::kMeasureCount; ++q) {
      carried[q] = std::sqrt(carried[q]);
      total[q] = std::sqrt(total[q]);
    }
    out.carried.push_back(carried);
    out.total.push_back(total);
  }
  for (std::size_t q = 0; q < study::kMeasureCount; ++q) {
    if (!(all[q] > 0)) continue;
    const auto most = std::max_element(share[q].begin(), share[q].end());
    out.dominant[q] = inputs[static_cast<std::size_t>(most - share[q].begin())].name;
    out.dominant_share[q] = *most / all[q];
  }
  return out;
}

std::vector<SampleCheck> check_samples(const Keyboard& k) {
  std::vector<SampleCheck> out;
  const Course* found = k.find(CourseKind::kAsFound);
  for (const auto& [key, measure] : {std::pair{"measured.down_weight", study::kDownWeight},
                                     std::pair{"measured.up_weight", study::kUpWeight}}) {
    const SampleColumn* column = k.input.find(key);
    if (column == nullptr || found == nullptr) continue;
    for (const Sample& s : column->samples) {
      const auto at = static_cast<std::size_t>(s.note - 1);
      const double model = found->measures[at][measure];
      if (!std::isfinite(model)) continue;
      out.push_back({s.note, measure, s.value, s.sigma, model, k.bands ? k.bands->total[at][measure] : 0});
    }
  }
  return out;
}

}  // namespace leverwright::keyboard
