// A small study that meets the whole standard, made of invented uneven numbers.
#pragma once
#include <string>

#include "sim/store/study_writer.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::store {

StudyHeader small_header();
// Everything a finished set-up must hold, shifted a little by `shift` so that set-ups differ.
void write_small_set_up(StudyWriter& writer, const std::string& at, double shift);
// Two finished set-ups and a failed one, complete.
void write_small_study(const std::string& path);

}  // namespace leverwright::store
