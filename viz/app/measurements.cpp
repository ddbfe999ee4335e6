#include "viz/app/measurements.h"

namespace leverwright::app {

void add_measurements(Verb& verb, MeasurementsRequest& r) {
  verb.add_case(r.case_path);
  verb.add("MEASUREMENTS", "MEASUREMENTS",
           "Sample notes (.csv): note, set_up, down_weight [gf], up_weight [gf], dip, blow, let_off, "
           "aftertouch [mm], key_friction [gf], hammer_centre, wippen_centre [gf at 23 mm], hammer_swings, "
           "wippen_swings, or any value of the case.",
           &r.measurements_path)
      .needed()
      .read();
  verb.add_out("Draw the picture into FOLDER.", "none");
  verb.add_pictures("Leave out the picture.");
  verb.add_json();
}

figures::BenchReading bench_reading(const case_file::CaseDescription& d, const calibrate::NoteRow& row,
                                    const calibrate::Reading& reading, double predicted,
                                    double predicted_sigma) {
  const auto& info = calibrate::info_of(reading.kind);
  const double factor = info.display_factor;
  return {row.note + ", " + d.set_ups[row.set_up].name,
          info.name,
          info.display_unit,
          reading.value * factor,
          reading.sigma * factor,
          predicted * factor,
          predicted_sigma * factor};
}

}  // namespace leverwright::app
