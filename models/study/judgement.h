// What can be said of a measure of one set-up against the base: the words of the one judgement.
#pragma once
#include "models/judgement/judge.h"

namespace leverwright::study {

using Judgement = judgement::Word;

}  // namespace leverwright::study
