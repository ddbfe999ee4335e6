// A small study that meets the whole standard, made of invented uneven numbers, and a folder for it that goes
// away with the test.
#pragma once
#include <filesystem>
#include <string>

#include "sim/store/study_writer.h"

namespace leverwright::store {

class TemporaryFolder {
 public:
  TemporaryFolder();
  ~TemporaryFolder();
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;
  std::string file(const std::string& name) const { return (path_ / name).string(); }
  const std::filesystem::path& path() const { return path_; }
  std::size_t files() const;

 private:
  std::filesystem::path path_;
};

StudyHeader small_header();
// Everything a finished set-up must hold, shifted a little by `shift` so that set-ups differ.
void write_small_set_up(StudyWriter& writer, const std::string& at, double shift);
// Two finished set-ups and a failed one, complete.
void write_small_study(const std::string& path);

}  // namespace leverwright::store
