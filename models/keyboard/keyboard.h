// The whole keyboard: sample notes carried to 88, each note regulated afresh and weighed by the model as it
// is found, with its capstan at its own wanted place, on the straight line nearest to all, and then leaded or
// sprung for the wanted weight.
//
// Places of capstans are given horizontally from the wippen centre, towards the player: the centres stand on
// one straight rail, so this is the datum that naturals and sharps share. Wanted by regulation: where, with
// dip and blow kept, the aftertouch comes out as asked; by weight: where the weight ratio does. Both are
// found note by note with the model, by secants on the capstan's shift.
//
// Leads for a wanted balance weight: front weight and balance weight trade one for one (their sum is what the
// action asks), so wanted front weight = both of the line less the wanted balance weight. What the leads have
// to add is that less the front weight without leads; where leads were not recorded on the sample notes, new
// ones come on top of the old. Assist springs give the same help at the playing point and no mass.
//
// Down and up weight read on the sample notes are leaned on before anything is answered (lean.h): what all
// notes share moves to where the readings put it, what the model leaves out of the balance (calibrate/left_out.h) among
// it, and a note that was weighed keeps its own deviation. So an answer is measured plus computed change on a weighed
// note, and the model set by its neighbours on the rest.
//
// Uncertainty of a note's answers: every input's effect is worked out on four anchor notes (effects.h). Three
// parts are told apart: what carrying adds (scatter and readings of the samples), drags that differ from note
// to note, and what all notes share (friction of cloth and leather, cloth constants, where the stack stands)
// as far as the weights read have not told it.
#pragma once
#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "models/keyboard/capstan_line.h"
#include "models/keyboard/note_case.h"
#include "models/study/measures.h"

namespace leverwright::keyboard {

enum class CourseKind { kAsFound, kOwnPlace, kNearestLine, kLeastWorst, kBroken, kLeads, kSprings };

struct Course {
  CourseKind kind = CourseKind::kAsFound;
  const char *key = "", *name = "";
  std::vector<double> place;              // of the capstan, by note [m]
  std::vector<study::Measures> measures;  // by note; NaN: not asked, or no answer
  std::vector<std::string> why_not;       // by note, "" where there is an answer
};

struct WantedPlaces {
  CapstanWish wish = CapstanWish::kMeasured;
  std::vector<double> place, sigma;  // by note [m]; NaN: not found; sigma 0: not known
  CapstanLine squares, worst;
  std::optional<CapstanLine> broken;  // least squares, with the break asked for
  int break_after = 0;
};

struct NoteLeads {
  double wanted_front_weight = 0, bare_front_weight = 0;                   // N
  std::array<LeadPlan, static_cast<std::size_t>(LeadWish::kCount)> plans;  // what is put in
  double front_weight_limit = 0;                                           // N; NaN: none given
  double spring = 0;             // N at the playing point, instead of all leads
  double spring_over_limit = 0;  // N, beside leads up to the limit
  double front_weight(LeadWish wish) const {
    return bare_front_weight + plans[static_cast<std::size_t>(wish)].front_weight;
  }
};

struct Bands {                                           // one standard deviation by measure and note, SI
  std::vector<study::Measures> carried, scatter, total;  // scatter: of drags, from note to note
  // The input with the largest share over all notes that were not weighed.
  std::array<std::string, study::kMeasureCount> dominant;
  std::array<double, study::kMeasureCount> dominant_share{};
};

struct SampleCheck {  // a weight read on a sample note against the model's
  int note = 0;
  study::MeasureIndex measure = study::kDownWeight;
  // Model: leaned on all samples together, without the note's own deviation.
  double read = 0, read_sigma = 0, model = 0, model_sigma = 0;
};

struct Keyboard {
  KeyboardCase input;
  std::vector<int> notes;        // that were asked
  std::vector<Carried> carried;  // by column of input
  std::vector<WantedPlaces> wanted;
  std::vector<Course> courses;
  std::vector<NoteLeads> leads;  // by note, empty without [keyboard.leads]
  std::optional<Bands> bands;
  std::vector<SampleCheck> checks;
  std::vector<std::string> leans_on;  // what was conditioned on what, in sentences
  std::vector<std::string> warnings;
  bool complete = false;
  const Course* find(CourseKind kind) const;
};

struct KeyboardOptions {
  std::vector<int> notes;  // empty: all 88
  bool uncertainty = true;
  bool prior_only = false;  // weights read on the samples are compared, not leaned on
  int threads = 0;          // 0: as many as there are
  // Return false to stop; what is finished is kept.
  std::function<bool(const std::string& doing, double share)> progress;
};

Keyboard study_keyboard(const case_file::CaseDescription& description, const KeyboardCase& input,
                        const KeyboardOptions& options = {});

}  // namespace leverwright::keyboard
