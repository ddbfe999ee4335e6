// Ranges a regulated typical grand falls in, and what one action of ours answers to each. The ranges with their
// sources stand in models/handbook/bands.csv; a row missed is reported, never tuned away.
#pragma once
#include <map>
#include <string>
#include <vector>

#include "models/study/set_up_result.h"
#include "models/study/touches.h"

namespace leverwright::bands {

struct Band {
  std::string id, quantity, condition;
  double low = 0, high = 0;
  std::string unit;  // as written: gf, N, mm, ms, m/s, kg, %, 1/s, 1
  std::string source;
  // "check": judged; "prior": judged for one action, but it set the width of the shipped ranges and is no
  // evidence; "own": a figure is published, but the width about it was set by us: outside is missed, and inside is
  // no evidence and counts as missed too; "shown": without a trustworthy source, beside ours and not judged.
  std::string use = "check";
};

// UserError with file and line when the file is not as expected.
std::vector<Band> read_bands(const std::string& path);

// What was found, in the band's unit; from `low` to `high` where several touches gave it.
struct BandValue {
  double low = 0, high = 0;
  std::string note = {};                                   // what it was read off
  std::vector<std::pair<std::string, double>> parts = {};  // each touch's own
  // One standard deviation from the measurements' uncertainty, by touch ("" where there are no parts); empty
  // where it was not worked out.
  std::map<std::string, double> sigmas = {};
};

// The same answers as numbers by "id" or "id/touch", for find_stroke_spread, and back.
std::map<std::string, double> flatten_band_values(const std::map<std::string, BandValue>& values);
void put_sigmas(const std::map<std::string, double>& sigmas, std::map<std::string, BandValue>& values);

// What a finger of mass, flesh and arm tells: its greatest force at the case's touches struck from above, and
// the check at those that should be caught, struck and pressed.
std::map<std::string, BandValue> find_finger_band_values(const case_file::CaseDescription& description,
                                                         const study::SetUpResult& set_up);

// More touches of a row that is there already, or a new row.
void add_band_values(const std::map<std::string, BandValue>& more, std::map<std::string, BandValue>& values);

// What weighing tells, by the band's id.
std::map<std::string, BandValue> find_band_values(const study::SetUpResult& set_up);
// What pressed touches tell (pp to ff; those that were found).
std::map<std::string, BandValue> find_band_values(const std::vector<study::PlayedTouch>& touches);
// How long the hammer stays on the string: the action's own touches where its note is C4 and its string
// yields, and the published strings and felts of C2 and C7 struck by a hammer alone.
std::map<std::string, BandValue> find_string_band_values(const study::SetUpResult& set_up, int note_number);
// What the published extremes tell: very soft, and the softest and loudest hammer speeds of the range.
std::map<std::string, BandValue> find_extreme_band_values(const study::SetUpResult& set_up,
                                                          const std::vector<Band>& bands);

// "in", "out", "own width" (inside, where the width is ours), "shown" (a row that is not judged), or why there is no value: "not reached: " and the feature
// that is missing.
std::string judge_band(const Band& band, const std::map<std::string, BandValue>& values);

// Parts of a row: the touches that are in and those that are out, each by themselves; the whole when all are alike.
std::vector<BandValue> split_band_value(const Band& band, const BandValue& value);
// Inside the range; a range of speeds that must be reached is met by covering it.
bool meets(const Band& band, const BandValue& value);
// The uncertainty that belongs to a value of the row `v`; NaN when none was worked out.
double sigma_at(const BandValue& v, double value);
// Out of the band by less than the row's own uncertainty at 95 %, at every value that is out.
bool reaches(const Band& band, const BandValue& value);
// nullptr when nothing was found or it is no number.
const BandValue* find_value(const std::map<std::string, BandValue>& values, const std::string& id);
// Why a row may be out, with what was tried on the action of cases/missed_heel; "" when no reason is known.
std::string reason_for(const std::string& id);

}  // namespace leverwright::bands
