#include "viz/scene/palette.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

#include "sim/base/units.h"

namespace leverwright::scene {
namespace {

constexpr std::array<Oklch, static_cast<size_t>(Role::kCount)> kColours{{
    {1.00, 0.000, 0},    // paper
    {0.27, 0.020, 270},  // ink
    {0.62, 0.010, 270},  // faint ink
    {0.89, 0.045, 85},   // key wood
    {0.84, 0.060, 75},   // wippen wood
    {0.74, 0.085, 62},   // jack
    {0.80, 0.050, 130},  // lever
    {0.92, 0.030, 95},   // hammer
    {0.81, 0.075, 20},   // felt and cloth
    {0.72, 0.050, 50},   // leather
    {0.82, 0.015, 250},  // metal
    {0.45, 0.030, 250},  // string
    {0.90, 0.012, 80},   // rail
    {0.55, 0.200, 25},   // contact mark
    {0.48, 0.170, 262},  // normal force
    {0.67, 0.150, 60},   // friction
    {0.28, 0.050, 165},  // line of centres
    {0.25, 0.030, 300},  // set-up A
    {0.37, 0.160, 290},  // B
    {0.46, 0.100, 30},   // C
    {0.54, 0.150, 278},  // D
    {0.61, 0.120, 90},   // E
    {0.655, 0.080, 200}  // F
}};

struct Linear {
  double r, g, b;
};

Linear to_linear(const Oklch& c) {
  const double a = c.C * std::cos(c.h * base::kDegree), b = c.C * std::sin(c.h * base::kDegree);
  const double l = std::pow(c.L + 0.3963377774 * a + 0.2158037573 * b, 3);
  const double m = std::pow(c.L - 0.1055613458 * a - 0.0638541728 * b, 3);
  const double s = std::pow(c.L - 0.0894841775 * a - 1.2914855480 * b, 3);
  return {4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
          -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
          -0.0041960863 * l - 0.7034186147 * m + 1.7076147010 * s};
}

double encode(double c) {
  c = std::clamp(c, 0.0, 1.0);
  return c <= 0.0031308 ? 12.92 * c : 1.055 * std::pow(c, 1 / 2.4) - 0.055;
}
double decode(double c) { return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4); }
Linear decode(const Rgb& c) { return {decode(c.r), decode(c.g), decode(c.b)}; }

}  // namespace

Oklch oklch(Role role) {
  assert(role < Role::kCount);
  return kColours[static_cast<size_t>(role)];
}

Rgb rgb(const Oklch& colour) {
  const Linear c = to_linear(colour);
  return {encode(c.r), encode(c.g), encode(c.b)};
}

Rgb rgb(Role role) { return rgb(oklch(role)); }

bool in_gamut(const Oklch& colour) {
  const Linear c = to_linear(colour);
  const auto inside = [](double x) { return x >= -1e-4 && x <= 1 + 1e-4; };
  return inside(c.r) && inside(c.g) && inside(c.b);
}

Oklab oklab(const Rgb& colour) {
  const Linear c = decode(colour);
  const double l = std::cbrt(0.4122214708 * c.r + 0.5363325363 * c.g + 0.0514459929 * c.b);
  const double m = std::cbrt(0.2119034982 * c.r + 0.6806995451 * c.g + 0.1073969566 * c.b);
  const double s = std::cbrt(0.0883024619 * c.r + 0.2817188376 * c.g + 0.6299787005 * c.b);
  return {0.2104542553 * l + 0.7936177850 * m - 0.0040720468 * s,
          1.9779984951 * l - 2.4285922050 * m + 0.4505937099 * s,
          0.0259040371 * l + 0.7827717662 * m - 0.8086757660 * s};
}

double luminance(const Rgb& colour) {
  const Linear c = decode(colour);
  return 0.2126 * c.r + 0.7152 * c.g + 0.0722 * c.b;
}

Rgb grey(const Rgb& colour) {
  const double y = encode(luminance(colour));
  return {y, y, y};
}

double contrast(const Rgb& a, const Rgb& b) {
  const double ya = luminance(a) + 0.05, yb = luminance(b) + 0.05;
  return std::max(ya, yb) / std::min(ya, yb);
}

std::string hex(const Rgb& colour) {
  static const char digits[] = "0123456789abcdef";
  std::string out = "#";
  for (double c : {colour.r, colour.g, colour.b}) {
    const int v = static_cast<int>(std::lround(255 * std::clamp(c, 0.0, 1.0)));
    out += digits[v / 16];
    out += digits[v % 16];
  }
  return out;
}

Rgb seen_by(Sight sight, const Rgb& colour) {
  static constexpr double kProtan[9] = {0.152286, 1.052583,  -0.204868, 0.114503, 0.786281,
                                        0.099216, -0.003882, -0.048116, 1.051998};
  static constexpr double kDeutan[9] = {0.367322, 0.860646,  -0.227968, 0.280085, 0.672501,
                                        0.047413, -0.011820, 0.042940,  0.968881};
  static constexpr double kTritan[9] = {1.255528, -0.076749, -0.178779, -0.078411, 0.930809,
                                        0.147602, 0.004733,  0.691367,  0.303900};
  const double* m = sight == Sight::kProtan   ? kProtan
                    : sight == Sight::kDeutan ? kDeutan
                    : sight == Sight::kTritan ? kTritan
                                              : nullptr;
  if (m == nullptr) return colour;
  const Linear c = decode(colour);
  return {encode(m[0] * c.r + m[1] * c.g + m[2] * c.b), encode(m[3] * c.r + m[4] * c.g + m[5] * c.b),
          encode(m[6] * c.r + m[7] * c.g + m[8] * c.b)};
}

Role set_up_role(int index) {
  const int wrapped = ((index % kSetUpStyles) + kSetUpStyles) % kSetUpStyles;
  return static_cast<Role>(static_cast<int>(Role::kSetUpA) + wrapped);
}

const std::vector<double>& set_up_dash(int index) {
  static const std::array<std::vector<double>, kSetUpStyles> kDashes{{
      {},                        // A solid
      {8, 3},                    // B long dashes
      {3, 2},                    // C short dashes
      {9, 2.5, 2, 2.5},          // D dash, dot
      {1.2, 2},                  // E dots
      {9, 2.5, 2, 2.5, 2, 2.5},  // F dash, dot, dot
  }};
  return kDashes[static_cast<size_t>(((index % kSetUpStyles) + kSetUpStyles) % kSetUpStyles)];
}

Rgb value_colour(double fraction) {
  const double t = std::clamp(fraction, 0.0, 1.0);
  return rgb(Oklch{0.86 - 0.54 * t, 0.09 + 0.04 * std::sin(base::kPi * t), 95 - 75 * t});
}

}  // namespace leverwright::scene
