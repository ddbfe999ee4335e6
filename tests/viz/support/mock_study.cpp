#include "tests/viz/support/mock_study.h"

#include <cmath>

#include "sim/base/units.h"
#include "tests/viz/support/mock_action.h"

namespace leverwright::mock {
namespace {

struct Invented {
  const char* name;
  Variation variation;
  double balance, friction, place;  // gf, gf, mm
};

}  // namespace

study_file::StudyFigures invented_study() {
  const std::vector<Invented> all{{"as found", {}, 38, 14.5, -67.2},
                                  {"heel build-up", {0, 0, 0.7e-3}, 36.5, 13.1, -66.1},
                                  {"capstan relocated", {-3e-3, 0, 0}, 33.6, 12.4, -69.4},
                                  {"capstan lean", {0, 0.07, 0}, 38.4, 14.1, -66.8},
                                  {"heel cut and re-glued", {1e-3, 0, 0}, 37.9, 12.8, -65.6},
                                  {"friction treatment only", {}, 38, 9.6, -67.2}};
  const std::vector<std::pair<const char*, double>> places{{"capstan on heel cloth", 0.17},
                                                           {"jack on knuckle", 0.24},
                                                           {"repetition lever on knuckle", 0.03},
                                                           {"jack tender on let-off button", 0.02},
                                                           {"hammer centre", 0.2},
                                                           {"wippen centre", 0.07},
                                                           {"jack centre", 0.01},
                                                           {"repetition lever centre", 0.05},
                                                           {"balance-rail bushing", 0.09},
                                                           {"front-rail bushing", 0.08},
                                                           {"cloth and felt", 0.04}};
  study_file::StudyFigures study;
  study.title = "invented piano, note 40";
  for (size_t i = 0; i < all.size(); ++i) {
    const Invented& v = all[i];
    study_file::ForceDipCurve f;
    study_file::SlidePath s;
    f.set_up = s.set_up = v.name;
    for (int k = 0; k <= 120; ++k) {
      const double dip = 10.2 * k / 120;  // mm
      const double bump =
          22 * std::exp(-std::pow((dip - 8.9) / 0.42, 2)) + 400 * std::pow(std::max(0.0, dip - 9.8), 2);
      const double slope = 1 - 0.022 * dip;
      f.dip_down.push_back(1e-3 * dip);
      f.force_down.push_back(base::kGramForce * ((v.balance + v.friction) * slope + bump));
      f.dip_up.push_back(1e-3 * (10.2 - dip));
      const double d = 10.2 - dip;
      f.force_up.push_back(base::kGramForce *
                           ((v.balance - v.friction) * (1 - 0.01 * d) + (d > 8.5 ? -4 * (d - 8.5) : 0) +
                            400 * std::pow(std::max(0.0, d - 9.8), 2)));
      s.dip.push_back(1e-3 * dip);
      s.place.push_back(1e-3 * (v.place + 1.6 * std::sin(dip / 5) - 0.06 * dip * dip / 5));
      s.normal_force.push_back(3.6);
    }
    f.down_weight = base::kGramForce * (v.balance + v.friction);
    f.up_weight = base::kGramForce * (v.balance - v.friction);
    f.let_off_dip = 8.9e-3;
    s.heel_surface = invented_action(v.variation).bodies[2].pieces[3].points;
    s.face_from = -70e-3;
    s.face_to = -62e-3;
    study_file::Ledger l;
    l.set_up = v.name;
    l.weighed = base::kGramForce * v.friction;
    for (size_t k = 0; k < places.size(); ++k)
      l.rows.push_back(
          {places[k].first, base::kGramForce * v.friction *
                                (places[k].second + 0.01 * std::sin(7.0 * static_cast<double>(i * k)))});
    for (const char* touch : {"p", "f"}) {
      const double slow = *touch == 'p' ? 3 : 1;
      study_file::Stroke stroke;
      stroke.set_up = v.name;
      stroke.touch = touch;
      for (int k = 0; k <= 200; ++k) {
        const double t = 0.5e-3 * k * slow, u = std::min(1.0, t / (0.05 * slow));
        const double back = std::max(0.0, t - 0.05 * slow) / (0.05 * slow);
        stroke.time.push_back(t);
        stroke.key_dip.push_back(1e-3 * 10 * u * u);
        stroke.hammer_distance.push_back(
            1e-3 * (46 * (1 - u * u) + 15 * std::min(1.0, 2 * back) + 0.3 * static_cast<double>(i)));
        stroke.hammer_speed.push_back(u < 1 ? 1.9 * t / (0.05 * slow) / slow : back < 0.5 ? -0.6 / slow : 0);
      }
      stroke.events = {{"key start", 0},
                       {"jack trips", 0.044 * slow},
                       {"jack clear", 0.046 * slow},
                       {"string contact", 0.05 * slow},
                       {"key bottom", 0.0515 * slow},
                       {"check", 0.075 * slow}};
      study.strokes.push_back(std::move(stroke));
    }
    study.force_dip.push_back(std::move(f));
    study.slide_paths.push_back(std::move(s));
    study.ledgers.push_back(std::move(l));
  }
  const std::vector<std::pair<const char*, double>> moments{
      {"rest", 0}, {"half stroke", 4.5e-3}, {"let-off", 8.9e-3}};
  for (const auto& [name, dip] : moments) {
    std::vector<scene::SetUpMoment> set_ups;
    for (const Invented& v : all)
      set_ups.push_back({v.name, invented_action(v.variation), invented_moment(dip, name, v.variation)});
    study.action.moments.push_back(std::move(set_ups));
  }
  return study;
}

}  // namespace leverwright::mock
