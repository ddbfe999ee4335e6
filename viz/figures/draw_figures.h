// The pictures of a study, drawn into `folder`, which must exist; the files written are returned. UserError:
// missing folder, font, gnuplot, or data a picture cannot do without.
#pragma once
#include <string>
#include <vector>

#include "viz/chart/draw_chart.h"
#include "viz/figures/pictures.h"
#include "viz/study_file/curves.h"

namespace leverwright::figures {

// Everything the results file allows: all_pictures().
Files draw_study(const std::string& results_path, const std::string& folder);
Files draw_study(const study_file::StudyFigures& study, const std::string& folder);

// The charts themselves, for tests and reports.
chart::Chart build_force_dip(const std::string& title, const std::vector<study_file::ForceDipCurve>& curves);
chart::Chart build_slide_path(const std::string& title, const std::vector<study_file::SlidePath>& paths);
chart::Chart build_ledger(const std::string& title, const std::vector<study_file::Ledger>& ledgers);
// Strokes of one touch, from the key's start to the check or about the jack's reset; dashed lines: the events
// of the first.
enum class StrokePart { kBlow, kReturn };
chart::Chart build_stroke(const std::string& title, const std::vector<study_file::Stroke>& strokes,
                          StrokePart part);

chart::Chart build_ratio(const std::string& title, const std::vector<study_file::RatioCurve>& curves);
// Bars of the changes with their uncertainty, one panel for each measure. The finding is the title; where what can be
// noticed is known, less than that is shaded.
chart::Chart build_changes(const std::string& title, const std::vector<study_file::Change>& changes,
                           const std::string& base = "", const std::string& finding = "");
// Speed against place, from the key's start to the check.
enum class PhaseOf { kKey, kHammer };
chart::Chart build_phase(const std::string& title, const std::vector<study_file::Stroke>& strokes,
                         PhaseOf of);
// Where the finger's work is: stored in each way, and lost, one above the other.
chart::Chart build_energy(const std::string& title, const study_file::Stroke& stroke);

}  // namespace leverwright::figures
