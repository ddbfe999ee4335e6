// The page that holds one regulated action against everything published: the ranges of bands.csv, the single
// values of published.csv and curves over the whole range of hammer speeds. Markdown; what falls out of a
// range stays in, marked.
#pragma once
#include <map>
#include <string>
#include <vector>

#include "models/playing/least_speed.h"
#include "models/playing/touch_curves.h"
#include "viz/table/bands.h"

namespace leverwright::table {

struct PublishedRow {
  std::string id, quantity, published, unit, source;
  std::string shown_by;  // file of the test or page that shows it; empty: computed here
};
// UserError with file and line when the file is not as expected.
std::vector<PublishedRow> read_published(const std::string& path);

// Ours, by the row's id, in the row's unit.
std::map<std::string, double> find_published_values(const study::SetUpResult& set_up,
                                                    const std::vector<playing::TouchCurve>& curves);

struct ValidationPage {
  std::string title, set_up, command, commit;  // commit may be empty
  std::vector<Band> bands;
  std::map<std::string, BandValue> values;
  std::vector<PublishedRow> published;
  std::map<std::string, double> ours;
  std::vector<playing::TouchCurve> curves;
  struct AtDip {
    double dip, down, up;  // [m], [N]
  };
  std::vector<AtDip> slow;
  std::vector<playing::LeastSpeedAt> least;
  bool spread_inputs = false;  // uncertainties stand in `values`
  // Shown beside the slow forces and the curves, as the page names them (relative to it).
  std::vector<std::string> slow_pictures, speed_pictures;
};
// Forces on the slow path at every whole millimetre of dip up to let-off.
std::vector<ValidationPage::AtDip> find_slow_forces(const study::SetUpResult& set_up);

std::string write_validation_page(const ValidationPage& page);

}  // namespace leverwright::table
