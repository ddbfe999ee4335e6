#include "viz/app/has_pictures.h"

namespace leverwright::app {

bool has_pictures() { return true; }

}  // namespace leverwright::app
