// Draws a chart with gnuplot. Words are passed as plain words (nothing in them is markup or is run).
#pragma once
#include <string>
#include <vector>

#include "viz/chart/chart.h"

namespace leverwright::chart {

enum class Format { kPng, kSvg, kPdf };

// Writes stem.png / .svg / .pdf as asked and stem.csv with the data; returns the paths in that order.
// UserError when gnuplot is missing or fails, the folder or the font is missing; no partial file is left.
// LEVERWRIGHT_GNUPLOT names another gnuplot program.
std::vector<std::string> draw_chart(const Chart& chart, const std::string& stem,
                                    const std::vector<Format>& formats = {Format::kPng, Format::kSvg,
                                                                          Format::kPdf});

// UserError that names the program or font which is missing; found out before long work begins.
void need_tools();

std::string write_csv(const Chart& chart);

// The gnuplot program text for one format (exposed for tests).
std::string write_script(const Chart& chart, Format format, const std::string& output);

// A word list in gnuplot's single quotes; control characters become spaces.
std::string quote(const std::string& text);

}  // namespace leverwright::chart
