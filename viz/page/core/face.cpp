#include "viz/page/core/face.h"

#include <string>

#include "sim/base/error.h"
#include "viz/page/core/bench.h"
#ifdef __EMSCRIPTEN__
#include <emscripten.h>
#endif

namespace {

using leverwright::page::Json;

// A worker's function `told` hears of long work; its answer "false" stops it.
bool tell(const std::string& doing, double share) {
#ifdef __EMSCRIPTEN__
  return EM_ASM_INT({ return !Module.told || Module.told(UTF8ToString($0), $1) != false; }, doing.c_str(),
                    share) != 0;
#else
  (void)doing;
  (void)share;
  return true;
#endif
}

}  // namespace

extern "C" const char* leverwright_ask(const char* request) {
  static leverwright::page::Bench bench;
  static std::string answer;
  Json said;
  try {
    said = bench.ask(Json::parse(request), tell);
  } catch (const std::exception& error) {
    said = leverwright::page::problems_of(leverwright::base::UserError(error.what()));
  }
  answer = said.dump(-1, ' ', false, Json::error_handler_t::replace);
  return answer.c_str();
}
