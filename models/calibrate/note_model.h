// What the model says each note of a measurements file should read, and how that answer moves with everything
// it rests on.
#pragma once
#include <Eigen/Core>
#include <array>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "models/action/regulate.h"
#include "models/calibrate/measurements.h"
#include "models/study/inputs.h"
#include "models/study/set_up_solver.h"

namespace leverwright::calibrate {

using Values = std::array<double, static_cast<std::size_t>(Kind::kKindCount)>;  // SI; NaN: cannot be said

struct Datum {
  std::size_t row = 0;
  Reading reading;
  // As they are fitted (to_fit).
  double value() const { return to_fit(reading.kind, reading.value); }
  double sigma() const { return fitted_error(reading.kind, reading.value, reading.sigma); }
};
std::vector<Datum> list_data(const std::vector<NoteRow>& rows, bool friction_only);

// Rows read as found that cannot be regulated to their own readings keep their weights alone, as if regulated
// to the specification: what such a state weighs cannot be computed.
std::vector<NoteRow> with_workable_states(const case_file::CaseDescription& description,
                                          std::vector<NoteRow> rows);

// A value of the case that the readings may tell. `note` empty: all notes share it.
struct Unknown {
  std::string key, note, name;
  double mean = 0, sigma = 0, low = 0, high = 0;  // prior, SI
  bool is_friction = false;                       // moves no regulation
  bool is_estimate = false;                       // measured by nobody
};

// Frictions of contacts and pivots and the cloth constants of the surfaces that carry the stroke, as far as
// the case leaves them uncertain. A centre or bushing that was read on a note itself is that note's own, with
// a wide prior (half its value): its reading speaks.
std::vector<Unknown> find_unknowns(const case_file::CaseDescription& description,
                                   const std::vector<NoteRow>& rows);

class NoteModel {
 public:
  NoteModel(const case_file::CaseDescription& description, std::vector<NoteRow> rows,
            std::vector<Unknown> unknowns);
  const std::vector<NoteRow>& rows() const { return rows_; }
  const std::vector<Unknown>& unknowns() const { return unknowns_; }
  Eigen::VectorXd prior_means() const;

  // Readings, as they are fitted (to_fit), at these values of the unknowns. base::UserError, with the row's
  // place, when a row cannot be regulated or weighed.
  Eigen::VectorXd predict(const std::vector<Datum>& data, const Eigen::VectorXd& p);
  Eigen::MatrixXd differentiate(const std::vector<Datum>& data, const Eigen::VectorXd& p);

  // Down and up weight of a row with some case values replaced, less what they are without (SI): for asking
  // what another measurement would show. Index by unknown: derivative of (D - U) / 2.
  Eigen::VectorXd friction_gradient(std::size_t row, const Eigen::VectorXd& p, const std::string& key,
                                    double add);

 private:
  case_file::CaseDescription with(std::size_t row, const Eigen::VectorXd& p) const;
  const case_file::CaseDescription description_;
  std::vector<NoteRow> rows_;
  std::vector<Unknown> unknowns_;
  study::SetUpSolver solver_;
  // Back check and repetition spring of each set-up, set by playing on the case's own note as a comparison sets them.
  std::map<std::size_t, action::ScrewSettings> starts_;
  const action::ScrewSettings& start_of(std::size_t row) const { return starts_.at(rows_[row].set_up); }
  std::vector<action::Regulated> regulated_;  // by row, at the last predict()
};

// Effects of uncertain inputs on the readings, one column for each input and note it is separate for: change
// of a reading, as it is fitted, per standard deviation, at the case's own values. How exactly a note is
// regulated is separate for each set-up as well: after the work every screw is set afresh.
struct Column {
  study::Input input;
  std::string note;  // empty: the same on all notes
  Eigen::VectorXd effect;
  bool is_regulation = false;  // how exactly the notes were regulated (per note)
};
// `skip`: keys that are not to be moved. `progress` may stop by returning false (then throws Stopped).
struct Stopped {};
std::vector<Column> find_columns(const case_file::CaseDescription& description,
                                 const std::vector<NoteRow>& rows, const std::vector<Datum>& data,
                                 const std::vector<std::string>& skip,
                                 const std::function<bool(double share)>& progress);

}  // namespace leverwright::calibrate
