// In place of figures, film, export, report and the pages for the bench where the program is built without
// them.
#include "sim/base/error.h"
#include "viz/app/has_pictures.h"
#include "viz/exports/export.h"
#include "viz/figures/bench_figures.h"
#include "viz/figures/draw_figures.h"
#include "viz/figures/keyboard_figure.h"
#include "viz/figures/map_figure.h"
#include "viz/figures/study_charts.h"
#include "viz/figures/validation_figures.h"
#include "viz/film/film.h"
#include "viz/report/report.h"
#include "viz/sheets/pages.h"

namespace leverwright {

namespace {

[[noreturn]] void refuse() {
  throw base::UserError("this program was built without pictures, so nothing can be drawn",
                        "build with LEVERWRIGHT_VIZ=ON, or give --no-pictures where a verb has it");
}

using Files = std::vector<std::string>;

}  // namespace

bool app::has_pictures() { return false; }

namespace figures {
Files draw_study(const std::string&, const std::string&) { refuse(); }
Files draw_repetition(const std::string&, const std::string&) { refuse(); }
Files draw_misadjustment(const std::string&, const std::string&) { refuse(); }
Files draw_map(const std::string&, const std::string&) { refuse(); }
Files draw_keyboard(const std::string&, const std::string&) { refuse(); }
Files draw_residuals(const std::vector<BenchReading>&, const std::string&) { refuse(); }
Files draw_predicted_measured(const std::vector<BenchReading>&, const std::string&) { refuse(); }
Files draw_validation(const ValidationCurves&, const std::string&) { refuse(); }
}  // namespace figures

namespace film {
Span find_span(const FilmRequest&) { refuse(); }
std::string find_film_kind() { refuse(); }
std::string find_film_path(const std::string&) { refuse(); }
std::string describe(const FilmRequest&) { refuse(); }
long watch_strokes(const FilmRequest&, double) { refuse(); }
Written write_film(const FilmRequest&, const FilmFiles&, const std::function<bool(double)>&) { refuse(); }
}  // namespace film

namespace exports {
std::string write_stroke_csv(const study_file::StoredStroke&) { refuse(); }
Files write_vtk(const study_file::StoredStroke&, double, const std::string&, const std::string&) { refuse(); }
std::string write_gltf(const study_file::StoredStroke&, double) { refuse(); }
}  // namespace exports

namespace report {
Written write_report(const std::string&, const std::string&, const Options&) { refuse(); }
}  // namespace report

namespace sheets {
std::string write_sheet_page(const SheetPage&) { refuse(); }
std::string write_order_page(const case_file::CaseDescription&, const workshop::WorkOrder&,
                             const std::string&) {
  refuse();
}
}  // namespace sheets

}  // namespace leverwright
