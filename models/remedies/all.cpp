#include "models/remedies/all.h"

namespace leverwright::remedies {

const case_file::RemedyList& all() {
#define LEVERWRIGHT_REMEDY(name) &name(),
  static const case_file::RemedyList list = {LEVERWRIGHT_REMEDIES(LEVERWRIGHT_REMEDY)};
#undef LEVERWRIGHT_REMEDY
  return list;
}

const Remedy* find(const std::string& kind) { return case_file::find_remedy(all(), kind); }

}  // namespace leverwright::remedies
