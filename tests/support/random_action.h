// Random actions within what a piano can be: the bench quantities drawn within their usual ranges, the parts
// placed so that the drawn action closes. What does not go together is rejected by closed-form geometry and
// statics alone, never by trying to solve it.
//
//   drawn (uniform, common practice, no source, but for the ratio's window: lever examples of a list post,
//   2001-11 #097913)
//     spread 109..115 mm, key front length 217..265, rear length 125..145, horizontal heel arm 60..66,
//     hanging distance 15.5..18.5, knuckle diameter 9..11, hammer length 126..133, bore 45..59, strike
//     weight 8..12 gf, wippen weight 17.5..18.5 gf, hammer centre 1..5 gf, wippen centre 1..4, jack
//     centre 1..2, lever centre 3..7 gf at 23 mm, key 1..6 gf, repetition spring 30..60 N mm, friction of
//     knuckle 0.05..0.35 and heel 0.1..0.35, heel 2 mm off the capstan either way, blow 44.5..47.6 mm,
//     let-off 1.5..2.5, drop 0.8..1.6, aftertouch 0.8..1.5
//   placed    capstan under the heel, jack and lever up to the knuckle, button and drop screw by how far the
//   wippen turns
//             (theta_P = theta_H E/D), front weight so that the balance weight is 33..42 gf
//   rejected  travel ratio outside 4.6..6.2; front weight outside -10..45 gf; jack or lever would have to be
//   longer or
//             shorter by more than 6 mm than the model part
#pragma once
#include <optional>
#include <random>

#include "models/case_file/case_description.h"

namespace leverwright::support {

// `model`: a complete case whose parts serve as shapes (cases/missed_heel). Nothing when the draw is
// rejected.
std::optional<case_file::CaseDescription> draw_action(const case_file::CaseDescription& model,
                                                      std::mt19937_64& engine);

}  // namespace leverwright::support
