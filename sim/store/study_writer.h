// Writes one results file. The standard it follows is FORMAT.md beside this header.
//
//   StudyWriter writer("out/study.h5", header);
//   const std::string at = writer.begin_set_up("heel build-up", "0.7 mm high, 5 mm long");   // "/set_ups/01"
//   writer.write_numbers(at, "numbers", numbers, "measures of this set-up");
//   writer.write_series(at + "/statics/down", "force", force, make_meta("N", "gf", "none", "..."));
//   writer.finish_set_up();
//   writer.finish();                    // study.h5.part becomes study.h5
//
// Everything goes to "<path>.part" first. It is flushed after each set-up, so that a killed run leaves a readable .part
// behind, and never by the clock, so that the same answers are the same bytes however long they took. An older study.h5 stays untouched until
// the new one is whole. One thread at a time; one writer per path.
//
// A full disk or a folder that cannot be written is a base::UserError. A wrong name, an unknown unit or
// unequal columns are programmer errors: std::logic_error.
#pragma once
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "sim/store/meta.h"
#include "sim/store/values.h"

namespace leverwright::store {

struct SourceFile {  // a part or material file the case drew on, kept word for word
  std::string path;
  std::string text;
};

struct StudyHeader {
  std::string software_version;
  std::string case_path;
  std::string case_text;  // verbatim
  std::vector<SourceFile> files;
  std::string created;  // UTC, "2025-01-31T12:00:00Z"; empty: now, or SOURCE_DATE_EPOCH when that is set
};

class StudyWriter {
 public:
  StudyWriter(std::string path, const StudyHeader& header);
  // Without finish(), stop() or discard(): as stop("ended without being finished"); never throws.
  ~StudyWriter();
  StudyWriter(const StudyWriter&) = delete;
  StudyWriter& operator=(const StudyWriter&) = delete;

  // Set-ups come one after the other; the index counts up from 00. Returns the group's path.
  std::string begin_set_up(const std::string& name, const std::string& description);
  void finish_set_up();
  // The set-up has no answer (cannot be regulated, unstable): it stays in the file with the reason.
  void fail_set_up(const std::string& reason);

  void write_attribute(const std::string& group, const std::string& name, const std::string& value);
  void write_attribute(const std::string& group, const std::string& name, double value);
  void write_attribute(const std::string& group, const std::string& name, std::int64_t value);
  void write_attribute(const std::string& group, const std::string& name, int value) {
    write_attribute(group, name, std::int64_t{value});
  }
  void write_attribute(const std::string& group, const std::string& name,
                       const std::vector<std::string>& values);

  // 1-D. The group is made when missing.
  void write_series(const std::string& group, const std::string& name, Values values, const Meta& meta);
  // 2-D, row-major, rows x columns.
  void write_series(const std::string& group, const std::string& name, Values values, std::size_t columns,
                    const Meta& meta, const Columns& names = {});
  void write_strings(const std::string& group, const std::string& name, const std::vector<std::string>& texts,
                     const std::string& description);
  void write_text(const std::string& group, const std::string& name, const std::string& text,
                  const std::string& description);
  // A table is a group with one dataset per column.
  void write_table(const std::string& group, const std::string& name, const Table& table);
  // The usual numbers table; `more` adds columns of its own (turns_against_base, thread_left).
  void write_numbers(const std::string& group, const std::string& name, const std::vector<Number>& numbers,
                     const std::string& description, const std::vector<Column>& more = {});

  void flush();
  // Marks the study complete and gives it its final name.
  void finish();
  // Interrupted: what is finished is kept under the final name with status "stopped" and the reason; an
  // open set-up is kept as stopped too. Returns false, leaving no file, when no set-up was ended before.
  bool stop(const std::string& reason);
  // User error: leaves no file.
  void discard();

  bool is_open() const;
  const std::string& path() const;       // the final name
  const std::string& part_path() const;  // the name while writing
  int ended_set_ups() const;             // finished or failed

 private:
  struct Inside;
  std::unique_ptr<Inside> in_;
};

}  // namespace leverwright::store
