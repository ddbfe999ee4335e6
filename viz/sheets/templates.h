// The pages, as templates.
#pragma once

namespace leverwright::sheets {

extern const char* const kSheetTemplate;
extern const char* const kOrderTemplate;

}  // namespace leverwright::sheets
