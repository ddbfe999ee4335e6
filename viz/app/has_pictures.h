// Whether this program draws. Built without (LEVERWRIGHT_VIZ=OFF), no_pictures.cpp stands in for the folders
// that draw: each function the verbs call is there and says so.
#pragma once

namespace leverwright::app {

bool has_pictures();

}  // namespace leverwright::app
