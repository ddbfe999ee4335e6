#include "models/keyboard/effects.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "models/study/set_up_solver.h"
#include "sim/base/words.h"

namespace leverwright::keyboard {

using case_file::CaseDescription;
using study::Input;
using study::Measures;

namespace {

constexpr std::array<int, 4> kAnchors = {9, 80, 10, 79};

std::vector<Input> inputs_of(const CaseDescription& values, const Keyboard& k) {
  CaseDescription note = describe_note(values, k.input, k.carried, kAnchors[0]);
  note.told.clear();
  std::vector<Input> out = study::find_inputs(note);
  out.erase(
      std::remove_if(out.begin(), out.end(), [](const Input& in) { return in.kind == Input::Kind::kChange; }),
      out.end());
  return out;
}

bool was_carried(const Keyboard& k, const std::string& key) {
  return k.input.find(key) != nullptr ||
         (k.input.find("key_friction") && (key == "friction.key_balance" || key == "friction.key_front"));
}

// What rubs together: "" when nothing rubs.
std::string drag_kind(const std::string& key) {
  if (key == "contact.jack_knuckle.friction" || key == "contact.lever_knuckle.friction") return "knuckle";
  if (base::ends_with(key, ".friction")) return key;
  if (key.rfind("friction.", 0) == 0 && key.find("radius") == std::string::npos &&
      !base::ends_with(key, "_viscous"))
    return key;
  return "";
}

}  // namespace

int Effects::jobs(const CaseDescription& values, const Keyboard& k) {
  return static_cast<int>(kAnchors.size() * (1 + inputs_of(values, k).size()));
}

std::optional<Effects> Effects::find(const CaseDescription& values, const Keyboard& k, Work& work) {
  Effects out;
  out.inputs_ = inputs_of(values, k);
  const std::size_t n = out.inputs_.size(), anchors = kAnchors.size();
  std::map<std::string, int> kinds;
  for (const Input& in : out.inputs_) {
    const bool own = was_carried(k, in.key);
    out.carried_.push_back(own);
    const std::string kind = in.kind == Input::Kind::kQuantity && !own ? drag_kind(in.key) : "";
    out.kind_.push_back(kind.empty() ? -1
                                     : kinds.emplace(kind, static_cast<int>(kinds.size())).first->second);
  }
  out.kinds_ = static_cast<int>(kinds.size());
  out.read_sheet(values, k);

  std::vector<CaseDescription> notes;
  std::vector<study::SetUpSolver> solver(anchors);
  std::vector<Measures> still(anchors);
  for (const int note : kAnchors) notes.push_back(describe_note(values, k.input, k.carried, note));
  work.run("uncertainty", anchors, [&](std::size_t a) {
    solver[a] = study::SetUpSolver(notes[a]);
    still[a] = solver[a].measure(notes[a], 0, {});
  });
  out.rate_.assign(anchors * n, Measures{});
  work.run("uncertainty", anchors * n, [&](std::size_t job) {
    const std::size_t a = job / n, i = job % n;
    const double sigma = out.sigma_[static_cast<std::size_t>(kAnchors[a] - 1)][i];
    if (!(sigma > 0)) return;
    Measures m = solver[a].measure(study::move_input(notes[a], out.inputs_[i], 1), 0, {});
    double sign = 1;
    if (std::isnan(m[study::kDownWeight])) {
      m = solver[a].measure(study::move_input(notes[a], out.inputs_[i], -1), 0, {});
      sign = -1;
    }
    for (std::size_t q = 0; q < study::kMeasureCount; ++q) {
      const double change = sign * (m[q] - still[a][q]);
      if (std::isfinite(change)) out.rate_[job][q] = change / sigma;
    }
  });
  if (work.stopped()) return std::nullopt;
  return out;
}

void Effects::read_sheet(const CaseDescription& values, const Keyboard& k) {
  sigma_.clear();
  value_.clear();
  for (int note = kFirstNote; note <= kLastNote; ++note) {
    const CaseDescription here = describe_note(values, k.input, k.carried, note);
    const std::size_t n = inputs_.size();
    std::vector<double> sigma(n), value(n, 0);
    for (std::size_t i = 0; i < n; ++i) {
      const Input& in = inputs_[i];
      const auto at = here.quantities.find(in.key);
      const bool known = in.kind == Input::Kind::kQuantity && at != here.quantities.end();
      sigma[i] = known ? at->second.sigma : in.sigma;
      if (known) value[i] = at->second.value;
    }
    sigma_.push_back(std::move(sigma));
    value_.push_back(std::move(value));
  }
}

Effects Effects::on(const CaseDescription& values, const Keyboard& k) const {
  Effects out = *this;
  out.read_sheet(values, k);
  return out;
}

Measures Effects::of(std::size_t i, int note) const {
  const std::size_t n = inputs_.size(), low = is_sharp(note) ? 2 : 0, high = low + 1;
  const double to_high = static_cast<double>(note - kAnchors[low]) / (kAnchors[high] - kAnchors[low]);
  const double sigma = sigma_[static_cast<std::size_t>(note - 1)][i];
  Measures out{};
  for (std::size_t q = 0; q < study::kMeasureCount; ++q)
    out[q] = sigma * ((1 - to_high) * rate_[low * n + i][q] + to_high * rate_[high * n + i][q]);
  return out;
}

std::vector<Measures> Effects::drags(int note) const {
  std::vector<Measures> out(static_cast<std::size_t>(kinds_), Measures{});
  const auto at = static_cast<std::size_t>(note - 1);
  for (std::size_t i = 0; i < inputs_.size(); ++i) {
    if (kind_[i] < 0 || !(sigma_[at][i] > 0)) continue;
    const Measures one = of(i, note);
    for (std::size_t q = 0; q < study::kMeasureCount; ++q)
      out[static_cast<std::size_t>(kind_[i])][q] += one[q] * value_[at][i] / sigma_[at][i];
  }
  return out;
}

}  // namespace leverwright::keyboard
