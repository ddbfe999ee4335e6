// Names fixed by the results-file standard (FORMAT.md): writer, reader and checker share them.
#pragma once
#include <array>
#include <string>
#include <string_view>

namespace leverwright::store {

inline constexpr std::string_view kFormat = "leverwright study";
// Raised when an older reader would misread the file; added datasets do not raise it.
inline constexpr int kFormatVersion = 1;

inline constexpr std::string_view kSetUps = "/set_ups";
inline constexpr std::string_view kFiles = "/files";
inline constexpr std::string_view kCaseText = "/case_text";

inline constexpr std::string_view kRunning = "running";
inline constexpr std::string_view kComplete = "complete";
inline constexpr std::string_view kStopped = "stopped";
inline constexpr std::string_view kFailed = "failed";

// "/set_ups/03"
std::string set_up_path(int index);

// Attributes of every dataset, beside may_be_unknown and the column attributes.
inline constexpr std::array<std::string_view, 5> kDatasetAttributes{"unit", "display_unit", "display_factor",
                                                                    "frame", "description"};

// What a finished set-up must hold, relative to /set_ups/<index>.
inline constexpr std::array<std::string_view, 5> kRequiredGroups{"statics/down", "statics/up", "slide",
                                                                 "scene/bodies", "scene/positions"};
inline constexpr std::array<std::string_view, 2> kRequiredTables{"screws", "numbers"};
inline constexpr std::array<std::string_view, 6> kRequiredDatasets{
    "warnings",       "statics/down/dip", "statics/down/force",
    "statics/up/dip", "statics/up/force", "scene/positions/bodies"};
inline constexpr std::array<std::string_view, 3> kPositions{"rest", "half_stroke", "let_off"};

}  // namespace leverwright::store
