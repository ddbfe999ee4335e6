// The action drawn to scale, from outlines and positions alone.
//
// Input is SI (metres, radians, newtons) in the project's frame W; the scene is in millimetres. A body is a
// list of pieces in its own frame B; p_WQ = p_WB + R(theta_WB) p_BQ. Body 0 is the ground (rails, string).
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "viz/scene/shape.h"

namespace leverwright::scene {

struct Pose {           // of a body's frame in W
  double x = 0, y = 0;  // m
  double theta = 0;     // rad
};

enum class PieceKind {
  kSolid,        // filled outline: wood, felt, leather, metal, by role
  kLine,         // open line: string, wire
  kCap,          // outline of the capstan's cap: drawn again at the heel overlay
  kHeelSurface,  // open line, the cloth's surface where the capstan runs: likewise
};

// How far a piece reaches across the key, on either side of the middle plane, m; and where it shows.
struct Reach {
  double from = 0, to = 5e-3;
};
enum class Shown { kBoth, kFlat, kSolid };

struct Piece {
  std::string name;  // trade word
  PieceKind kind = PieceKind::kSolid;
  Role role = Role::kKeyWood;
  std::vector<Point> points;  // m, body frame
  std::string label = {};     // words beside it, or none
  // Of a line that yields: the share of the moment's string_rise each point goes up by. Empty: stiff.
  std::vector<double> yields = {};
  Reach across = {};
  Shown shown = Shown::kBoth;
  // A body of revolution, about the line through its middle at this angle from x (body frame).
  std::optional<double> turned_about = {};
};

struct RoundPiece {  // knuckle, lead, core
  std::string name;
  Role role = Role::kMetal;
  Point centre{0, 0};  // m, body frame
  double radius = 0;   // m
  std::string label = {};
  Reach across = {};
};

struct BodyShape {
  std::string name;
  std::vector<Piece> pieces;       // drawn in this order
  std::vector<RoundPiece> rounds;  // drawn after the pieces
  std::optional<Point> pivot;      // centre pin, m, body frame
};

struct SpringShape {  // between two bodies, by index
  std::string name;
  int body_a = 0, body_b = 0;
  Point on_a{0, 0}, on_b{0, 0};  // m, in the frames of a and b
  bool straight = false;         // a wire, drawn as one line
};

struct ActionShape {
  std::vector<BodyShape> bodies;
  std::vector<SpringShape> springs;
};

struct ContactSign {
  std::string name;
  Point at{0, 0};     // m, W
  Point force{0, 0};  // N on the driven body; zero = no arrow
  // Its part along the surface's normal, N; what is left is friction. Without it the whole force is one
  // arrow.
  std::optional<Point> normal = {};
};

struct CentreSign {  // friction in a centre
  std::string name;
  Point at{0, 0};     // m, W
  double torque = 0;  // on the body the centre carries, anticlockwise positive, N m
};

struct BodyTrace {  // where a contact has been, in a body's own frame
  std::string name;
  int body = 0;
  std::vector<Point> points;   // m
  std::vector<double> values;  // e.g. normal force, N
};

struct ActionMoment {
  std::string name;            // "rest", "half stroke", "let-off"
  double dip = 0;              // m at the playing point
  std::optional<double> time;  // s
  std::vector<Pose> poses;     // one per body, ground included
  std::vector<ContactSign> contacts;
  std::vector<BodyTrace> traces;
  std::vector<CentreSign> centres = {};
  double string_rise = 0;  // of a string that yields, at the struck point, m
};

struct ActionSceneOptions {
  std::string title;
  bool labels = true;
  bool bodies = true;       // false: only what is drawn over them, for pictures that have them already
  bool every_name = false;  // else the parts a reader of these pictures needs
  bool forces = true;
  // Of the action plane; 0: the longest arrow reaches 30 mm, in round steps (find_force_scale).
  double millimetres_per_newton = 0;
  double force_floor = 0.05;   // N; smaller ones get no arrow (friction: divided by the next)
  double friction_times = 1;   // friction is drawn at so many times the scale of normal forces
  double torque_floor = 1e-5;  // N m; smaller ones get no turning arrow
  std::optional<Box> view;     // mm; default: everything, with a little room
  double scale_bar = 50;       // mm
  bool compress = true;        // cloth and leather drawn as pressed in by what they touch
  std::string trace_words;     // what the traces' colours mean, with unit; empty: no key
  double trace_high = 0;       // value drawn darkest; 0: the greatest of the moment
};

Point place(const Pose& pose, const Point& in_body);  // m
Point to_millimetres(const Point& metres);

// Round number of mm per newton (1, 2 or 5 times a power of ten) at which the greatest force is at most 30 mm
// of the action plane; 1 without forces.
double find_force_scale(const std::vector<ContactSign>& contacts);

// One moment of one set-up: bodies, springs, lines of centres (key and wippen, wippen and hammer), traces,
// pivots, contact marks and force arrows (normal and friction apart), names, in that order. Friction in a
// centre is an arrow about it that shows the way only. A contact that lies on a pivot (an angular stop) has
// no mark and no arrow: its force does not act there.
Scene build_action_scene(const ActionShape& shape, const ActionMoment& moment,
                         const ActionSceneOptions& options);

// A spring's drawn line from (0, 0) to (length, 0), mm; a wire's is the straight one. The length changes only
// x.
std::vector<Point> spring_line(bool straight, double length);

// Points of one piece, and of one spring, at a moment, mm in W.
std::vector<Point> place_piece(const Piece& piece, const Pose& pose, double string_rise);
std::vector<Point> place_spring(const SpringShape& spring, const std::vector<Pose>& poses);

// One set-up at the same moment as the others, for overlays.
struct SetUpMoment {
  std::string name;  // as pictures show it, marked where what it does cannot be undone
  ActionShape shape;
  ActionMoment moment;
  std::string set_up = {};  // its bare name, for files; empty: `name`
};

// The region between capstan and heel, enlarged: the first set-up filled, every set-up's cap and heel surface
// as lines in its own colour and dashes, contact marks and line of centres.
std::vector<Shape> build_heel_overlay(const std::vector<SetUpMoment>& set_ups);

// One moment of one set-up cut down to what an enlargement shows: bodies, lines of centres, traces, marks and
// forces; no words.
std::vector<Shape> build_close_up(const ActionShape& shape, const ActionMoment& moment,
                                  const ActionSceneOptions& options);

// Middle of the first set-up's capstan contact region, mm: cap and heel surface met (the cap's bounds).
Box find_heel_region(const ActionShape& shape, const ActionMoment& moment, double half_width_mm,
                     double half_height_mm);
// The same about the knuckle and what is under it; empty where there is none.
Box find_knuckle_region(const ActionShape& shape, const ActionMoment& moment, double half_width_mm,
                        double half_height_mm);

// The whole action of the first set-up with the overlay as an inset at `magnification` in the empty corner
// above the keys on the player's side, and beside it, where it hides nothing, the knuckle with the jack and
// the lever, three quarters as much enlarged.
Scene build_overlay_scene(const std::vector<SetUpMoment>& set_ups, const ActionSceneOptions& options,
                          double magnification = 8);

}  // namespace leverwright::scene
