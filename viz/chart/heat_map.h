// Cells, colour scale and contour lines of a map.
#pragma once
#include <vector>

#include "viz/chart/chart.h"

namespace leverwright::chart {

// Edges of cells whose middles are given: half-way between neighbours, the outer ones as far out as in.
std::vector<double> find_edges(const std::vector<double>& middles);

// Colour scale of all maps of the chart: what they ask for, else round numbers around the values.
Range find_colour_range(const Chart& chart);

// Lines along which the map, taken as straight between the middles of its cells, has the value `level`
// (marching squares; where the way through a cell is ambiguous its mean decides). Pieces are joined end to
// end; a cell with a corner that is not a number has no line.
struct ContourLine {
  std::vector<double> x, y;
};
std::vector<ContourLine> find_contours(const HeatMap& map, double level);

}  // namespace leverwright::chart
