// The pages, as templates.
#pragma once

namespace leverwright::bench_pages {

extern const char* const kSheetTemplate;
extern const char* const kOrderTemplate;

}  // namespace leverwright::bench_pages
