#include "models/search/parts.h"

#include <fmt/format.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <limits>
#include <mutex>
#include <set>

#include "models/case_file/library.h"
#include "models/case_file/quantity.h"
#include "models/case_file/read_case.h"
#include "models/case_file/schema.h"
#include "models/playing/repetition.h"
#include "models/remedies/all.h"
#include "models/remedies/part.h"
#include "models/study/compare.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::search {

namespace {

using case_file::CaseDescription;
using case_file::Change;
using case_file::SetUp;

const std::string kHeel = "wippen.heel_profile";

bool below(const std::string& path, const std::string& section) {
  return path.compare(0, section.size() + 1, section + ".") == 0;
}

// The case with the part in, as a set-up or a part file has it. `d` keeps the set-up's other values out: only
// what belongs to the slot is taken over.
CaseDescription with_part(const CaseDescription& d, const std::string& slot, const std::string& part) {
  CaseDescription filled = d;
  const auto set_up =
      std::find_if(d.set_ups.begin(), d.set_ups.end(), [&](const SetUp& s) { return s.name == part; });
  if (set_up != d.set_ups.end()) {
    for (const Change& c : set_up->changes) c.remedy->replace_values(filled, c);
  } else {
    const Change change = remedies::read_part_change(case_file::default_models_directory(), slot, part);
    change.remedy->replace_values(filled, change);
  }
  return filled;
}

// Keys of the bench that belong to a part of this slot.
std::set<std::string> bench_keys(const std::string& slot) {
  std::set<std::string> keys;
  for (const auto& [own, measured] : remedies::own_values())
    if (below(own, slot)) keys.insert(measured);
  if (slot == "capstan") keys.insert("measured.capstan_mass");
  return keys;
}

struct Dimension {
  std::string key;
  enum class Kind { kQuantity, kChoice, kPoints } kind = Kind::kQuantity;
};

bool drawing_only(const std::string& key) { return key.find("outline") != std::string::npos; }

std::vector<Dimension> dimensions_of(const CaseDescription& a, const CaseDescription& b,
                                     const std::string& slot) {
  std::set<std::string> bench = bench_keys(slot), own, seen;
  for (const auto& [key, measured] : remedies::own_values()) own.insert(key);
  std::vector<Dimension> out;
  const auto take = [&](const auto& map, Dimension::Kind kind) {
    for (const auto& [key, value] : map) {
      if (!below(key, slot) && bench.count(key) == 0) continue;
      if (own.count(key) != 0 || drawing_only(key) || !seen.insert(key).second) continue;
      out.push_back({key, kind});
    }
  };
  for (const CaseDescription* d : {&a, &b}) {
    take(d->quantities, Dimension::Kind::kQuantity);
    take(d->choices, Dimension::Kind::kChoice);
    take(d->point_lists, Dimension::Kind::kPoints);
  }
  return out;
}

template <class Map>
void copy_entry(const Map& from, Map& to, const std::string& key) {
  const auto found = from.find(key);
  if (found == from.end())
    to.erase(key);
  else
    to[key] = found->second;
}

void give(const CaseDescription& from, CaseDescription& to, const Dimension& dim) {
  copy_entry(from.quantities, to.quantities, dim.key);
  copy_entry(from.choices, to.choices, dim.key);
  copy_entry(from.point_lists, to.point_lists, dim.key);
}

bool alike(const CaseDescription& a, const CaseDescription& b, const Dimension& dim) {
  if (a.has(dim.key) != b.has(dim.key)) return false;
  switch (dim.kind) {
    case Dimension::Kind::kQuantity:
      return a.value(dim.key) == b.value(dim.key);
    case Dimension::Kind::kChoice:
      return a.choice(dim.key) == b.choice(dim.key);
    case Dimension::Kind::kPoints:
      return a.point_list(dim.key).x == b.point_list(dim.key).x &&
             a.point_list(dim.key).y == b.point_list(dim.key).y;
  }
  return false;
}

std::string words_for(const CaseDescription& d, const Dimension& dim) {
  if (!d.has(dim.key)) return "not given";
  if (dim.kind == Dimension::Kind::kChoice) return d.choice(dim.key);
  if (dim.kind == Dimension::Kind::kPoints) {
    const auto& list = d.point_list(dim.key);
    const auto low = std::min_element(list.y.begin(), list.y.end()) - list.y.begin();
    return fmt::format("deepest {:.1f} mm at {:.1f} mm", list.y[low] * 1e3, list.x[low] * 1e3);
  }
  case_file::Quantity q = d.quantity(dim.key);
  q.knowledge = case_file::Knowledge::kExact;
  q.sigma = 0;
  if (q.dimension == case_file::Dimension::kTorque)  // a centre as it is gauged, a spring as a torque
    return below(dim.key, "friction") ? fmt::format("{:g} gf at 23 mm", q.value / 23e-3 / base::kGramForce)
                                      : fmt::format("{:g} N mm", q.value * 1e3);
  std::string text = case_file::write_quantity(q);
  const std::size_t end = text.find(" +-");
  return end == std::string::npos ? text : text.substr(0, end);
}

std::string plain_name(const std::string& key) {
  std::string out = key.substr(key.find('.') + 1);
  std::replace(out.begin(), out.end(), '_', ' ');
  if (below(key, "friction")) out = "friction of the " + out;
  return out;
}

// The base without its own part changes in the slot: the part is in the description already.
SetUp base_without(const CaseDescription& d, const std::string& slot) {
  SetUp s = d.set_ups.front();
  s.changes.erase(std::remove_if(s.changes.begin(), s.changes.end(),
                                 [&](const Change& c) {
                                   return c.remedy == &remedies::part() && c.choices.at("slot") == slot;
                                 }),
                  s.changes.end());
  return s;
}

template <std::size_t N>
std::array<double, N> difference(const std::array<double, N>& to, const std::array<double, N>& from) {
  std::array<double, N> out{};
  for (std::size_t k = 0; k < N; ++k) out[k] = to[k] - from[k];
  return out;
}

// Check and spring set by playing, then the rates a player would try. On one thread: the differences run side
// by side.
PartRepetition repeat_part(const CaseDescription& d, const Trial& trial) {
  PartRepetition out;
  out.fill(std::numeric_limits<double>::quiet_NaN());
  study::SetUpResult s;
  s.design = trial.design;
  s.regulated = trial.regulated;
  study::set_by_playing(s);
  playing::RepetitionOptions options;
  options.slowest = 8;
  options.fastest = 15;
  options.step = 1;
  options.why = false;
  const playing::Repetition r = playing::find_repetition(d, 0, s, options);
  if (r.complete) out = {r.full.unbroken, r.partial.unbroken, r.second.least_sounding, r.second.reset_time};
  return out;
}

void check_request(const CaseDescription& d, const PartsRequest& r) {
  if (!case_file::schema().has_slot(r.slot)) {
    std::string all;
    for (const auto& slot : case_file::schema().slots) all += (all.empty() ? "" : ", ") + slot.name;
    throw base::UserError({{"", 0, "", "there is no part slot \"" + r.slot + "\"", "one of " + all, ""}});
  }
  if (d.set_ups.empty())
    throw base::UserError("the case has no [[set_up]]", "add at least one; the first is the base");
}

void require(const Trial& t, const std::string& name) {
  if (!t.ok)
    throw base::UserError("with \"" + name + "\" in, the action " + t.why,
                          "correct the part file, or try it as a set-up: leverwright regulate");
}

}  // namespace

const std::array<study::MeasureInfo, kPartRepetitionCount> kPartRepetition = {{
    {"unbroken_full", "unbroken up to, full return", "1/s", "1/s", 1, 1},
    {"unbroken_partial", "unbroken up to, partial return", "1/s", "1/s", 1, 1},
    {"least_return", "least return that sounds", "m", "mm", 1e3, 2},
    {"reset_time", "jack reset time", "s", "ms", 1e3, 1},
}};

PartsComparison compare_parts(const CaseDescription& d, const PartsRequest& request) {
  check_request(d, request);
  PartsComparison out;
  out.slot = request.slot;
  out.name_a = request.part_a;
  out.name_b = request.part_b;
  out.ranked_by = request.ranked_by;
  const CaseDescription filled_a = with_part(d, request.slot, request.part_a);
  const CaseDescription filled_b = with_part(d, request.slot, request.part_b);
  const SetUp set_up = base_without(d, request.slot);
  const study::SetUpSolver solver(d);
  const action::ScrewSettings start = find_trial_start(solver, d);

  std::vector<Dimension> unlike;
  CaseDescription with_a = d, with_b = d;
  for (const Dimension& dim : dimensions_of(filled_a, filled_b, request.slot)) {
    give(filled_a, with_a, dim);
    give(filled_b, with_b, dim);
    if (alike(filled_a, filled_b, dim))
      ++out.alike;
    else
      unlike.push_back(dim);
  }
  if (unlike.empty())
    throw base::UserError(fmt::format("\"{}\" and \"{}\" do not differ in any dimension of the {}",
                                      request.part_a, request.part_b, request.slot),
                          "name two that differ");
  out.a = try_set_up(solver, with_a, set_up, start);
  require(out.a, request.part_a);
  out.b = try_set_up(solver, with_b, set_up, start);
  require(out.b, request.part_b);

  out.with_repetition = request.repetition;
  out.repetition_a.fill(std::numeric_limits<double>::quiet_NaN());
  out.repetition_b = out.repetition_a;
  if (request.repetition) {
    out.repetition_a = repeat_part(d, out.a);
    out.repetition_b = repeat_part(d, out.b);
  }
  out.differences.resize(unlike.size());
  std::atomic<bool> stop{false};
  std::atomic<std::size_t> done{0};
  std::mutex talk;
  tbb::parallel_for(std::size_t{0}, unlike.size(), [&](std::size_t k) {
    const Dimension& dim = unlike[k];
    PartDifference& diff = out.differences[k];
    diff.key = dim.key;
    diff.name = plain_name(dim.key);
    diff.value_a = words_for(filled_a, dim);
    diff.value_b = words_for(filled_b, dim);
    diff.effect.fill(std::numeric_limits<double>::quiet_NaN());
    if (stop) {
      diff.why = "stopped before it was tried";
      return;
    }
    CaseDescription one = with_a;
    give(filled_b, one, dim);
    const Trial t = try_set_up(solver, one, set_up, start);
    diff.counted = t.ok;
    diff.why = t.why;
    diff.repetition.fill(std::numeric_limits<double>::quiet_NaN());
    if (t.ok) diff.effect = difference(t.numbers, out.a.numbers);
    if (t.ok && request.repetition) diff.repetition = difference(repeat_part(d, t), out.repetition_a);
    ++done;
    if (!request.progress) return;
    const std::lock_guard<std::mutex> lock(talk);
    if (!request.progress(static_cast<double>(done) / static_cast<double>(unlike.size()))) stop = true;
  });
  out.whole = done == unlike.size();
  out.together = difference(out.b.numbers, out.a.numbers);
  for (const PartDifference& diff : out.differences)
    for (std::size_t k = 0; k < kTrialNumberCount; ++k)
      if (diff.counted) out.sum[k] += diff.effect[k];
  out.interaction = difference(out.together, out.sum);
  const auto rank = [&](const PartDifference& p) {
    return p.counted ? std::abs(p.effect[out.ranked_by]) : -1.0;
  };
  std::stable_sort(out.differences.begin(), out.differences.end(),
                   [&](const auto& one, const auto& other) { return rank(one) > rank(other); });
  return out;
}

std::string explain_parts(const PartsComparison& c) {
  const study::MeasureInfo& info = kTrialNumbers[c.ranked_by];
  const auto shown = [&](double si) {
    const std::string text = fmt::format("{:+.{}f}", si * info.display_factor, info.decimals);
    return std::string(info.display_unit) == "1" ? text : text + " " + info.display_unit;
  };
  const double whole = c.together[c.ranked_by];
  std::string out = fmt::format("With \"{}\" instead of \"{}\" the {} changes by {}", c.name_b, c.name_a,
                                info.name, shown(whole));
  const double least = 0.5 * std::pow(10.0, -info.decimals) / info.display_factor;
  std::string largest;
  int named = 0;
  for (const auto& d : c.differences)
    if (d.counted && named < 3 && std::abs(d.effect[c.ranked_by]) >= least) {
      largest += fmt::format("{}{} ({} to {}) {}", named == 0 ? "" : ", ", d.name, d.value_a, d.value_b,
                             shown(d.effect[c.ranked_by]));
      ++named;
    }
  out += largest.empty() ? ". No single dimension moves it." : ". Most of it: " + largest + ".";
  const double rest = c.interaction[c.ranked_by];
  if (std::abs(rest) < 2 * least)
    out += " The single effects add up to the whole.";
  else
    out +=
        fmt::format(" The single effects add up to {}; {} comes from dimensions working through one another.",
                    shown(c.sum[c.ranked_by]), shown(rest));
  return out;
}

}  // namespace leverwright::search
