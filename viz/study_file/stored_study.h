// A stored study, opened once for every picture, film, export and report. Here stands what all of them ask of the
// file: which set-ups are finished and what they are called, and values that may be missing.
//
//   curves.h   what the charts need of every set-up
//   action.h   outlines and positions, for drawings
//   motion.h   one stroke over time, for films and exports
//   words.h    the answer, the table and the warnings, for reports
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "sim/store/study_reader.h"
#include "viz/scene/shape.h"

namespace leverwright::study_file {

// A set-up whose status is complete; the first is the base.
struct SetUp {
  std::string name, at;  // at: "/set_ups/00"
  std::string
      undone;  // "NOT REVERSIBLE", "undone in minutes", ...; empty: the base, or the file does not say
  std::vector<store::Number> numbers;

  std::string label() const;  // the name, marked where what it does cannot be undone
  const store::Number* find_number(const std::string& name) const;
  std::optional<double> number(const std::string& name) const;  // SI
};

struct Event {
  std::string name;
  double time = 0;  // s
};

class StoredStudy {
 public:
  // UserError: no such file, no study, or damaged (store::StudyReader).
  explicit StoredStudy(const std::string& path);

  const std::string& path() const { return in_.path(); }
  const store::StudyReader& in() const { return in_; }
  const std::vector<SetUp>& set_ups() const { return set_ups_; }
  const std::vector<std::string>& failed() const { return failed_; }  // "name: reason"
  // By name, the first for ""; UserError with the names there are.
  const SetUp& find_set_up(const std::string& name) const;
  // UserError when no set-up is finished: nothing "to draw", "to report".
  void need_finished(const std::string& to) const;

  // Empty where the file has none.
  std::vector<double> column(const std::string& path) const;
  std::vector<std::string> strings(const std::string& path) const;
  std::vector<std::string> groups(const std::string& path) const;
  std::string text(const std::string& path, const std::string& attribute) const;
  std::optional<double> attribute(const std::string& path, const std::string& name) const;
  std::vector<Event> events(const std::string& stroke_path) const;  // those that happened
  // [n x 2]; UserError where it is not.
  std::vector<scene::Point> points(const std::string& path) const;

 private:
  store::StudyReader in_;
  std::vector<SetUp> set_ups_;
  std::vector<std::string> failed_;
};

// Column of a series by its name; empty when it has none.
std::vector<double> find_column(const store::Series& series, const std::string& name);
std::vector<double> take_column(const store::Series& series, std::size_t column);

}  // namespace leverwright::study_file
