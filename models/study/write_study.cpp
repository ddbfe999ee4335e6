#include "models/study/write_study.h"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>

#include "models/case/library.h"
#include "models/case/read_case.h"
#include "models/study/outlines.h"
#include "models/study/plain_number.h"
#include "models/study/verdict.h"
#include "models/study/write_strokes.h"
#include "sim/base/version.h"

namespace leverwright::study {

using run::StaticSample;
using store::make_meta;
using store::make_meta_unknown_allowed;

namespace {

const double kNone = store::kUnknown;

std::string slug(std::string text) {
  std::replace(text.begin(), text.end(), ' ', '_');
  std::replace(text.begin(), text.end(), '-', '_');
  return text;
}

store::StudyHeader make_header(const case_file::CaseDescription& d) {
  store::StudyHeader h;
  h.software_version = base::kVersion;
  h.case_path = d.path;
  h.case_text = d.text;
  for (const auto& [key, id] : d.choices) {
    const bool part = key.rfind("parts.", 0) == 0, material = key.rfind("materials.", 0) == 0;
    if (!part && !material) continue;
    const std::string path =
        case_file::library_path(case_file::default_models_directory(), part ? "parts" : "materials", id);
    std::ifstream in(path);
    if (!in) continue;
    std::ostringstream text;
    text << in.rdbuf();
    const std::string short_path = std::string(part ? "parts/" : "materials/") + id + ".toml";
    if (std::none_of(h.files.begin(), h.files.end(), [&](const auto& f) { return f.path == short_path; }))
      h.files.push_back({short_path, text.str()});
  }
  return h;
}

// Forces of one group of contacts in one sample.
struct GroupState {
  double normal = 0, friction = 0, slide_rate = 0, s_a = kNone, s_b = kNone;
  Vec2 p{kNone, kNone}, force{kNone, kNone}, normal_part{kNone, kNone};
};
GroupState group_state(const action::Action& a, const StaticSample& s, const std::string& group) {
  GroupState g;
  double sum_a = 0, sum_b = 0, sum_slide = 0;
  Vec2 sum_p = Vec2::Zero(), force = Vec2::Zero(), normal_part = Vec2::Zero();
  for (std::size_t i = 0; i < s.normal.size(); ++i) {
    if (a.mechanism.contacts[i]->group != group || s.normal[i] <= 0) continue;
    const double n = s.normal[i];
    g.normal += n;
    g.friction += s.tangential[i];
    sum_a += n * s.touches[i].s_a;
    sum_b += n * s.touches[i].s_b;
    sum_slide += n * s.slip_rate[i];
    if (a.mechanism.contacts[i]->is_angular()) continue;  // acts at no place
    const Vec2 shown = a.shown_sign(*a.mechanism.contacts[i]) * s.touches[i].n;
    sum_p += n * s.touches[i].p;
    normal_part += n * shown;
    force += n * shown + s.tangential[i] * planar::perp(shown);
  }
  if (g.normal > 0) {
    g.s_a = sum_a / g.normal;
    g.s_b = sum_b / g.normal;
    g.slide_rate = sum_slide / g.normal;
    if (normal_part.squaredNorm() > 0) {
      g.p = sum_p / g.normal;
      g.force = force;
      g.normal_part = normal_part;
    }
  }
  return g;
}

class SetUpStore {
 public:
  SetUpStore(store::StudyWriter& w, const SetUpResult& s, std::string at)
      : w_(w), s_(s), at_(std::move(at)) {}

  void write_numbers() {
    std::vector<store::Number> rows;
    for (std::size_t k = 0; k < kMeasureCount; ++k) {
      const MeasureResult& m = s_.results[k];
      if (!std::isfinite(s_.measures[k])) continue;
      store::Number n;
      n.name = kMeasures[k].name;
      n.value = s_.measures[k];
      n.unit = kMeasures[k].unit;
      n.display_unit = kMeasures[k].display_unit;
      if (m.sigma > 0) n.sigma = m.sigma;
      n.change_against_base = m.difference;
      if (m.sigma_difference > 0) n.sigma_of_change = m.sigma_difference;
      n.verdict = m.judgement == Judgement::kBetter  ? "better"
                  : m.judgement == Judgement::kWorse ? "worse"
                  : m.judgement == Judgement::kMoved ? "changed, no nearer"
                  : m.judgement == Judgement::kSame  ? "cannot be told apart"
                                                     : "";
      n.description = m.dominant.empty() ? "" : "largest uncertainty: " + m.dominant;
      rows.push_back(n);
    }
    const auto plain = [&](const char* name, double value, const char* unit, const char* shown,
                           const char* what) {
      if (std::isfinite(value)) rows.push_back(plain_number(name, value, unit, shown, what));
    };
    const auto& b = s_.bench;
    plain("mean down force", s_.weighing.mean_down, "N", "gf",
          "mean of the down force over the window of the down weight");
    plain("mean up force", s_.weighing.mean_up, "N", "gf", "mean of the up force over the same window");
    plain("lever product", s_.weighing.lever_product, "1", "1",
          "product of the straight arms at half stroke");
    plain("let-off", s_.regulated.let_off, "m", "mm", "crown to string at let-off");
    plain("drop", s_.regulated.drop, "m", "mm", "fall of the hammer after let-off");
    plain("shank to rest cushion", b.shank_rest_gap, "m", "mm", "at rest");
    plain("jack depth at full dip", b.jack_depth_at_dip, "m", "mm",
          "knuckle core's player-side edge past the jack's string-side face");
    plain("jack clearance at full dip", b.jack_clearance_at_dip, "m", "mm", "jack top to knuckle");
    plain("cap edge to cloth edge", b.cap_to_cloth_edge, "m", "mm", "at half stroke");
    plain("contact to line of centres", b.line_distance_half, "m", "mm", "at half stroke, positive above");
    plain("key height change", s_.key_height_change, "m", "mm", "playing point at rest against the base");
    plain("front weight", s_.design.front_weight, "N", "gf", "as it would be weighed after the change");
    plain("lead to restore balance weight", s_.lead_mass, "kg", "g",
          "at the distance given; negative: take out");
    plain("distance of that lead", s_.lead_distance, "m", "mm", "in front of the balance hole");
    w_.write_numbers(at_, "numbers", rows, "measures of this set-up");
  }

  void write_screws() {
    std::vector<store::Number> rows;
    std::vector<double> turns, left;
    std::vector<std::string> direction;
    for (std::size_t k = 0; k < action::kScrewCount; ++k) {
      const bool spring = k == action::kRepetitionSpring;
      rows.push_back(plain_number(action::kScrewNames[k], s_.regulated.screws[k], spring ? "N m" : "m",
                                  spring ? "N mm" : "mm", "setting against the drawing"));
      turns.push_back(s_.turns[k]);
      left.push_back(spring ? kNone : s_.thread_left[k]);
      direction.push_back(std::abs(s_.turns[k]) < 0.005
                              ? "leave"
                              : turn_direction(static_cast<action::Screw>(k), s_.turns[k] > 0));
    }
    w_.write_numbers(
        at_, "screws", rows, "regulation screws",
        {store::number_column("turns_against_base",
                              make_meta("turn", "turn", "none", "turns against the base set-up"), turns),
         store::number_column(
             "thread_left",
             make_meta_unknown_allowed("m", "mm", "none", "thread left in the direction moved"), left),
         store::text_column("direction", "which way the screw goes against the base", direction)});
  }

  void write_statics(const std::string& name, const std::vector<StaticSample>& samples) {
    const std::string at = at_ + "/statics/" + name;
    std::vector<double> dip, force, gap, ratio, stored, normal, ledger;
    std::vector<std::string> rows;
    const auto& m = s_.action.mechanism;
    for (const auto& g : m.groups()) rows.push_back(g);
    const std::size_t ng = rows.size();
    for (const auto& p : m.pivots) rows.push_back(p.name);
    std::vector<std::string> losses = rows;  // friction rows, then cloth rows
    for (std::size_t g = 0; g < ng; ++g) losses.push_back(rows[g] + ", cloth");
    for (const auto& s : samples) {
      dip.push_back(s.travel);
      force.push_back(s.force);
      gap.push_back(s_.action.string_gap(s.state.q));
      ratio.push_back(strike_ratio(s));
      stored.push_back(s.ledger.stored);
      std::vector<double> n(ng, 0.0), f(losses.size(), 0.0);
      for (std::size_t i = 0; i < s.normal.size(); ++i) {
        const auto g = static_cast<std::size_t>(m.group_of(static_cast<int>(i)));
        n[g] += s.normal[i];
        f[g] += s.ledger.friction[i];
        f[rows.size() + g] += s.ledger.cloth[i];
      }
      for (std::size_t p = 0; p < m.pivots.size(); ++p) f[ng + p] += s.ledger.pivot[p];
      normal.insert(normal.end(), n.begin(), n.end());
      ledger.insert(ledger.end(), f.begin(), f.end());
    }
    w_.write_series(at, "dip", dip, make_meta("m", "mm", "none", "travel of the playing point from rest"));
    w_.write_series(at, "force", force,
                    make_meta("N", "gf", "none", "downward force at the playing point that holds the key"));
    w_.write_series(at, "hammer_distance", gap, make_meta("m", "mm", "none", "hammer crown to string"));
    w_.write_series(at, "distance_ratio", ratio,
                    make_meta("1", "1", "none", "strike-point travel over playing-point travel"));
    w_.write_series(at, "stored_energy_rate", stored,
                    make_meta("N", "gf", "none", "stored energy gained per downward travel"));
    w_.write_series(at, "normal_force", normal, ng,
                    make_meta("N", "gf", "none", "normal force at each contact"),
                    store::Columns{{rows.begin(), rows.begin() + static_cast<std::ptrdiff_t>(ng)}});
    w_.write_series(
        at, "ledger", ledger, losses.size(),
        make_meta("N", "gf", "none", "energy lost per travel at each place, from its own force and velocity"),
        store::Columns{losses});
    if (name == "down") {
      w_.write_attribute(at, "let_off_dip", s_.regulated.dip_let_off);
      w_.write_attribute(at, "button_dip", s_.regulated.dip_button);
    }
  }

  // The distance ratio as the handbook defines it, on the frictionless path, from rest to let-off. With
  // friction the hammer takes up slack of the bristles here and there, which is no leverage.
  void write_ratio() {
    const std::string at = at_ + "/ratio";
    const double step = 0.1e-3;  // of dip; the ratio is the mean slope over two of them
    action::QuietPath path(s_.action);
    std::vector<double> dips, gaps;
    for (double y = 0; y < s_.regulated.dip_let_off + step; y += step) {
      const auto state = path.at(y);
      if (!state) break;
      dips.push_back(y);
      gaps.push_back(s_.action.string_gap(state->q));
    }
    if (dips.size() < 3) return;
    std::vector<double> dip, gap, ratio;
    for (std::size_t k = 1; k + 1 < dips.size(); ++k) {
      dip.push_back(dips[k]);
      gap.push_back(gaps[k]);
      ratio.push_back((gaps[k - 1] - gaps[k + 1]) / (dips[k + 1] - dips[k - 1]));
    }
    w_.write_series(at, "dip", dip, make_meta("m", "mm", "none", "travel of the playing point from rest"));
    w_.write_series(at, "hammer_distance", gap,
                    make_meta("m", "mm", "none", "hammer crown to string, without friction"));
    w_.write_series(
        at, "distance_ratio", ratio,
        make_meta("1", "1", "none",
                  "strike-point travel over playing-point travel, without friction, mean over 0.2 mm"));
  }

  void write_slide() {
    const std::pair<int, const char*> places[] = {{action::kCapstanHeel, "C3"},
                                                  {action::kJackKnuckle, "C4"},
                                                  {action::kLeverKnuckle, "C5"},
                                                  {action::kTenderButton, "C6"},
                                                  {action::kLeverDropScrew, "C7"}};
    for (const auto& [place, id] : places) {
      const std::string group = action::kPlaceNames[static_cast<std::size_t>(place)];
      std::vector<double> dip, on_a, on_b, slide, normal, friction, work, line;
      double slid = 0, done = 0, last = 0;
      for (const auto& s : s_.weighing.down) {
        const GroupState g = group_state(s_.action, s, group);
        const double h = dip.empty() ? 0.0 : s.travel - last;
        last = s.travel;
        slid += h * std::abs(g.slide_rate);
        done += h * g.friction * g.slide_rate;
        dip.push_back(s.travel);
        on_a.push_back(g.s_a);
        on_b.push_back(g.s_b);
        slide.push_back(slid);
        normal.push_back(g.normal > 0 ? g.normal : kNone);
        friction.push_back(g.normal > 0 ? g.friction : kNone);
        work.push_back(done);
        line.push_back(g.normal > 0 ? line_distance(s, place, g.p) : kNone);
      }
      const std::string at = at_ + "/slide/" + id;
      const bool heel = place == action::kCapstanHeel;
      w_.write_series(at, "dip", dip, make_meta("m", "mm", "none", "travel of the playing point from rest"));
      w_.write_series(at, heel ? "place_on_cap" : "place_on_face", on_a,
                      make_meta_unknown_allowed("m", "mm", "face", "along the face from its middle"));
      w_.write_series(at, heel ? "place_on_heel" : "place_on_mate", on_b,
                      make_meta_unknown_allowed(
                          "m", "mm", heel ? "wippen" : "mate",
                          heel ? "x from the wippen centre along the wippen" : "along the mate's surface"));
      w_.write_series(at, "slide", slide,
                      make_meta("m", "mm", "none", "distance slid since rest, all reversals added"));
      w_.write_series(at, "normal_force", normal,
                      make_meta_unknown_allowed("N", "gf", "none", "normal force"));
      w_.write_series(
          at, "friction_force", friction,
          make_meta_unknown_allowed("N", "gf", "none", "friction force on the mate, against its slide"));
      w_.write_series(at, "work", work, make_meta("J", "J", "none", "work done by friction since rest"));
      w_.write_series(
          at, "line_distance", line,
          make_meta_unknown_allowed("m", "mm", "W", "contact to the line of centres, positive above"));
    }
  }

  void write_scene() {
    for (const auto& b : find_body_outlines(s_.action)) {
      const std::string at = at_ + "/scene/bodies/" + slug(b.body);
      write_points(at, "outline", b.outline, b.body);
      w_.write_attribute(at, "colour_role", b.colour_role);
      w_.write_attribute(at, "label", b.label);
      w_.write_attribute(at, "parent", slug(b.parent));
      w_.write_attribute(at, "joint_x", b.joint.x());
      w_.write_attribute(at, "joint_y", b.joint.y());
      w_.write_attribute(at, "slide_x", b.slide_way.x());
      w_.write_attribute(at, "slide_y", b.slide_way.y());
      if (is_centre(b.index)) {
        w_.write_attribute(at, "pivot_x", 0.0);
        w_.write_attribute(at, "pivot_y", 0.0);
      }
    }
    for (const auto& f : find_features(s_.action)) {
      const std::string at = at_ + "/scene/features/" + slug(f.name);
      write_points(at, "points", f.points, f.body);
      w_.write_attribute(at, "body", slug(f.body));
      w_.write_attribute(at, "kind", f.kind);
      w_.write_attribute(at, "colour_role", f.colour_role);
      if (f.kind == "circle") w_.write_attribute(at, "radius", f.radius);
      if (!f.body_b.empty()) w_.write_attribute(at, "body_b", slug(f.body_b));
      if (!f.yields.empty())
        w_.write_series(at, "yields", f.yields,
                        make_meta("1", "1", "none", "share of the string's rise each point goes up by"));
      if (f.kind == "heel surface") {
        w_.write_attribute(at, "face_from", s_.design.lifting_face_from);
        w_.write_attribute(at, "face_to", s_.design.lifting_face_to);
      }
    }
    const std::string at = at_ + "/scene/positions";
    std::vector<std::string> names;
    const std::vector<BodyOutline> bodies = find_body_outlines(s_.action);
    for (const auto& b : bodies) names.push_back(slug(b.body));
    const bool held_up = !s_.action.design.key_options.damper.weighed;
    w_.write_strings(at, "bodies", names, "rows of the positions");
    const double dips[] = {0.0, 0.5 * s_.regulated.dip_let_off, s_.regulated.dip_let_off};
    const char* moments[] = {"rest", "half_stroke", "let_off"};
    const std::vector<std::string>& groups = s_.action.mechanism.groups();
    const std::vector<std::size_t> centres = find_centres(s_.action.mechanism);
    w_.write_strings(at_ + "/scene/contacts", "names", groups, "rows of the contact matrices");
    std::vector<std::string> centre_names;
    for (const std::size_t i : centres) centre_names.push_back(s_.action.mechanism.pivots[i].name);
    w_.write_strings(at_ + "/scene/centres", "names", centre_names, "rows of the matrices");
    for (int k = 0; k < 3; ++k) {
      const StaticSample& s = nearest(dips[k]);
      planar::Scratch scratch(s_.action.mechanism);
      scratch.q = s.state.q;
      s_.action.mechanism.tree.calc_poses(scratch.q, scratch.v, scratch.poses);
      std::vector<double> poses, signs;
      for (const auto& b : bodies) {
        const planar::Pose p = find_drawn_pose(s_.action, b, scratch.poses, held_up);
        poses.insert(poses.end(), {p.o.x(), p.o.y(), p.angle});
      }
      for (const auto& g : groups) {
        const GroupState c = group_state(s_.action, s, g);
        signs.insert(signs.end(),
                     {c.p.x(), c.p.y(), c.force.x(), c.force.y(), c.normal_part.x(), c.normal_part.y()});
      }
      w_.write_series(at, moments[k], poses, 3,
                      make_meta("per column", "per column", "W", "origin and angle of each body's frame"),
                      store::Columns{{"x", "y", "angle"}, {"m", "m", "rad"}, {"mm", "mm", "deg"}});
      w_.write_series(
          at_ + "/scene/contacts", moments[k], signs, 6,
          make_meta_unknown_allowed("per column", "per column", "W",
                                    "contact, force on the driven body, and its part along the normal"),
          store::Columns{{"x", "y", "force_x", "force_y", "normal_x", "normal_y"},
                         {"m", "m", "N", "N", "N", "N"},
                         {"mm", "mm", "gf", "gf", "gf", "gf"}});
      std::vector<double> torques;
      for (const std::size_t i : centres) {
        const auto body = static_cast<std::size_t>(s_.action.mechanism.pivots[i].body);
        const Vec2 o = scratch.poses[body].o;
        torques.insert(torques.end(), {o.x(), o.y(), -s.pivot_torque[i]});
      }
      w_.write_series(at_ + "/scene/centres", moments[k], torques, 3,
                      make_meta("per column", "per column", "W",
                                "joint, and the torque of friction on the body, anticlockwise positive"),
                      store::Columns{{"x", "y", "torque"}, {"m", "m", "N m"}, {"mm", "mm", "N mm"}});
      w_.write_attribute(at, std::string("dip_") + moments[k], s.travel);
    }
  }

 private:
  // A pin of the trade, not a hinge that stands for something that bends.
  bool is_centre(int body) const {
    const auto& m = s_.action.mechanism;
    for (const std::size_t i : find_centres(m))
      if (m.pivots[i].body == body) return true;
    return false;
  }
  void write_points(const std::string& at, const std::string& name, const std::vector<Vec2>& points,
                    const std::string& frame) {
    std::vector<double> xy;
    for (const Vec2& p : points) xy.insert(xy.end(), {p.x(), p.y()});
    w_.write_series(at, name, xy, 2, make_meta("m", "mm", frame, "outline in the body's frame"),
                    store::Columns{{"x", "y"}});
  }
  const StaticSample& nearest(double dip) const {
    return *std::min_element(
        s_.weighing.down.begin(), s_.weighing.down.end(),
        [&](const auto& a, const auto& b) { return std::abs(a.travel - dip) < std::abs(b.travel - dip); });
  }
  double strike_ratio(const StaticSample& s) const { return -s_.action.string_gap_rate(s.state.q, s.dq); }
  double line_distance(const StaticSample& s, int place, const Vec2& p) const {
    // Line of centres of the two bodies in contact; the jack and the lever ride on the wippen.
    planar::Scratch scratch(s_.action.mechanism);
    scratch.q = s.state.q;
    s_.action.mechanism.tree.calc_poses(scratch.q, scratch.v, scratch.poses);
    const Vec2 key = scratch.poses[action::kKey].o, wippen = scratch.poses[action::kWippen].o,
               hammer = scratch.poses[action::kHammer].o;
    Vec2 from = key, to = wippen;
    if (place == action::kJackKnuckle || place == action::kLeverKnuckle) {
      from = hammer;
      to = wippen;
    } else if (place != action::kCapstanHeel) {
      return kNone;
    }
    const Vec2 line = to - from;
    return base::cross(line, p - from) / line.norm();
  }

  store::StudyWriter& w_;
  const SetUpResult& s_;
  std::string at_;
};

}  // namespace

StudyFile::StudyFile(const case_file::CaseDescription& d, const std::string& path)
    : writer_(path, make_header(d)) {}

void StudyFile::add(const SetUpResult& s) {
  const std::string at = writer_.begin_set_up(s.name, s.description);
  writer_.write_attribute(at, "verdict", s.verdict);
  if (!s.weighing.ok) {
    writer_.fail_set_up(s.verdict.empty() ? s.weighing.failure : s.verdict);
    return;
  }
  SetUpStore out(writer_, s, at);
  out.write_numbers();
  out.write_screws();
  std::vector<std::string> warnings = s.weighing.warnings;
  for (const auto& f : s.regulated.failures) warnings.push_back(f.requirement + ": " + f.advice);
  writer_.write_strings(at, "warnings", warnings, "what to look at before believing this set-up");
  out.write_statics("down", s.weighing.down);
  out.write_statics("up", s.weighing.up);
  out.write_ratio();
  out.write_slide();
  write_strokes(writer_, at, s);
  out.write_scene();
  writer_.finish_set_up();
}

void StudyFile::finish(const std::vector<std::string>& warnings) {
  writer_.write_strings("/", "warnings", warnings, "warnings of the whole study");
  writer_.finish();
}

void write_study(const case_file::CaseDescription& d, const Comparison& c, const std::string& path) {
  StudyFile file(d, path);
  for (const auto& s : c.set_ups) file.add(s);
  file.finish(c.warnings);
}

}  // namespace leverwright::study
