#include "sim/analysis/slide_path.h"

#include <algorithm>
#include <cmath>

#include "sim/analysis/curves.h"
#include "sim/analysis/pitch_point.h"

namespace leverwright::analysis {

namespace {

using planar::Pose;

struct Placed {
  SlidePoint point;
  Vec2 on_a = Vec2::Zero(), on_b = Vec2::Zero();            // the contact in either body's frame
  Vec2 tangent_a = Vec2::Zero(), tangent_b = Vec2::Zero();  // t in either body's frame
};

Placed place(const run::Mechanism& m, const run::StaticSample& s, int group, double least_normal,
             planar::Scratch& work) {
  Placed out;
  SlidePoint& c = out.point;
  c.travel = s.travel;
  Vec2 normal = Vec2::Zero();
  double signed_slip = 0;
  int body_a = planar::kGround, body_b = planar::kGround;
  for (std::size_t i = 0; i < m.contacts.size(); ++i) {
    if (m.group_of(static_cast<int>(i)) != group || s.normal[i] <= 0) continue;
    const double n = s.normal[i];
    const planar::ContactPoint& t = s.contact_points[i];
    body_a = m.contacts[i]->body_a;
    body_b = m.contacts[i]->body_b;
    c.from_b = c.touching ? std::min(c.from_b, t.s_b) : t.s_b;
    c.to_b = c.touching ? std::max(c.to_b, t.s_b) : t.s_b;
    c.touching = true;
    c.normal += n;
    c.tangential += s.tangential[i];
    c.s_a += n * t.s_a;
    c.s_b += n * t.s_b;
    c.depth = std::max(c.depth, t.depth);
    if (!m.contacts[i]->is_angular()) {
      c.at_a_place = true;
      c.p += n * t.p;
      normal += n * t.n;
      c.normal_force += n * t.n;
      c.force += n * t.n + s.tangential[i] * planar::perp(t.n);
    }
    signed_slip += n * s.slip_rate[i];
    c.friction += s.ledger.friction[i];
    c.on_edge = c.on_edge || t.zone != planar::CapZone::kDome;
  }
  if (!c.touching || c.normal < least_normal) {
    out.point = {};
    out.point.travel = s.travel;
    return out;
  }
  c.s_a /= c.normal;
  c.s_b /= c.normal;
  c.p /= c.normal;
  c.slip_rate = signed_slip / c.normal;
  if (!c.at_a_place) return out;
  normal.normalize();
  work.q = s.state.q;
  work.v = s.dq;
  m.tree.calc_poses(work.q, work.v, work.poses);
  const Pose& a = planar::BodyTree::pose(work.poses, body_a);
  const Pose& b = planar::BodyTree::pose(work.poses, body_b);
  out.on_a = a.from_W(c.p);
  out.on_b = b.from_W(c.p);
  out.tangent_a = a.inverse_rotate(-planar::perp(normal));
  out.tangent_b = b.inverse_rotate(-planar::perp(normal));
  const InstantCentre c_a = find_instant_centre(a), c_b = find_instant_centre(b);
  if (c_a.exists && c_b.exists && (c_a.p - c_b.p).norm() > 1e-9) {
    c.has_line = true;
    c.line_distance = line_distance(c_a.p, c_b.p, c.p);
  }
  return out;
}

}  // namespace

SlidePoint find_slide_point(const run::Mechanism& m, const run::StaticSample& sample, int group,
                            planar::Scratch& scratch, double least_normal) {
  return place(m, sample, group, least_normal, scratch).point;
}

SlidePath find_slide_path(const run::Mechanism& m, const std::vector<run::StaticSample>& samples, int group,
                          double least_normal) {
  SlidePath out;
  planar::Scratch work(m);
  Placed last;
  bool have_mark = false;
  double way = 0;         // slide since the slip last turned, signed
  double way_before = 0;  // direction it had before
  for (std::size_t k = 0; k < samples.size(); ++k) {
    Placed now = place(m, samples[k], group, least_normal, work);
    const SlidePoint& c = now.point;
    if (c.touching) {
      out.largest_normal = std::max(out.largest_normal, c.normal);
      out.over_a = have_mark ? Range{std::min(out.over_a.from, c.s_a), std::max(out.over_a.to, c.s_a)}
                             : Range{c.s_a, c.s_a};
      out.over_b = have_mark ? Range{std::min(out.over_b.from, c.s_b), std::max(out.over_b.to, c.s_b)}
                             : Range{c.s_b, c.s_b};
      out.normal = have_mark ? Range{std::min(out.normal.from, c.normal), std::max(out.normal.to, c.normal)}
                             : Range{c.normal, c.normal};
      out.mark_from = have_mark ? std::min(out.mark_from, c.from_b) : c.from_b;
      out.mark_to = have_mark ? std::max(out.mark_to, c.to_b) : c.to_b;
      have_mark = out.touched = true;
    }
    if (k > 0 && c.touching && last.point.touching) {
      const SlidePoint& l = last.point;
      const double h = c.travel - l.travel, step = std::abs(h);
      out.path_a += std::abs((now.on_a - last.on_a).dot(0.5 * (now.tangent_a + last.tangent_a)));
      out.path_b += std::abs((now.on_b - last.on_b).dot(0.5 * (now.tangent_b + last.tangent_b)));
      const double mean = 0.5 * (c.slip_rate + l.slip_rate);
      // Where the slip turns between two samples the two parts are counted apart.
      const double turned = c.slip_rate * l.slip_rate < 0
                                ? 0.5 * (c.slip_rate * c.slip_rate + l.slip_rate * l.slip_rate) /
                                      (std::abs(c.slip_rate) + std::abs(l.slip_rate))
                                : std::abs(mean);
      out.slide += step * turned;
      out.friction_work += 0.5 * step * (c.friction + l.friction);
      if (c.on_edge) out.travel_on_edge += step;
      if (c.has_line && l.has_line && (c.line_distance < 0) != (l.line_distance < 0))
        out.crossings.push_back(l.travel + h * l.line_distance / (l.line_distance - c.line_distance));
      const double moved = h * mean;
      if (way * moved < 0) {
        if (std::abs(way) > 1e-7) way_before = way;
        way = 0;
      }
      const bool counted = std::abs(way) > 1e-7;
      way += moved;
      if (!counted && std::abs(way) > 1e-7 && way * way_before < 0) ++out.reversals;
    }
    now.point.slid = out.slide;
    now.point.work = out.friction_work;
    out.points.push_back(now.point);
    last = now;
  }
  return out;
}

namespace {

double read_to(const SlidePath& path, double travel, double SlidePoint::*what) {
  Curve c;
  for (const SlidePoint& p : path.points) {
    c.x.push_back(p.travel);
    c.y.push_back(p.*what);
  }
  return c.x.empty() ? 0 : interpolate(c, travel);
}

}  // namespace

double slide_to(const SlidePath& path, double travel) { return read_to(path, travel, &SlidePoint::slid); }
double friction_work_to(const SlidePath& path, double travel) {
  return read_to(path, travel, &SlidePoint::work);
}

}  // namespace leverwright::analysis
