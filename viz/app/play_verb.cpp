#include <algorithm>

#include "models/case/nearest.h"
#include "models/case/read_case.h"
#include "sim/base/error.h"
#include "viz/app/play_touches.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"

namespace leverwright::app {

std::vector<std::string> known_touches() { return {"pp", "p", "mf", "f", "ff"}; }

std::vector<table::PlayedTouch> play_touches(const case_file::CaseDescription& d, const study::SetUpResult& s,
                                             const std::vector<std::string>& names,
                                             const Terminal& terminal) {
  Progress progress(terminal);
  const action::Rest rest = action::build_rest(s.action, s.regulated.rest.q);
  std::vector<table::PlayedTouch> out;
  for (std::size_t k = 0; k < names.size(); ++k) {
    progress.report("touches", s.name + ", " + names[k],
                    static_cast<double>(k) / static_cast<double>(names.size()));
    table::PlayedTouch t;
    t.name = names[k];
    t.wanted_speed = d.value("touches." + names[k]);
    t.found = action::find_pressed_touch(s.action, rest, t.wanted_speed);
    t.stroke = action::play(s.action, rest, action::pressed_drive(s.action, t.found.touch));
    out.push_back(std::move(t));
  }
  return out;
}

int run_play(const std::string& case_path, const std::string& set_up, const std::vector<std::string>& touches,
             const Terminal& terminal) {
  const auto known = known_touches();
  for (const auto& touch : touches)
    if (std::find(known.begin(), known.end(), touch) == known.end())
      throw base::UserError(
          {base::Problem{"", 0, "", "unknown touch \"" + touch + "\"", "pp, p, mf, f or ff", ""}});
  const auto d = case_file::read_case(case_path);
  const std::size_t index = find_set_up(d, set_up);
  study::CompareOptions options;
  options.uncertainty = false;
  const auto c = study::compare(only_set_up(d, index), options);
  const auto& s = c.set_ups.back();
  if (!s.weighing.ok)
    throw base::UserError("\"" + s.name + "\" cannot be played. " + s.verdict,
                          "see: leverwright regulate " + case_path);
  write_result(table::write_touches(s.name, play_touches(d, s, touches.empty() ? known : touches, terminal),
                                    terminal.look));
  return kDone;
}

}  // namespace leverwright::app
