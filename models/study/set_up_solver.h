// One set-up regulated, weighed and played: the only place where a study does so, whatever the study asks.
//
// All set-ups of one piano share where the base's key rests: `Ground`. Then, for a set-up,
//   design        its numbers, at the base's key level
//   regulate      at rest and on the slow path (action/regulate.h); a repetition spring too soft to carry the
//                 hammer is made stronger first
//   by playing    back check and repetition spring (action/regulate_dynamic.h), where asked
//   weigh         the whole stroke, or as far as the window of the down weight (action/weigh.h)
//   play          the touches asked for (touches.h)
// Nothing but the case, the ground and the options enters, so the order in which set-ups are solved, and the
// number of threads, change no bit.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "models/study/set_up_result.h"

namespace leverwright::study {

inline constexpr double kQuickStep = 0.2e-3;  // of dip, where hundreds are weighed for their differences [m]

// Told what is being done and the share of this set-up's work that is behind.
using Tell = std::function<void(const std::string& doing, double share)>;

struct SolveOptions {
  action::ScrewSettings start{};              // back check and spring, where not set by playing
  std::string policy;                         // of regulation; "": the case's
  const action::Regulated* known = nullptr;   // a regulation to be taken over as it is
  bool by_playing = false;                    // back check and spring by playing, else as in `start`
  bool whole_stroke = true;                   // false: without let-off and bench notes
  double step = action::WeighOptions().step;  // of dip, for the weighing [m]
  std::vector<std::string> touches;           // names of known_touches(); played when it could be weighed
  Tell tell;
};
// At kQuickStep, without let-off resistance and lever product. Whoever takes differences takes both sides so.
SolveOptions quick_options(const action::ScrewSettings& start = {});

// What all set-ups of one piano share.
struct Ground {
  action::KeyLevel level;  // back-rail cloth and balance punching at which the base's key rests as measured
  action::Regulated base;  // the base regulated there
};
// Regulates the base and levels its key. Where the base cannot be regulated, its failures are in `base`.
Ground find_ground(const case_file::CaseDescription& description);

class SetUpSolver {
 public:
  SetUpSolver() = default;
  // Throws base::UserError when the case has no set-up.
  explicit SetUpSolver(const case_file::CaseDescription& description);

  const Ground& ground() const { return ground_; }
  const action::ScrewSettings& base_screws() const { return ground_.base.screws; }
  // base::UserError, with the reason and the line of the base, when the base could not be regulated.
  void require_base(const case_file::CaseDescription& description) const;

  // `description` is the case this solver was made from, or that case with values moved: the key level stays.
  // Throws base::UserError where measurements do not fit together, base::Unstable where statics do not hold.
  SetUpResult solve(const case_file::CaseDescription& description, const case_file::SetUp& set_up,
                    const SolveOptions& options) const;
  // The same, but what would be thrown is the result's `misfit`.
  SetUpResult try_solve(const case_file::CaseDescription& description, const case_file::SetUp& set_up,
                        const SolveOptions& options) const;
  // Measures alone, quickly; all NaN, and the reason in a few words, where the set-up does not let off or
  // cannot be weighed (dip, blow and aftertouch are there when only the weighing fails).
  Measures measure(const case_file::CaseDescription& description, std::size_t set_up,
                   const action::ScrewSettings& start, std::string* why_not = nullptr) const;

 private:
  Ground ground_;
};

// The steps, for who has a design of his own in `result`.
void regulate_afresh(SetUpResult& result, const SolveOptions& options);
void set_by_playing(SetUpResult& result, const Tell& tell = {});  // after regulate_afresh
void weigh_as_set(SetUpResult& result, const SolveOptions& options);

// Why there is no answer, "" when there is one. The first is a few words that are the same for the same
// reason (they are counted), and lets pass what was weighed though not regulated to the specification.
std::string why_not_weighed(const SetUpResult& result);
std::string why_no_answer(const SetUpResult& result);

}  // namespace leverwright::study
