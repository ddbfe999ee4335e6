// Fills the results file (sim/store/FORMAT.md) with a study: curves, ledger, slide path, screws, numbers,
// outlines, positions. Each set-up is stored as soon as it is finished; the numbers with uncertainties follow
// when they are known.
#pragma once
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "models/study/compare.h"
#include "sim/store/study_writer.h"

namespace leverwright::study {

class StudyFile {
 public:
  // Opens `path`.part. Throws base::UserError when it cannot be written.
  StudyFile(const case_file::CaseDescription& description, const std::string& path);
  // Stores one set-up with everything it holds; call in order, the base first. Numbers come with whatever
  // uncertainty the result carries.
  void add(const SetUpResult& set_up);
  // The base alone, regulated and weighed without uncertainties, for studies that are about something else; its
  // warnings are returned, for finish().
  std::vector<std::string> add_base(const case_file::CaseDescription& description);
  // What the judgement says of them all, before finish().
  void write_answer(const Comparison& comparison);
  // Warnings of the whole study; then the file gets its final name.
  void finish(const std::vector<std::string>& warnings);
  // Keeps what is finished; false when there was nothing to keep.
  bool stop(const std::string& reason) { return writer_.stop(reason); }
  void discard() { writer_.discard(); }
  const std::string& path() const { return writer_.path(); }
  store::StudyWriter& writer() { return writer_; }

 private:
  store::StudyWriter writer_;
};

// All of a finished comparison at once.
void write_study(const case_file::CaseDescription& description, const Comparison& comparison,
                 const std::string& path);

}  // namespace leverwright::study
