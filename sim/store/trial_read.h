// Whether a file from elsewhere can be read at all, found out in a process of its own: damage or malice that
// makes the HDF5 library crash, spin or eat memory ends that process and not this one.
#pragma once
#include <functional>
#include <string>

namespace leverwright::store {

enum class Trial { kFine, kCrashed, kTooMuch };

// Runs `reading` in a child that may use kTrialSeconds of processor time and kTrialBytes of memory. What it
// throws is no crash: the caller meets it again. kFine where no process can be made.
Trial try_in_child(const std::function<void()>& reading);

inline constexpr int kTrialSeconds = 20;
inline constexpr unsigned long long kTrialBytes = 3ull << 30;

// base::UserError unless `reading` of this file comes through. A file tried once, or written by this program,
// is not tried again while it stays as it is.
void need_readable(const std::string& path, const std::function<void()>& reading);
void trust(const std::string& path);

}  // namespace leverwright::store
