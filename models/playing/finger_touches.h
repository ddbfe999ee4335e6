// Other ways to play one regulated set-up than a bare force: a finger that strikes or presses, a record of a
// force or of a key's dip, a weight dropped on the key. Faults are explained as for pressed touches.
#pragma once
#include <functional>
#include <string>

#include "models/playing/recorded_history.h"
#include "models/study/compare.h"

namespace leverwright::playing {

using TouchProgress = std::function<void(const std::string& touch, double share)>;

// The finger of the case's [touches], for a key with this dip [m].
action::FingerTouch find_finger(const case_file::CaseDescription& description, double dip, bool struck);

// "mf" struck from above or, by the same finger, pressed from the key's surface; named "mf struck",
// "mf finger".
study::PlayedTouch play_finger_touch(const case_file::CaseDescription& description,
                                     const study::SetUpResult& set_up, const std::string& touch, bool struck,
                                     const TouchProgress& progress = {});

// The same for a hammer speed [m/s] that has no name in the case; `name` as given.
study::PlayedTouch play_finger_at_speed(const case_file::CaseDescription& description,
                                        const study::SetUpResult& set_up, const std::string& name,
                                        double hammer_speed, bool struck, const TouchProgress& progress = {});

// Named "record".
study::PlayedTouch play_record(const study::SetUpResult& set_up, const RecordedHistory& record,
                               const SmoothRecord& smooth, const TouchProgress& progress = {});

// A mass [kg] falls on the key from a height [m] and stays on it; named "weight". It is not lifted again, so
// a jack that does not reset is no fault here.
study::PlayedTouch play_weight(const study::SetUpResult& set_up, double mass, double height,
                               const TouchProgress& progress = {});

}  // namespace leverwright::playing
