// The page, as a template.
#pragma once

namespace leverwright::report {

extern const char* const kPage;

}  // namespace leverwright::report
