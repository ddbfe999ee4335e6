#include "viz/page/core/bench.h"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <stdexcept>

#include "models/action/as_set.h"
#include "models/calibrate/as_found.h"
#include "models/case_file/document.h"
#include "models/case_file/read_case.h"
#include "models/case_file/read_set_ups.h"
#include "models/playing/repetition.h"
#include "models/remedies/all.h"
#include "models/remedies/read_case.h"
#include "models/study/friction_first.h"
#include "models/study/remedies.h"
#include "sim/base/error.h"
#include "sim/base/units.h"
#include "viz/page/core/answers.h"

namespace leverwright::page {

namespace {

constexpr double kHalfWidth = 9, kHalfHeight = 6.5;  // of what is shown enlarged at the heel [mm]
constexpr double kTraceBefore = 0.4;                 // of a stroke, the mark drawn behind the contact [s]
constexpr double kFloor = 0.05;                      // smaller forces get no mark [N]

std::vector<SetUpText> read_set_ups(const Json& list) {
  std::vector<SetUpText> out;
  for (const auto& item : list) out.push_back(read_set_up(item));
  return out;
}

// Files beside the case. In a browser they lie in the module's own memory; elsewhere they are where they are.
void put_files(const Json& files) {
#ifdef __EMSCRIPTEN__
  for (const auto& file : files) {
    const std::string name = file.at("name");
    if (name.empty() || name.find_first_of("/\\") != std::string::npos) continue;
    std::ofstream(name, std::ios::binary) << file.at("text").get<std::string>();
  }
#else
  (void)files;
#endif
}

Json pose(const scene::Pose& p) { return {p.x * 1e3, p.y * 1e3, p.theta}; }

Json state_of(const study::SetUpResult& s) { return {{"name", s.name}, {"regulated", s.regulated_ok}}; }

}  // namespace

Json problems_of(const base::UserError& error) {
  Json list = Json::array();
  for (const auto& p : error.problems())
    list.push_back({{"line", p.line},
                    {"line_text", p.line_text},
                    {"what", p.what},
                    {"expected", p.expected},
                    {"advice", p.advice}});
  return {{"problems", list}};
}

Json Bench::ask(const Json& request, const Told& told) {
  try {
    const std::string what = request.at("ask");
    if (what == "open") return open(request);
    if (what == "catalogue") return catalogue();
    if (what == "weigh") return weigh(request);
    if (what == "picture") return picture(request);
    if (what == "play") return play(request);
    if (what == "judge") return judge(request, told);
    if (what == "save") return save(request);
    if (what == "sheet_lines") return sheet_lines();
    if (what == "sheet" || what == "sheet_case") {
      if (!sheet_) sheet_.emplace();
      return what == "sheet" ? sheet_->answer(request) : sheet_->write_case(request);
    }
    throw base::UserError("the bench does not know \"" + what + "\"");
  } catch (const base::UserError& error) {
    return problems_of(error);
  } catch (const base::Unstable& error) {
    return problems_of(base::UserError(error.what()));
  }
}

Json Bench::open(const Json& request) {
  const std::string text = request.at("text"), path = request.at("name");
  put_files(request.value("files", Json::array()));
  const auto read = remedies::read_case_text(text, path);
  const bool lean = request.value("lean", true);
  auto leaned = lean ? calibrate::condition_case(read) : calibrate::Conditioned{read, {}};
  const study::SetUpSolver solver(leaned.description);
  solver.require_base(leaned.description);
  text_ = text;
  path_ = path;
  description_ = std::move(leaned.description);
  solver_ = solver;
  slots_.clear();
  set_ups_ = read_set_up_texts(text, path);
  Json out{{"title", description_.title},
           {"question", description_.question},
           {"story", description_.story},
           {"instrument", description_.instrument},
           {"invented", description_.invented},
           {"notes", description_.notes},
           {"warnings", description_.warnings},
           {"set_ups", Json::array()},
           {"touches", Json::array()},
           {"leans", !lean && calibrate::has_readings(read)},
           {"policy", description_.choice("regulation.policy")},
           {"leads", Json::array()}};
  for (const auto& lead : description_.leads) out["leads"].push_back({lead.mass * 1e3, lead.distance * 1e3});
  for (std::size_t k = 0; k < set_ups_.size(); ++k) {
    Json s = to_json(set_ups_[k]);
    s["undone"] = case_file::undone_class(description_.set_ups[k]);
    out["set_ups"].push_back(s);
  }
  for (const auto& row : leaned.as_found.rows)
    out["found"].push_back({{"name", row.name},
                            {"unit", row.unit},
                            {"decimals", row.decimals},
                            {"measured", number(row.measured * row.factor)},
                            {"computed", number(row.conditioned * row.factor)}});
  for (const auto& name : study::known_touches())
    out["touches"].push_back({{"name", name}, {"speed", description_.value("touches." + name)}});
  return out;
}

// The set-up as the case's own reader understands it. Its lines stand behind the case without set-ups, so line
// numbers of messages are not those of the file: messages name the line itself.
case_file::SetUp Bench::read_one(const SetUpText& set_up) const {
  for (std::size_t k = 0; k < set_ups_.size(); ++k)
    if (set_up.from > 0 && set_ups_[k].from == set_up.from &&
        (set_up.as_it_is || set_up.says_the_same(set_ups_[k])))
      return description_.set_ups[k];
  const std::string base = set_ups_.empty() ? "" : lines_of(text_, set_ups_.front());
  SetUpText named = set_up;
  if (!set_ups_.empty() && named.name == set_ups_.front().name) named.name += " (changed)";
  const auto read = remedies::read_case_text(
      without_set_ups(text_, set_ups_) + "\n" + base + "\n" + write_set_up_text(named), path_);
  case_file::SetUp out = read.set_ups.back();
  out.name = set_up.name;
  return out;
}

// The same without the case around it, for a hand that moves: what it means beside the case's other words is asked
// when the hand lets go.
case_file::SetUp Bench::read_alone(const SetUpText& set_up) const {
  case_file::FileText file;
  file.path = path_;
  file.text = write_set_up_text(set_up);
  case_file::ProblemList problems;
  case_file::Node root;
  if (!case_file::parse_document("case file", file, root, problems)) throw base::UserError(problems.sorted());
  const auto read = case_file::read_set_ups(*root.find("set_up"), file, case_file::default_models_directory(),
                                            remedies::all(), problems);
  if (!problems.empty()) throw base::UserError(problems.sorted());
  return read.front();
}

Json Bench::weigh(const Json& request) {
  const bool quick = request.value("quick", false);
  const SetUpText said = read_set_up(request.at("set_up"));
  const case_file::SetUp set_up = quick && said.from == 0 ? read_alone(said) : read_one(said);
  const auto before = slots_.find(request.at("slot"));
  study::SolveOptions options;
  options.by_playing = !quick;
  // A hand that moves keeps back check and spring as they were last set by playing.
  if (quick && before != slots_.end()) options.start = before->second.result.regulated.screws;
  action::Regulated as_set;
  if (request.contains("screws")) {  // turned by hand: read, not solved
    action::ActionDesign design = action::design(description_, set_up);
    action::put_level(solver_.ground().level, design);
    action::ScrewSettings screws{};
    for (std::size_t k = 0; k < screws.size(); ++k) screws[k] = request["screws"].at(k);
    as_set = action::read_as_set(design, screws);
    options.known = &as_set;
    options.by_playing = false;
  }
  Slot slot;
  slot.result = solver_.try_solve(description_, set_up, options);
  if (!slot.result.misfit.empty()) throw base::UserError(slot.result.misfit);
  Json out = state_of(slot.result);
  const action::ActionDesign base = action::design(description_, description_.set_ups.front());
  out.update(weighed(slot.result, set_up, base));
  slots_[request.at("slot")] = std::move(slot);
  if (request.contains("picture")) {
    Json picture_request = request["picture"];
    picture_request["slot"] = request.at("slot");
    out["picture"] = picture(picture_request);
  }
  return out;
}

const Bench::Slot& Bench::slot(const Json& request, const char* name) const {
  const auto found = slots_.find(request.at(name));
  if (found == slots_.end() || found->second.result.weighing.down.empty())
    throw base::UserError("there is nothing to draw: this set-up has no answer");
  return found->second;
}

scene::SetUpMoment Bench::moment_of(const Slot& s, const Json& request) const {
  const auto& r = s.result;
  if (request.contains("time") && s.motion) {
    const double t = request["time"];
    scene::SetUpMoment out{r.name, s.motion->shape, scene::find_moment(*s.motion, t, kFloor)};
    out.moment.traces = scene::find_traces(s.worn, t - kTraceBefore, t);
    return out;
  }
  double dip = request.value("dip", 0.0) * 1e-3;
  const std::string moment = request.value("moment", "");
  if (moment == "half stroke") dip = 0.5 * r.regulated.dip_let_off;
  if (moment == "let-off") dip = r.regulated.dip_let_off;
  auto out = model_scene::find_slow_moment(r.action, action::sample_near(r.weighing.down, dip), r.name);
  out.moment.traces = model_scene::find_slow_traces(out.shape, r.facts);
  return out;
}

Json Bench::picture(const Json& request) {
  const Slot& s = slot(request, "slot");
  auto at = moment_of(s, request);
  if (!request.value("marks", true)) at.moment.traces.clear();
  scene::ActionSceneOptions options;
  options.labels = request.value("labels", true);
  options.forces = request.value("forces", false);
  options.millimetres_per_newton = request.value("millimetres_per_newton", 0.0);
  const scene::Scene whole = scene::build_action_scene(at.shape, at.moment, options);
  Json out{{"whole", to_json(whole)}, {"dip", at.moment.dip * 1e3}};
  if (options.labels && request.contains("paper_width"))
    out["words"] = placed_words(whole, request["paper_width"]);
  const scene::Box heel = scene::find_heel_region(at.shape, at.moment, kHalfWidth, kHalfHeight);
  std::vector<scene::SetUpMoment> over{at};
  if (request.contains("over")) over.push_back(moment_of(slot(request, "over"), request));
  Json close{{"view", {heel.x0, heel.y0, heel.x1, heel.y1}}};
  close["shapes"] = over.size() > 1 ? to_json(scene::build_heel_overlay(over))
                                    : to_json(scene::build_close_up(at.shape, at.moment, options));
  out["heel"] = close;
  if (over.size() > 1 && request.value("draw_over", true)) {
    options.labels = false;
    options.forces = false;
    out["over"] = to_json(scene::build_action_scene(over[1].shape, over[1].moment, options));
  }
  // Where a hand can take hold, mm in W.
  const auto& d = s.result.design;
  const int key = model_scene::index_of(at.shape, "key");
  const auto apex = scene::to_millimetres(
      scene::place(at.moment.poses[static_cast<std::size_t>(key)],
                   action::capstan_cap(d, s.result.regulated.screws[action::kCapstan]).apex()));
  out["capstan"] = {apex.x(), apex.y()};
  for (const char* body : {"key", "wippen", "jack", "repetition lever", "hammer"})
    out["frames"][body] =
        pose(at.moment.poses[static_cast<std::size_t>(model_scene::index_of(at.shape, body))]);
  out["built"] = {{"lean", d.cap_lean / base::kDegree},
                  {"hanging_distance", d.hanging_distance * 1e3},
                  {"knuckle_diameter", d.knuckle_radius * 2e3},
                  {"face", {-d.lifting_face_to * 1e3, -d.lifting_face_from * 1e3}},
                  {"playing_point", d.playing_point.x() * 1e3}};
  return out;
}

namespace {

// `how`: "full", the finger goes back to the key's rest, or "partial". At this rate [1/s] whether it is kept or not.
study::PlayedTouch play_repeated(const study::SetUpResult& s, const std::string& how, double rate) {
  playing::RepetitionOptions options;
  playing::Ladder ladder;
  ladder.unbroken = std::clamp(rate, 1.0, 25.0);
  ladder.back = s.regulated.dip * (how == "partial" ? options.partial : 1.0);
  return playing::play_for_film(s, ladder, "repeated " + how, options);
}

}  // namespace

Json Bench::play(const Json& request) {
  const auto found = slots_.find(request.at("slot"));
  if (found == slots_.end() || !found->second.result.weighing.ok)
    throw base::UserError("this set-up cannot be played: it has no answer");
  Slot& s = found->second;
  const auto& r = s.result;
  const auto rest = action::build_rest(r.action, r.regulated.rest.q);
  study::PlayedTouch touch;
  if (request.contains("repeat"))
    touch = play_repeated(r, request["repeat"], request.at("rate"));
  else if (request.contains("touch"))
    touch = study::play_touches(description_, r.action, rest, {request["touch"]}).front();
  else
    touch = study::play_at_speed("", request.at("speed"), r.action, rest);
  s.motion = model_scene::find_motion(r.action, r.regulated.rest.q, touch.stroke.series);
  s.worn = scene::find_worn_paths(*s.motion);
  return stroke(touch);
}

Json Bench::judge(const Json& request, const Told& told) {
  if (request.contains("text")) {
    text_ = request["text"];
    path_ = request.at("name");
    put_files(request.value("files", Json::array()));
  }
  const std::string text = put_set_ups(text_, path_, read_set_ups(request.at("set_ups")));
  auto d = remedies::read_case_text(text, path_);
  d = study::with_friction_first(calibrate::condition_case(d).description);
  study::CompareOptions options;
  options.uncertainty = request.value("uncertainty", true);
  options.progress = [&](const study::Progress& p) { return !told || told(p.doing, p.share); };
  const auto c = study::compare(d, options);
  if (c.set_ups.size() < d.set_ups.size()) throw base::UserError("stopped before the answer was there");
  return judged(d, c);
}

Json Bench::save(const Json& request) const {
  const std::string text = put_set_ups(text_, path_, read_set_ups(request.at("set_ups")));
  remedies::read_case_text(text, path_);  // what is handed out reads back
  return {{"text", text}};
}

}  // namespace leverwright::page
