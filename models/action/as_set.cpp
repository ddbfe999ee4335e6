#include "models/action/as_set.h"

#include <boost/math/tools/toms748_solve.hpp>

#include "models/action/trip.h"

namespace leverwright::action {

namespace {
constexpr double kLeastDip = 3e-3, kMostDip = 16e-3;  // [m]
}  // namespace

Regulated read_as_set(const ActionDesign& d, const ScrewSettings& screws) {
  Regulated r;
  r.screws = screws;
  const Action a = assemble(d, screws);
  FrictionlessPath path(a);
  if (!path.rest_found()) return r;
  r.rest = path.rest();
  r.travel_rest = path.travel_rest();
  r.blow = a.string_gap(r.rest.q);
  r.jack_clearance = a.jack_clearance(r.rest.q);
  r.jack_offset = a.jack_offset(r.rest.q);
  // Where the punching carries dip_force the key's angle alone says.
  const double wanted = punching_compression(d);
  run::StaticState probe = r.rest;
  const auto miss = [&](double dip) {
    probe.q[kKey] = path.solver().driven_for(r.travel_rest + dip);
    return path.depth_of(kKeyFrontPunching, probe) - wanted;
  };
  const double low = miss(kLeastDip), high = miss(kMostDip);
  if (low < 0 && high > 0) {
    std::uintmax_t iterations = 60;
    const auto found = boost::math::tools::toms748_solve(
        miss, kLeastDip, kMostDip, low, high, [](double x, double y) { return y - x < 1e-10; }, iterations);
    r.dip = 0.5 * (found.first + found.second);
  }
  Trip trip(d, screws, r.rest, kDipLimit);
  const TripReading at = trip.read(screws[kLetOffButton], screws[kDropScrew]);
  r.dip_button = at.dip_button;
  r.dip_drop_screw = at.dip_drop_screw;
  r.dip_let_off = at.dip_let_off;
  r.dip_drop = at.dip_drop;
  r.let_off = at.let_off;
  r.drop = at.drop;
  r.aftertouch = r.dip - r.dip_let_off;
  r.ok = at.found && r.dip > 0;
  return r;
}

}  // namespace leverwright::action
