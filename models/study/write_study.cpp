#include "models/study/write_study.h"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>

#include "models/case_file/library.h"
#include "models/case_file/read_case.h"
#include "models/drawing/outlines.h"
#include "models/judgement/sentences.h"
#include "models/study/plain_number.h"
#include "models/study/quantities.h"
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
    const std::string path = case_file::library_path(case_file::default_models_directory(),
                                                     part ? "parts" : "materials", id, d.path);
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

class SetUpStore {
 public:
  SetUpStore(store::StudyWriter& w, const SetUpResult& s, std::string at)
      : w_(w), s_(s), at_(std::move(at)) {}

  void write_numbers() {
    std::vector<store::Number> rows;
    std::vector<std::string> absent;
    for (std::size_t k = 0; k < kQuantityCount; ++k) {
      const Quantity& q = kQuantities[k];
      if (std::string(q.group) == "screw") continue;  // in a table of their own
      const Reading reading = read_quantity(q, s_);
      if (!std::isfinite(reading.value)) {
        absent.push_back(std::string(q.name) + ": " + reading.why_absent);
        continue;
      }
      store::Number n = plain_number(q.name, reading.value, q.unit, q.display_unit, q.how_read);
      if (k < kMeasureCount) {
        const MeasureResult& m = s_.results[k];
        if (m.sigma > 0) n.sigma = m.sigma;
        n.change_against_base = m.difference;
        if (m.sigma_difference > 0) n.sigma_of_change = m.sigma_difference;
        n.verdict = judgement::words_of(m.judgement);
        if (!m.dominant.empty()) n.description += "; largest uncertainty: " + m.dominant;
      }
      rows.push_back(n);
    }
    w_.write_numbers(at_, "numbers", rows, "measures of this set-up");
    w_.write_strings(at_, "absent", absent, "quantities that do not exist on this set-up, and why");
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

  // Means of the ledger over the window in which down and up weight are read.
  void write_mean_ledger() {
    const std::string at = at_ + "/statics/window";
    std::vector<std::string> places;
    std::vector<double> means;
    for (const analysis::LedgerRow& row : s_.facts.ledger.rows) {
      places.push_back(row.kind == analysis::LedgerKind::kCloth ? row.name + ", cloth" : row.name);
      means.push_back(row.amount);
    }
    if (places.empty()) return;
    w_.write_series(
        at, "ledger", means, means.size(),
        make_meta("N", "gf", "none",
                  "share of each place in half of the force going down less coming up, mean over the "
                  "window (straight lines between samples)"),
        store::Columns{places});
    w_.write_attribute(at, "from_dip", s_.weighing.window_from);
    w_.write_attribute(at, "to_dip", s_.weighing.window_to);
    w_.write_attribute(at, "half_difference", s_.facts.ledger.half_difference);
  }

  // The distance ratio as the handbook defines it, on the frictionless path, from rest to let-off. With
  // friction the hammer takes up slack of the bristles here and there, which is no leverage.
  void write_ratio() {
    const std::string at = at_ + "/ratio";
    const double step = 0.1e-3;  // of dip; the ratio is the mean slope over two of them
    action::FrictionlessPath path(s_.action);
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
    constexpr std::array<const char*, action::kRubbingContacts.size()> kIds = {"C3", "C4", "C5", "C6", "C7"};
    for (std::size_t k = 0; k < kIds.size(); ++k) {
      const action::ContactId place = action::kRubbingContacts[k];
      const analysis::SlidePath& path = s_.facts.slides[k];
      std::vector<double> dip, on_a, on_b, slide, normal, friction, work, line;
      for (std::size_t i = 0; i < path.points.size(); ++i) {
        const analysis::SlidePoint& p = path.points[i];
        const auto where = action::line_distance(s_.action, s_.weighing.down[i].state.q, place, p.p);
        dip.push_back(p.travel);
        on_a.push_back(p.touching ? p.s_a : kNone);
        on_b.push_back(p.touching ? p.s_b : kNone);
        slide.push_back(p.slid);
        normal.push_back(p.touching ? p.normal : kNone);
        friction.push_back(p.touching ? p.tangential : kNone);
        work.push_back(p.work);
        line.push_back(p.touching && where ? *where : kNone);
      }
      const std::string at = at_ + "/slide/" + kIds[k];
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
      w_.write_series(at, "work", work, make_meta("J", "J", "none", "lost to friction since rest"));
      w_.write_series(
          at, "line_distance", line,
          make_meta_unknown_allowed("m", "mm", "W", "contact to the line of centres, positive above"));
    }
  }

  void write_across(const std::string& at, const drawing::Across& across, drawing::Shown shown,
                    const std::optional<double>& turned_about) {
    w_.write_attribute(at, "across_from", across.from);
    w_.write_attribute(at, "across_to", across.to);
    if (shown != drawing::Shown::kBoth)
      w_.write_attribute(at, "shown", std::string(shown == drawing::Shown::kFlat ? "flat" : "solid"));
    if (turned_about) w_.write_attribute(at, "turned_about", *turned_about);
  }

  void write_scene() {
    for (const auto& b : drawing::find_body_outlines(s_.action)) {
      const std::string at = at_ + "/scene/bodies/" + slug(b.body);
      write_points(at, "outline", b.outline, b.body);
      w_.write_attribute(at, "colour_role", b.colour_role);
      w_.write_attribute(at, "label", b.label);
      w_.write_attribute(at, "parent", slug(b.parent));
      w_.write_attribute(at, "joint_x", b.joint.x());
      w_.write_attribute(at, "joint_y", b.joint.y());
      w_.write_attribute(at, "slide_x", b.slide_way.x());
      w_.write_attribute(at, "slide_y", b.slide_way.y());
      write_across(at, b.across, b.shown, {});
      if (is_centre(b.index)) {
        w_.write_attribute(at, "pivot_x", 0.0);
        w_.write_attribute(at, "pivot_y", 0.0);
      }
    }
    int layer = 0;
    for (const auto& f : drawing::find_features(s_.action)) {
      const std::string at = at_ + "/scene/features/" + slug(f.name);
      write_points(at, "points", f.points, f.body);
      w_.write_attribute(at, "body", slug(f.body));
      w_.write_attribute(at, "kind", f.kind);
      w_.write_attribute(at, "colour_role", f.colour_role);
      w_.write_attribute(at, "layer", static_cast<double>(layer++));
      if (!f.label.empty()) w_.write_attribute(at, "label", f.label);
      if (f.kind == "circle") w_.write_attribute(at, "radius", f.radius);
      write_across(at, f.across, f.shown, f.turned_about);
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
    const std::vector<drawing::BodyOutline> bodies = drawing::find_body_outlines(s_.action);
    for (const auto& b : bodies) names.push_back(slug(b.body));
    const bool held_up = !s_.action.design.key_options.damper.weighed;
    w_.write_strings(at, "bodies", names, "rows of the positions");
    const double dips[] = {0.0, 0.5 * s_.regulated.dip_let_off, s_.regulated.dip_let_off};
    const char* moments[] = {"rest", "half_stroke", "let_off"};
    const std::vector<std::string>& groups = s_.action.mechanism.groups();
    const std::vector<std::size_t> centres = drawing::find_centres(s_.action.mechanism);
    w_.write_strings(at_ + "/scene/contacts", "names", groups, "rows of the contact matrices");
    std::vector<std::string> centre_names;
    for (const std::size_t i : centres) centre_names.push_back(s_.action.mechanism.pivots[i].name);
    w_.write_strings(at_ + "/scene/centres", "names", centre_names, "rows of the matrices");
    for (int k = 0; k < 3; ++k) {
      const StaticSample& s = action::sample_near(s_.weighing.down, dips[k]);
      planar::Scratch scratch(s_.action.mechanism);
      scratch.q = s.state.q;
      s_.action.mechanism.tree.calc_poses(scratch.q, scratch.v, scratch.poses);
      std::vector<double> poses, signs;
      for (const auto& b : bodies) {
        const planar::Pose p = drawing::find_drawn_pose(s_.action, b, scratch.poses, held_up);
        poses.insert(poses.end(), {p.o.x(), p.o.y(), p.angle});
      }
      for (std::size_t g = 0; g < groups.size(); ++g) {
        const analysis::SlidePoint c =
            analysis::find_slide_point(s_.action.mechanism, s, static_cast<int>(g), scratch);
        const double sign = shown_sign(static_cast<int>(g));
        const base::Vec2 none(kNone, kNone), p = c.at_a_place ? c.p : none,
                                             force = c.at_a_place ? base::Vec2(sign * c.force) : none,
                                             normal = c.at_a_place ? base::Vec2(sign * c.normal_force) : none;
        signs.insert(signs.end(), {p.x(), p.y(), force.x(), force.y(), normal.x(), normal.y()});
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
        const base::Vec2 o = scratch.poses[body].o;
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
    for (const std::size_t i : drawing::find_centres(m))
      if (m.pivots[i].body == body) return true;
    return false;
  }
  void write_points(const std::string& at, const std::string& name, const std::vector<base::Vec2>& points,
                    const std::string& frame) {
    std::vector<double> xy;
    for (const base::Vec2& p : points) xy.insert(xy.end(), {p.x(), p.y()});
    w_.write_series(at, name, xy, 2, make_meta("m", "mm", frame, "outline in the body's frame"),
                    store::Columns{{"x", "y"}});
  }
  // Of the forces of one group of contacts (Action::shown_sign).
  double shown_sign(int group) const {
    const auto& m = s_.action.mechanism;
    for (std::size_t i = 0; i < m.contacts.size(); ++i)
      if (m.group_of(static_cast<int>(i)) == group) return s_.action.shown_sign(*m.contacts[i]);
    return 1;
  }
  double strike_ratio(const StaticSample& s) const { return -s_.action.string_gap_rate(s.state.q, s.dq); }

  store::StudyWriter& w_;
  const SetUpResult& s_;
  std::string at_;
};

}  // namespace

StudyFile::StudyFile(const case_file::CaseDescription& d, const std::string& path)
    : writer_(path, make_header(d)) {
  writer_.write_strings("/", "rests_on", d.notes, "what the answers rest on, in sentences");
}

void StudyFile::add(const SetUpResult& s) {
  const std::string at = writer_.begin_set_up(s.name, s.description);
  writer_.write_attribute(at, "verdict", s.verdict);
  writer_.write_attribute(at, "undone", std::string(judgement::undone_words(s.undone)));
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
  out.write_mean_ledger();
  out.write_ratio();
  out.write_slide();
  write_strokes(writer_, at, s);
  out.write_scene();
  writer_.finish_set_up();
}

std::vector<std::string> StudyFile::add_base(const case_file::CaseDescription& description) {
  case_file::CaseDescription base_only = description;
  base_only.set_ups.resize(1);
  CompareOptions options;
  options.uncertainty = false;
  const Comparison c = compare(base_only, options);
  add(c.set_ups.front());
  return c.warnings;
}

void StudyFile::write_answer(const Comparison& c) {
  std::vector<std::string> lines, advised;
  for (const auto& [label, text] : judgement::answer_lines(c.question, c.judged))
    lines.push_back(label + ": " + text);
  for (const auto& a : c.judged.advice) {
    lines.insert(lines.end(), a.cautions.begin(), a.cautions.end());
    for (const auto& stage : a.stages)
      if (stage.decision == judgement::Decision::kDo)
        advised.push_back(c.question.notes.front().moves[stage.move].name);
  }
  writer_.write_strings("/", "answer", lines,
                        "what to do, why, how sure, what cannot be undone; then cautions");
  writer_.write_strings("/", "advised", advised, "names of the set-ups to be done, in this order");
  for (const auto& m : c.question.measures)
    for (const MeasureInfo& info : kMeasures)
      if (m.key == info.key)
        writer_.write_attribute("/", "noticeable_" + m.key, m.noticeable / info.display_factor);
}

void StudyFile::finish(const std::vector<std::string>& warnings) {
  writer_.write_strings("/", "warnings", warnings, "warnings of the whole study");
  writer_.finish();
}

void write_study(const case_file::CaseDescription& d, const Comparison& c, const std::string& path) {
  StudyFile file(d, path);
  for (const auto& s : c.set_ups) file.add(s);
  file.write_answer(c);
  file.finish(c.warnings);
}

}  // namespace leverwright::study
