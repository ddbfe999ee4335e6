// What the bench answers, as JSON. Numbers in the unit a person reads; what does not exist is null.
#pragma once
#include "models/study/compare.h"
#include "viz/page/core/case_text.h"
#include "viz/page/core/scene_json.h"

namespace leverwright::page {

Json number(double value);  // null where it is not finite

SetUpText read_set_up(const Json& request);
Json to_json(const SetUpText& set_up);

Json catalogue();
Json weighed(const study::SetUpResult& set_up, const case_file::SetUp& changes,
             const action::ActionDesign& base_design);
Json stroke(const study::PlayedTouch& touch);
Json judged(const case_file::CaseDescription& description, const study::Comparison& comparison);

}  // namespace leverwright::page
