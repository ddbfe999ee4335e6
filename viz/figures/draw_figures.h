// The pictures of a study. Each function writes into `folder`, which must exist, and returns the files it
// wrote. UserError: missing folder, font, gnuplot, or data the picture cannot do without.
#pragma once
#include <string>
#include <vector>

#include "viz/chart/draw_chart.h"
#include "viz/figures/figure_data.h"

namespace leverwright::figures {

using Files = std::vector<std::string>;

// Everything the results file allows.
Files draw_study(const std::string& results_path, const std::string& folder);
Files draw_study(const StudyFigures& study, const std::string& folder);

// force_against_dip.png/.svg/.pdf/.csv
Files draw_force_dip(const std::string& title, const std::vector<ForceDipCurve>& curves,
                     const std::string& folder);
// slide_path.*
Files draw_slide_path(const std::string& title, const std::vector<SlidePath>& paths,
                      const std::string& folder);
// friction_ledger.*
Files draw_ledger(const std::string& title, const std::vector<Ledger>& ledgers, const std::string& folder);
// stroke_TOUCH.* and key_let_go_TOUCH.* for each touch, all set-ups in one
Files draw_strokes(const std::string& title, const std::vector<Stroke>& strokes, const std::string& folder);
// action_MOMENT.png (VTK) / .svg / .pdf, set-ups overlaid at the heel
Files draw_action(const std::string& title, const ActionPictures& pictures, const std::string& folder);

// distance_ratio.*, changes.*, and of one touch (mf where it was played) phase_key_TOUCH.*,
// phase_hammer_TOUCH.* and energy_TOUCH.* of the first set-up
Files draw_more(const StudyFigures& study, const std::string& folder);
// parts_PART_SET_UP.* for each part (wippen, hammer, key) that differs from the first set-up's by more than
// 0.05 mm, laid over one another at half stroke
Files draw_parts(const std::string& title, const ActionPictures& pictures, const std::string& folder);

// The charts themselves, for tests and reports.
chart::Chart build_force_dip(const std::string& title, const std::vector<ForceDipCurve>& curves);
chart::Chart build_slide_path(const std::string& title, const std::vector<SlidePath>& paths);
chart::Chart build_ledger(const std::string& title, const std::vector<Ledger>& ledgers);
// Strokes of one touch, from the key's start to the check or about the jack's reset; dashed lines: the events
// of the first.
enum class StrokePart { kBlow, kReturn };
chart::Chart build_stroke(const std::string& title, const std::vector<Stroke>& strokes, StrokePart part);

chart::Chart build_ratio(const std::string& title, const std::vector<RatioCurve>& curves);
// Bars of the changes with their uncertainty, one panel for each measure.
chart::Chart build_changes(const std::string& title, const std::vector<Change>& changes);
// Speed against place, from the key's start to the check.
enum class PhaseOf { kKey, kHammer };
chart::Chart build_phase(const std::string& title, const std::vector<Stroke>& strokes, PhaseOf of);
// Where the finger's work is: stored in each way, and lost, one above the other.
chart::Chart build_energy(const std::string& title, const Stroke& stroke);

}  // namespace leverwright::figures
