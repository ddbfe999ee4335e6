// Whether a file from elsewhere can be read at all, found out in a process of its own: damage or malice that
// makes the HDF5 library crash, spin or eat memory ends that process and not this one.
#pragma once
#include <sys/types.h>

#include <functional>
#include <string>

namespace leverwright::store {

enum class Trial { kFine, kCrashed, kTooMuch };

// Runs `reading` in a child that may use so many seconds of processor time, kTrialWait times as many by the clock, and
// kTrialBytes of memory. What it throws is no crash: the caller meets it again. kFine where no process can be made.
Trial try_in_child(const std::function<void()>& reading, unsigned seconds);

// A second, and one more for each 10 MB: ten times and more what a whole file of that size takes.
unsigned trial_seconds(off_t bytes);

inline constexpr unsigned kTrialWait = 60;
inline constexpr unsigned long long kTrialBytes = 3ull << 30;

// base::UserError unless `reading` of this file comes through. A file tried once, or written by this program,
// is not tried again while it stays as it is.
void need_readable(const std::string& path, const std::function<void()>& reading);
void trust(const std::string& path);

// What came through its trial may break the library down all the same: memory lies differently here. From now on such a
// breakdown ends the program with a sentence that names this file, and exit code 1. Not for a file that is trusted.
void end_in_words_over(const std::string& path);

}  // namespace leverwright::store
