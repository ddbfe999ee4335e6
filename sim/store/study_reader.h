// Reads a results file written by StudyWriter. A file that cannot be read, is no study, is newer than this
// program or is cut short is a base::UserError that says which and what to do; so is a missing dataset.
#pragma once
#include <memory>
#include <string>
#include <vector>

#include "sim/store/meta.h"
#include "sim/store/study_writer.h"

namespace leverwright::store {

struct SetUpEntry {
  int index = 0;
  std::string path;  // "/set_ups/00"
  std::string name, description;
  std::string status;  // "complete", "failed", "stopped", "running"
  std::string reason;
};

// Texts come with control characters written out ("\\x1b"), except those of header(), which are as they were
// read.
class StudyReader {
 public:
  explicit StudyReader(const std::string& path);
  ~StudyReader();
  StudyReader(StudyReader&&) noexcept;
  StudyReader& operator=(StudyReader&&) noexcept;

  const std::string& path() const;
  std::string status() const;  // "complete", "stopped", "running"
  std::string reason() const;
  StudyHeader header() const;  // versions, case text, part and material files
  std::vector<SetUpEntry> set_ups() const;

  bool has(const std::string& path) const;  // group or dataset
  std::vector<std::string> groups(const std::string& path) const;
  std::vector<std::string> datasets(const std::string& path) const;
  bool is_table(const std::string& path) const;

  Series read_series(const std::string& path) const;
  Meta read_meta(const std::string& path) const;
  std::vector<std::string> read_strings(const std::string& path) const;
  std::string read_text(const std::string& path) const;
  Table read_table(const std::string& path) const;
  std::vector<Number> read_numbers(const std::string& path) const;
  // The row of that name; a UserError that lists the names when there is none.
  Number read_number(const std::string& path, const std::string& name) const;

  bool has_attribute(const std::string& path, const std::string& name) const;
  std::string text_attribute(const std::string& path, const std::string& name) const;
  double number_attribute(const std::string& path, const std::string& name) const;
  std::vector<std::string> texts_attribute(const std::string& path, const std::string& name) const;

 private:
  struct Inside;
  std::unique_ptr<Inside> in_;
};

}  // namespace leverwright::store
