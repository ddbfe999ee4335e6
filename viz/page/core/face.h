// The one function a browser calls: a request as JSON text, the answer as JSON text (bench.h). The answer stays until
// the next call.
#pragma once

extern "C" const char* leverwright_ask(const char* request);
