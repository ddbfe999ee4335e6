// How much a drag differs from note to note of one piano, as a share of it: an estimate, even over the range. Friction of
// the notes of one grand +- 2 gf about a line from 15 to 10 gf (pianotech list archive 1999-11 #054103), 16 % of the sum
// of four to six drags, is a scatter of 0.25 to 0.35 of each.
#pragma once

namespace leverwright::calibrate {

inline constexpr double kLeastScatter = 0.05, kMostScatter = 0.5;
inline constexpr double kUsualScatter = 0.304;  // root mean square of that range

}  // namespace leverwright::calibrate
