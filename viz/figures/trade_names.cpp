#include <array>
#include <utility>

#include "viz/figures/figure_data.h"

namespace leverwright::figures {

std::string trade_name(const std::string& name) {
  static const std::array<std::pair<const char*, const char*>, 16> kContacts{{
      {"C1", "key on back-rail cloth"},
      {"C2", "key on front punching"},
      {"C3", "capstan on heel cloth"},
      {"C4", "jack on knuckle"},
      {"C5", "repetition lever on knuckle"},
      {"C6", "jack tender on let-off button"},
      {"C7", "repetition lever on drop screw"},
      {"C8", "jack stop"},
      {"C9", "lever stop"},
      {"C10", "shank on rest cushion"},
      {"C11", "tail on back check"},
      {"C12", "hammer on string"},
      {"C13", "key end on damper lever"},
      {"C14", "key on balance punching"},
      {"C15", "outer stop of the jack"},
      {"C16", "outer stop of the lever"},
  }};
  for (const auto& [id, words] : kContacts)
    if (name == id) return words;
  std::string out = name;
  for (char& c : out)
    if (c == '_') c = ' ';
  return out;
}

}  // namespace leverwright::figures
