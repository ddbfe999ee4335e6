// The colours and dash patterns of every picture and chart, by role, in one place.
//
// Colours are stated in OKLCH (lightness L 0..1, chroma C, hue h in degrees;
// [@ottosson2020]) because equal steps of L look equally far apart and survive
// printing in grey. Rules the tests hold the table to:
//   - set-up lines A..F climb in L by at least 0.05 a step, each keeps 3:1 contrast on white, and every pair
//     differs by at least 0.12 in OKLab for normal, protan, deutan and tritan sight;
//   - contact marks, the two kinds of force arrows and lines of centres keep 3:1 on white and 0.12 apart
//     likewise;
//   - the set-ups also differ in dash pattern, so that colour is never the only key;
//   - fills of wood, cloth and metal are light (L >= 0.70) so that lines and words stay readable on them.
#pragma once
#include <string>
#include <vector>

namespace leverwright::scene {

enum class Role {
  kPaper,     // background
  kInk,       // outlines, words
  kFaintInk,  // axes, grids, construction lines
  kKeyWood,
  kWippenWood,
  kJack,
  kLever,
  kHammer,
  kFelt,  // felt and cloth
  kLeather,
  kMetal,
  kString,
  kRail,      // fixed wood
  kContact,   // contact mark
  kForce,     // arrow of a normal force
  kFriction,  // arrow of a friction force
  kLine,      // line of centres
  kSetUpA,
  kSetUpB,
  kSetUpC,
  kSetUpD,
  kSetUpE,
  kSetUpF,
  kCount
};

struct Oklch {
  double L = 0, C = 0, h = 0;
};
struct Rgb {  // sRGB, each 0..1
  double r = 0, g = 0, b = 0;
};
struct Oklab {
  double L = 0, a = 0, b = 0;
};

Oklch oklch(Role role);
Rgb rgb(Role role);
Rgb rgb(const Oklch& colour);        // clipped to the sRGB range
bool in_gamut(const Oklch& colour);  // true when nothing has to be clipped
Oklab oklab(const Rgb& colour);
Rgb grey(const Rgb& colour);                  // the same relative luminance without colour
double luminance(const Rgb& colour);          // WCAG relative luminance
double contrast(const Rgb& a, const Rgb& b);  // WCAG contrast ratio, 1..21
std::string hex(const Rgb& colour);           // "#rrggbb"

// How dichromats see a colour ([@machado2009], severity 1).
enum class Sight { kNormal, kProtan, kDeutan, kTritan };
Rgb seen_by(Sight sight, const Rgb& colour);

inline constexpr int kSetUpStyles = 6;
Role set_up_role(int index);  // 0 -> A ...; wraps after F
// Lengths of dash, gap, dash, gap ... in line widths; empty = solid.
const std::vector<double>& set_up_dash(int index);

// Colour for a value between 0 (low) and 1 (high): lightness falls steadily, so it reads in grey.
Rgb value_colour(double fraction);

}  // namespace leverwright::scene
