// What can be said of a measure of one set-up against the base.
#pragma once

namespace leverwright::study {

enum class Judgement {
  kNoTarget,
  kBetter,  // nearer to the target
  kWorse,
  kMoved,  // changed, but no nearer to the target and no farther from it that could be told
  kSame    // cannot be told apart
};

}  // namespace leverwright::study
