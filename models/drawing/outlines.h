// Outlines of a regulated action for drawing, from its true geometry, in the body frames, SI.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "models/action/action.h"

namespace leverwright::drawing {

using base::Vec2;

// One body of the mechanism and where it hangs. A body that turns about a joint which itself slides (a key on
// its balance punching) is one here: its joint moves by the slide along `slide_way`. What hangs on a body and
// is kept upright by a guide (the damper's head) is no body of the mechanism: index kUpright.
inline constexpr int kUpright = -1;
// How far a drawn thing reaches across the key: from `from` to `to` on either side of the action's middle
// plane [m]. 0 to 5 mm is a piece 10 mm wide, 3 to 5 mm a pair of cheeks with room between them. No
// measurement gives these; they are the drawing's own, of usual widths, and touch nothing that is computed.
struct Across {
  double from = 0, to = 5e-3;
};
// Where a thing shows: a lever cut open in a flat drawing is cheeks and blocks as a body.
enum class Shown { kBoth, kFlat, kSolid };

struct BodyOutline {
  int index = 0;            // in the mechanism, or kUpright
  std::string body;         // as in action::kBodyNames, or of an option
  std::string colour_role;  // see viz/study_file/curves.h
  std::vector<Vec2> outline;
  std::string label;     // words beside it in a picture, or none
  std::string parent;    // the body it hangs on, or "ground"
  Vec2 joint{0, 0};      // in the parent's frame
  int slide = -1;        // body of the mechanism whose coordinate is the slide; -1: none
  Vec2 slide_way{0, 0};  // unit, parent's frame
  Across across = {};
  Shown shown = Shown::kBoth;
};

struct Feature {
  std::string name, body, kind, colour_role;  // kind: solid, line, circle, cap, heel surface, spring, wire
  std::vector<Vec2> points;
  double radius = 0;   // circles
  std::string body_b;  // springs and wires: the second point is in this body's frame
  // Lines that yield: the share of the string's rise each point goes up by. Empty: stiff.
  std::vector<double> yields = {};
  std::string label = {};  // words beside it in a picture, or none
  Across across = {};
  Shown shown = Shown::kBoth;
  // A body of revolution, about the line through its middle at this angle from x: screws, wires, capstan.
  std::optional<double> turned_about = {};
};

// Two things that may be drawn through one another, and why (find_nested_pairs).
struct NestedPair {
  std::string one, other, why;  // names of bodies or features
};
const std::vector<NestedPair>& find_nested_pairs();

// The bodies of the action, parents before those they carry; a finger has no outline.
std::vector<BodyOutline> find_body_outlines(const action::Action& a);
// In the order in which they are drawn.
std::vector<Feature> find_features(const action::Action& a);
// Where a drawn body stands: origin and angle of its frame in W, from the poses of the mechanism. With
// `dampers_held_up` the damper hangs at its upper stop, as the pedal holds it when the key is weighed
// without.
planar::Pose find_drawn_pose(const action::Action& a, const BodyOutline& body,
                             const std::vector<planar::Pose>& poses, bool dampers_held_up = false);
// Pivots of the mechanism that are pins of the trade, not hinges that stand for something that bends.
std::vector<std::size_t> find_centres(const planar::Mechanism& mechanism);

}  // namespace leverwright::drawing
