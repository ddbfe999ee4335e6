#include "models/calibrate/note_model.h"

#include <fmt/format.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <limits>
#include <map>
#include <mutex>

#include "models/calibrate/left_out.h"
#include "models/calibrate/swing.h"
#include "models/case_file/quantity.h"
#include "models/case_file/remedy.h"
#include "models/case_file/schema.h"
#include "models/study/set_up_solver.h"
#include "sim/base/error.h"

namespace leverwright::calibrate {

using case_file::CaseDescription;

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

struct Answer {
  Values values;
  action::Regulated regulated;
  std::string failure;
};

// Readings of one set-up. `known`: a regulation to be taken over as it is; `start`: its back check and spring.
Answer answer(const CaseDescription& d, std::size_t set_up, const study::SetUpSolver& solver,
              const action::Regulated* known, const action::ScrewSettings& start = {}) {
  Answer out;
  out.values.fill(kNone);
  const auto put = [&](Kind k, double v) { out.values[static_cast<std::size_t>(k)] = v; };
  try {
    CaseDescription changed = d;
    for (const auto& change : d.set_ups[set_up].changes) change.remedy->replace_values(changed, change);
    const double hammer = changed.value("friction.hammer_centre"),
                 wippen = changed.value("friction.wippen_centre");
    put(Kind::kKeyFriction, changed.value("friction.key_balance") + changed.value("friction.key_front"));
    put(Kind::kHammerCentre, hammer);
    put(Kind::kWippenCentre, wippen);
    put(Kind::kHammerSwings,
        swings_until_still(hammer,
                           changed.value("measured.strike_weight") * changed.value("measured.hammer_length"),
                           kUsualRelease));
    if (changed.has("measured.heel_contact_arm"))
      put(Kind::kWippenSwings,
          swings_until_still(
              wippen, changed.value("measured.wippen_weight") * changed.value("measured.heel_contact_arm"),
              kUsualRelease));
    study::SolveOptions options = study::quick_options(start);
    options.step =
        action::WeighOptions{}.step;  // as a comparison weighs; coarser steps keep a fit from settling
    options.known = known;
    const study::SetUpResult s = solver.solve(d, d.set_ups[set_up], options);
    out.regulated = s.regulated;
    const auto& r = s.regulated;
    if (r.dip_let_off <= 0) {
      out.failure = r.failures.empty() ? "it cannot be regulated" : r.failures.front().advice;
      return out;
    }
    put(Kind::kDip, r.dip);
    put(Kind::kBlow, r.blow);
    put(Kind::kLetOff, r.let_off);
    put(Kind::kAftertouch, r.aftertouch);
    const action::Weighing& w = s.weighing;
    out.failure = w.failure;
    if (!w.ok) return out;
    put(Kind::kDownWeight, w.down_weight);
    put(Kind::kUpWeight, w.up_weight);
  } catch (const base::UserError& e) {
    out.failure = e.problems().empty() ? e.what() : e.problems().front().what;
  }
  return out;
}

CaseDescription with_own(const CaseDescription& d, const NoteRow& row) {
  CaseDescription out = d;
  for (const auto& [key, q] : row.own) out.quantities[key] = q;
  if (!row.as_found) return out;
  // As found means regulated to its own readings; what the policy lets result is compared with its reading.
  static const std::pair<Kind, const char*> kRead[] = {{Kind::kDip, "regulation.dip"},
                                                       {Kind::kBlow, "regulation.blow"},
                                                       {Kind::kLetOff, "regulation.let_off"},
                                                       {Kind::kAftertouch, "regulation.aftertouch"}};
  for (const Reading& reading : row.readings)
    for (const auto& [kind, key] : kRead)
      if (reading.kind == kind && out.has(key)) out.quantities.at(key).value = reading.value;
  return out;
}

double of(const Values& v, Kind k) { return v[static_cast<std::size_t>(k)]; }

double fitted(const Values& v, Kind k) { return to_fit(k, of(v, k)); }

}  // namespace

std::vector<Datum> list_data(const std::vector<NoteRow>& rows, bool friction_only) {
  std::vector<Datum> out;
  for (std::size_t r = 0; r < rows.size(); ++r)
    for (const Reading& reading : rows[r].readings) {
      const bool regulation = reading.kind == Kind::kDip || reading.kind == Kind::kBlow ||
                              reading.kind == Kind::kLetOff || reading.kind == Kind::kAftertouch;
      if (!friction_only || !regulation) out.push_back({r, reading});
    }
  return out;
}

std::vector<NoteRow> with_workable_states(const CaseDescription& d, std::vector<NoteRow> rows) {
  if (std::none_of(rows.begin(), rows.end(), [](const NoteRow& row) { return row.as_found; })) return rows;
  const study::SetUpSolver solver(d);
  for (NoteRow& row : rows) {
    if (!row.as_found) continue;
    const Answer found = answer(with_own(d, row), row.set_up, solver, nullptr);
    if (found.failure.empty()) continue;
    row.as_found = false;
    const auto is_setting = [](const Reading& r) {
      return r.kind == Kind::kDip || r.kind == Kind::kBlow || r.kind == Kind::kLetOff ||
             r.kind == Kind::kAftertouch;
    };
    row.readings.erase(std::remove_if(row.readings.begin(), row.readings.end(), is_setting),
                       row.readings.end());
  }
  return rows;
}

std::vector<Unknown> find_unknowns(const CaseDescription& d, const std::vector<NoteRow>& rows) {
  static const std::pair<const char*, const char*> kShared[] = {
      {"contact.capstan_heel.friction", "capstan on heel: friction"},
      {"contact.jack_knuckle.friction", "jack on knuckle: friction"},
      {"contact.lever_knuckle.friction", "lever on knuckle: friction"},
      {"contact.capstan_heel.hysteresis", "heel cloth: hysteresis"},
      {"contact.lever_knuckle.hysteresis", "knuckle leather: hysteresis"},
      {"contact.capstan_heel.test_force", "heel cloth: stiffness"},
      {"friction.hammer_centre", "hammer centre"},
      {"friction.wippen_centre", "wippen centre"},
      {"friction.jack_centre", "jack centre"},
      {"friction.lever_centre", "lever centre"},
      {"friction.key_balance", "balance-pin bushing"},
      {"friction.key_front", "front-pin bushing"},
      {"friction.centre_load", "centres: friction by load"},
      {"friction.balance_load", "balance pin: friction by load"}};
  std::vector<Unknown> out;
  for (const auto& [key, name] : kShared) {
    const auto at = d.quantities.find(key);
    if (at == d.quantities.end() || at->second.sigma <= 0 ||
        at->second.knowledge == case_file::Knowledge::kExact)
      continue;
    const auto& q = at->second;
    const std::string k = key;
    Unknown u;
    u.key = k;
    u.name = name;
    u.mean = q.value;
    u.sigma = q.sigma;
    u.low = 0;
    u.high = std::numeric_limits<double>::max();
    u.is_estimate = q.knowledge == case_file::Knowledge::kEstimate;
    if (u.is_estimate) {
      // A weak prior as wide as the range about the value, which need not stand in its middle; the range itself is no
      // wall, an estimate may be off.
      u.sigma = std::hypot(q.sigma, 0.5 * (q.low + q.high) - q.value);
      u.low = std::max(0.0, q.low - (q.high - q.low));
      u.high = q.high + (q.high - q.low);
    }
    u.is_friction = k.rfind("friction.", 0) == 0 || k.find(".friction") != std::string::npos;
    // Notes with a reading of their own.
    std::vector<std::string> own, others;
    for (const auto& row : rows) {
      const bool reads = std::any_of(row.readings.begin(), row.readings.end(), [&](const Reading& r) {
        return ((r.kind == Kind::kHammerCentre || r.kind == Kind::kHammerSwings) &&
                k == "friction.hammer_centre") ||
               ((r.kind == Kind::kWippenCentre || r.kind == Kind::kWippenSwings) &&
                k == "friction.wippen_centre") ||
               (r.kind == Kind::kKeyFriction && (k == "friction.key_balance" || k == "friction.key_front"));
      });
      if (reads && std::find(own.begin(), own.end(), row.note) == own.end()) own.push_back(row.note);
    }
    for (const auto& row : rows)
      if (std::find(own.begin(), own.end(), row.note) == own.end()) others.push_back(row.note);
    if (!others.empty()) out.push_back(u);
    for (const auto& note : own) {
      Unknown mine = u;
      mine.note = note;
      mine.name = note + ": " + u.name;
      mine.sigma = std::max(u.sigma, 0.5 * u.mean);
      mine.low = 0;
      mine.high = 10 * u.mean;
      out.push_back(mine);
    }
  }
  return out;
}

NoteModel::NoteModel(const CaseDescription& d, std::vector<NoteRow> rows, std::vector<Unknown> unknowns)
    : description_(d),
      rows_(std::move(rows)),
      unknowns_(std::move(unknowns)),
      solver_(d),
      regulated_(rows_.size()) {
  for (const NoteRow& row : rows_) {
    if (starts_.count(row.set_up) > 0) continue;
    study::SolveOptions options;
    options.by_playing = true;
    options.whole_stroke = false;
    starts_[row.set_up] = solver_.try_solve(d, d.set_ups[row.set_up], options).regulated.screws;
  }
}

Eigen::VectorXd NoteModel::prior_means() const {
  Eigen::VectorXd p(static_cast<Eigen::Index>(unknowns_.size()));
  for (std::size_t i = 0; i < unknowns_.size(); ++i) p[static_cast<Eigen::Index>(i)] = unknowns_[i].mean;
  return p;
}

CaseDescription NoteModel::with(std::size_t row, const Eigen::VectorXd& p) const {
  CaseDescription d = with_own(description_, rows_[row]);
  for (std::size_t i = 0; i < unknowns_.size(); ++i)
    if (unknowns_[i].note.empty() || unknowns_[i].note == rows_[row].note)
      d.quantities.at(unknowns_[i].key).value = p[static_cast<Eigen::Index>(i)];
  return d;
}

Eigen::VectorXd NoteModel::predict(const std::vector<Datum>& data, const Eigen::VectorXd& p) {
  std::vector<Answer> answers(rows_.size());
  tbb::parallel_for(std::size_t{0}, rows_.size(), [&](std::size_t r) {
    answers[r] = answer(with(r, p), rows_[r].set_up, solver_, nullptr, start_of(r));
  });
  std::vector<base::Problem> problems;
  Eigen::VectorXd out(static_cast<Eigen::Index>(data.size()));
  for (std::size_t r = 0; r < rows_.size(); ++r) {
    regulated_[r] = answers[r].regulated;
    if (!answers[r].failure.empty())
      problems.push_back({rows_[r].place.file, rows_[r].place.line, rows_[r].place.line_text,
                          "the model cannot weigh this note: " + answers[r].failure, "",
                          "look at its values with: leverwright read"});
  }
  if (!problems.empty()) throw base::UserError(problems);
  for (std::size_t j = 0; j < data.size(); ++j)
    out[static_cast<Eigen::Index>(j)] = fitted(answers[data[j].row].values, data[j].reading.kind);
  return out;
}

Eigen::MatrixXd NoteModel::differentiate(const std::vector<Datum>& data, const Eigen::VectorXd& p) {
  const std::size_t n = unknowns_.size();
  // Half a standard deviation, wide enough for the weighing's grid not to show; upwards, so that the tangents
  // of one fit are all of one kind (a side that changes about the mean lets the fit swing between two
  // answers), but back towards the middle far above it.
  std::vector<double> step(n);
  for (std::size_t i = 0; i < n; ++i) {
    const bool far = p[static_cast<Eigen::Index>(i)] > unknowns_[i].mean + unknowns_[i].sigma;
    step[i] = (far ? -0.5 : 0.5) * unknowns_[i].sigma;
  }
  std::vector<std::vector<Values>> moved(n, std::vector<Values>(rows_.size()));
  std::vector<Values> here(rows_.size());
  tbb::parallel_for(std::size_t{0}, (n + 1) * rows_.size(), [&](std::size_t job) {
    const std::size_t i = job / rows_.size(), r = job % rows_.size();
    if (i == n) {
      here[r] = answer(with(r, p), rows_[r].set_up, solver_, &regulated_[r], start_of(r)).values;
      return;
    }
    const Unknown& u = unknowns_[i];
    if (!u.note.empty() && u.note != rows_[r].note) return;
    Eigen::VectorXd q = p;
    q[static_cast<Eigen::Index>(i)] += step[i];
    moved[i][r] =
        answer(with(r, q), rows_[r].set_up, solver_, u.is_friction ? &regulated_[r] : nullptr, start_of(r))
            .values;
  });
  Eigen::MatrixXd out =
      Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(data.size()), static_cast<Eigen::Index>(n));
  for (std::size_t j = 0; j < data.size(); ++j)
    for (std::size_t i = 0; i < n; ++i) {
      const std::size_t r = data[j].row;
      if (!unknowns_[i].note.empty() && unknowns_[i].note != rows_[r].note) continue;
      const double slope =
          (fitted(moved[i][r], data[j].reading.kind) - fitted(here[r], data[j].reading.kind)) / step[i];
      if (std::isfinite(slope)) out(static_cast<Eigen::Index>(j), static_cast<Eigen::Index>(i)) = slope;
    }
  return out;
}

Eigen::VectorXd NoteModel::friction_gradient(std::size_t row, const Eigen::VectorXd& p,
                                             const std::string& key, double add) {
  const std::size_t n = unknowns_.size();
  std::vector<double> friction(n + 1);
  CaseDescription d0 = with(row, p);
  d0.quantities.at(key).value += add;
  const Answer here = answer(d0, rows_[row].set_up, solver_, nullptr, start_of(row));
  const auto half = [](const Values& v) { return 0.5 * (of(v, Kind::kDownWeight) - of(v, Kind::kUpWeight)); };
  Eigen::VectorXd out = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(n));
  tbb::parallel_for(std::size_t{0}, n, [&](std::size_t i) {
    const Unknown& u = unknowns_[i];
    if (!u.note.empty() && u.note != rows_[row].note) return;
    CaseDescription d = d0;
    d.quantities.at(u.key).value += 0.5 * u.sigma;
    const double slope =
        (half(answer(d, rows_[row].set_up, solver_, u.is_friction ? &here.regulated : nullptr, start_of(row))
                  .values) -
         half(here.values)) /
        (0.5 * u.sigma);
    if (std::isfinite(slope)) out[static_cast<Eigen::Index>(i)] = slope;
  });
  return out;
}

std::vector<Column> find_columns(const CaseDescription& description, const std::vector<NoteRow>& rows,
                                 const std::vector<Datum>& data, const std::vector<std::string>& skip,
                                 const std::function<bool(double)>& progress) {
  CaseDescription d = description;
  if (std::any_of(data.begin(), data.end(), [](const Datum& j) {
        return j.reading.kind == Kind::kDownWeight || j.reading.kind == Kind::kUpWeight;
      }))
    add_left_out(d);
  std::vector<study::Input> inputs;
  for (const auto& in : study::find_inputs(d))
    if (std::find(skip.begin(), skip.end(), in.key) == skip.end()) inputs.push_back(in);
  const std::size_t measured = inputs.size();
  // How exactly a note is regulated: the schema's usual uncertainty of the same reading.
  static const std::pair<const char*, const char*> kRegulation[] = {
      {"regulation.dip", "measured.dip"},
      {"regulation.blow", "measured.blow"},
      {"regulation.aftertouch", "measured.aftertouch"},
      {"regulation.let_off", "measured.let_off"},
      {"regulation.drop", "measured.drop"}};
  for (const auto& [key, usual] : kRegulation) {
    if (!d.has(key)) continue;
    study::Input in;
    in.key = key;
    in.name = std::string("regulation: ") + (std::string(key) == "regulation.let_off" ? "let-off" : key + 11);
    const auto* spec = case_file::schema().find_key(usual);
    in.sigma =
        std::get<case_file::Quantity>(case_file::read_quantity(spec->default_sigma, spec->dimension)).value;
    in.per_note = true;
    inputs.push_back(in);
  }
  std::vector<std::size_t> set_ups;
  for (const auto& row : rows)
    if (std::find(set_ups.begin(), set_ups.end(), row.set_up) == set_ups.end()) set_ups.push_back(row.set_up);
  const study::SetUpSolver solver(d);
  const std::size_t jobs = (inputs.size() + 1) * set_ups.size();
  std::vector<Values> values(jobs);
  std::vector<double> sign(jobs, 1);
  for (std::size_t at = 0; at < set_ups.size(); ++at)
    values[inputs.size() * set_ups.size() + at] = answer(d, set_ups[at], solver, nullptr).values;
  // Changes of every kind of reading in the smallest error any line gives it: under kNothing on one set-up,
  // an input is not asked again for the others.
  constexpr double kNothing = 0.02;
  std::map<Kind, double> finest;
  for (const Datum& j : data) {
    const auto [there, fresh] = finest.emplace(j.reading.kind, j.reading.sigma);
    if (!fresh) there->second = std::min(there->second, j.reading.sigma);
  }
  std::atomic<bool> stop{false};
  std::mutex talk;
  std::size_t done = 0;
  tbb::parallel_for(std::size_t{0}, inputs.size(), [&](std::size_t i) {
    bool nothing = false;
    for (std::size_t at = 0; at < set_ups.size() && !stop; ++at) {
      const std::size_t job = i * set_ups.size() + at, s = set_ups[at];
      const Values& still = values[inputs.size() * set_ups.size() + at];
      if (inputs[i].set_up >= 0 && inputs[i].set_up != static_cast<int>(s)) continue;
      if (nothing) {
        values[job] = still;
        continue;
      }
      CaseDescription moved = d;
      if (i < measured) moved = study::move_input(d, inputs[i], 1);
      if (i >= measured) moved.quantities.at(inputs[i].key).value += inputs[i].sigma;
      values[job] = answer(moved, s, solver, nullptr).values;
      if (std::isnan(of(values[job], Kind::kDownWeight)) && i < measured) {
        values[job] = answer(study::move_input(d, inputs[i], -1), s, solver, nullptr).values;
        sign[job] = -1;
      }
      nothing = inputs[i].set_up < 0;
      for (const auto& [kind, sigma] : finest)
        nothing = nothing && !(std::abs(of(values[job], kind) - of(still, kind)) > kNothing * sigma);
    }
    const std::lock_guard<std::mutex> lock(talk);
    if (progress && !progress(static_cast<double>(++done) / static_cast<double>(inputs.size()))) stop = true;
  });
  if (stop) throw Stopped{};
  std::vector<std::string> notes;
  for (const auto& row : rows)
    if (std::find(notes.begin(), notes.end(), row.note) == notes.end()) notes.push_back(row.note);
  std::vector<Column> out;
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    Eigen::VectorXd all = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(data.size()));
    for (std::size_t j = 0; j < data.size(); ++j) {
      const std::size_t s = rows[data[j].row].set_up;
      if (inputs[i].set_up >= 0 && inputs[i].set_up != static_cast<int>(s)) continue;
      const auto at =
          static_cast<std::size_t>(std::find(set_ups.begin(), set_ups.end(), s) - set_ups.begin());
      const std::size_t job = i * set_ups.size() + at;
      const double effect =
          sign[job] * (fitted(values[job], data[j].reading.kind) -
                       fitted(values[inputs.size() * set_ups.size() + at], data[j].reading.kind));
      if (std::isfinite(effect)) all[static_cast<Eigen::Index>(j)] = effect;
    }
    double most = 0;
    for (std::size_t j = 0; j < data.size(); ++j)
      most = std::max(most, std::abs(all[static_cast<Eigen::Index>(j)]) / data[j].sigma());
    if (most < kNothing) continue;
    Column c;
    c.input = inputs[i];
    c.is_regulation = i >= measured;
    if (!inputs[i].per_note) {
      c.effect = all;
      out.push_back(c);
      continue;
    }
    for (const auto& note : notes)
      for (std::size_t at = 0; at < (c.is_regulation ? set_ups.size() : 1); ++at) {
        c.note = note;
        c.effect = all;
        for (std::size_t j = 0; j < data.size(); ++j) {
          const NoteRow& row = rows[data[j].row];
          if (row.note != note || (c.is_regulation && row.set_up != set_ups[at]))
            c.effect[static_cast<Eigen::Index>(j)] = 0;
        }
        if (c.effect.squaredNorm() > 0) out.push_back(c);
      }
  }
  return out;
}

}  // namespace leverwright::calibrate
