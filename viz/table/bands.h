// The table of published ranges beside what one action of ours answers (models/bands/bands.h).
#pragma once
#include <map>
#include <string>
#include <vector>

#include "models/bands/bands.h"
#include "viz/table/document.h"

namespace leverwright::table {

// For callers that write the table, what it is made of.
using bands::add_band_values;
using bands::Band;
using bands::BandValue;
using bands::find_band_values;
using bands::find_extreme_band_values;
using bands::find_finger_band_values;
using bands::find_string_band_values;
using bands::flatten_band_values;
using bands::judge_band;
using bands::put_sigmas;
using bands::read_bands;

// One row as it is written: a band of which some touches are in and some out gives two.
struct BandRow {
  Band band;
  std::string ours, judged, read_off,
      why;  // judged: "in", "OUT", "own width" (missed), "shown" or "not reached: ..."; why: of a row out
  bool reaches = false;  // a row that is out by less than 1.96 of its own standard deviations
};
std::vector<BandRow> find_band_rows(const std::vector<Band>& bands,
                                    const std::map<std::string, BandValue>& values);

// Quantity, ours, range, in or out, source; a row of which some touches are in and some are out is written as
// two and counts as out; where a row's own uncertainty reaches the range that is said. Rows without a value
// say what is missing. Below: for each row that is out why it is.
std::string write_bands(const std::vector<Band>& bands, const std::map<std::string, BandValue>& values,
                        const Look& look);
// The rows are details; what they come to is told at once.
Document bands_document(const std::string& title, const std::vector<Band>& bands,
                        const std::map<std::string, BandValue>& values);
std::string write_bands_csv(const std::vector<Band>& bands, const std::map<std::string, BandValue>& values);

}  // namespace leverwright::table
