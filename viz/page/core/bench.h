// The bench the page works at: one case, whose set-ups are solved as asked, by the code of the command line. No
// rule of its own: every number, sentence and shape comes from the models and the scene.
//
//   open       reads a case; its set-ups as texts. `lean` false: before it is leaned on its readings as found, which
//              takes some hundred solutions; `leans` then says that it will be. `files`: part and material files that
//              stand beside the case                             {text, name, lean?, files?}
//   catalogue  what can be changed and what is read               {}
//   weigh      one set-up regulated and weighed                   {slot, set_up, quick, screws?}
//   picture    shapes of a solved set-up, at rest, on the slow
//              path, or in its stroke; another one over it, at
//              the heel alone with `draw_over` false              {slot, moment | dip | time, over?}
//   play       one stroke at a touch of the case or any speed, or {slot, touch | speed | repeat, rate}
//              some strokes repeated, "full" or "partial"
//   judge      all set-ups compared with their bands; with the    {set_ups, text?, name?}
//              case's text no case need be open
//   save       the case's text with these set-ups                 {set_ups}
//   sheet, sheet_lines, sheet_case   the bench sheet as a form (sheet.h)
//
// Slots are names the page gives to solved set-ups ("hand", "base", "other"); the last one of each name is kept.
#pragma once
#include <functional>
#include <map>
#include <optional>
#include <string>

#include "models/study/compare.h"
#include "sim/base/error.h"
#include "viz/model_scene/model_scene.h"
#include "viz/page/core/case_text.h"
#include "viz/page/core/scene_json.h"
#include "viz/page/core/sheet.h"

namespace leverwright::page {

// Told what is at work and the share done; false stops a judgement.
using Told = std::function<bool(const std::string& doing, double share)>;

class Bench {
 public:
  // Every answer is an object: what was asked for, or {"problems": [...]}. Never throws for what a user gave.
  Json ask(const Json& request, const Told& told = {});

 private:
  struct Slot {
    study::SetUpResult result;
    std::optional<scene::ActionMotion> motion;
    std::vector<scene::WornPath> worn;
  };

  Json open(const Json& request);
  Json weigh(const Json& request);
  Json picture(const Json& request);
  Json play(const Json& request);
  Json judge(const Json& request, const Told& told);
  Json save(const Json& request) const;

  case_file::SetUp read_one(const SetUpText& set_up) const;
  case_file::SetUp read_alone(const SetUpText& set_up) const;
  const Slot& slot(const Json& request, const char* name) const;
  scene::SetUpMoment moment_of(const Slot& slot, const Json& request) const;

  std::string text_, path_;
  std::vector<SetUpText> set_ups_;
  case_file::CaseDescription description_;  // leaned on its readings, where it has any
  study::SetUpSolver solver_;
  std::map<std::string, Slot> slots_;
  std::optional<Sheet> sheet_;  // a form that is being filled in
};

Json problems_of(const base::UserError& error);

}  // namespace leverwright::page
