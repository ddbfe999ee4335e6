// A remedy: one kind of [[set_up.change]], all of it in one object. Each is one file of models/remedies; the
// reader gets the list of them handed in and knows none by name. To add one, write such a file and put its
// name into models/remedies/all.h.
//
// What a remedy is asked, in the order in which it happens:
//
//   row              what it is called, its arguments, what is to be known before it is chosen
//   read_rest        what reading its arguments needs beyond the row (values of a part file)
//   claims, excludes which other changes of a set-up it cannot stand beside
//   replace_values   values of the case it puts others in place of
//   alter            what it does to geometry, masses and loads, with its derivation
//   hand             the whole in one line for the hand
//   fill             marks, steps and tools of the work order
//
// ActionDesign, Hand and Work are names here; who makes them hands them through.
#pragma once
#include <string>
#include <vector>

#include "models/case_file/case_description.h"
#include "models/case_file/document.h"
#include "models/case_file/schema.h"

namespace leverwright::action {
struct ActionDesign;
}
namespace leverwright::remedies {
struct Hand;
struct Work;
}  // namespace leverwright::remedies

namespace leverwright::case_file {

struct ChangeReader {  // what reading a change needs to know
  const FileText& file;
  const std::string& models_directory;
  ProblemList& problems;
};

struct Claim {
  std::string thing;  // what a change decides alone; two changes with one thing contradict one another
  std::string words;  // the same for people: "where the heel is glued"
};

class Remedy {
 public:
  explicit Remedy(RemedyRow its_row) : row(std::move(its_row)) {}
  virtual ~Remedy() = default;
  Remedy(const Remedy&) = delete;
  Remedy& operator=(const Remedy&) = delete;

  const RemedyRow row;

  virtual void read_rest(const ChangeReader&, const Node&, Change&) const {}
  virtual std::vector<Claim> claims(const Change&) const { return {}; }
  // Of another change that decides other things: why it makes no sense beside this one, or nothing.
  virtual std::string excludes(const Change&, const Change&) const { return ""; }
  // Throws base::UserError when what is to be replaced is not there.
  virtual void replace_values(CaseDescription&, const Change&) const {}
  // A pure step on the design's numbers, with its side effects. An argument with a documented default that
  // is not there counts as nothing done (no mass, no tilt).
  virtual void alter(const Change&, action::ActionDesign&) const {}
  // How a change as written can be taken back: kUndoneInMinutes to kNotReversible.
  virtual int undone(const Change&) const { return row.undone; }
  // One of its amounts for people: "capstan moved: distance"; of a part or cloth, what of it.
  virtual std::string name_of(const Change&, const std::string& amount) const;
  // Whether a hand works to this amount; nobody cuts to an estimate.
  virtual bool is_set_by_hand(const Quantity& amount) const {
    return amount.knowledge != Knowledge::kEstimate;
  }
  virtual std::string hand(const remedies::Hand&) const = 0;
  virtual void fill(remedies::Work&) const = 0;
};

// Every kind of change a case may name.
using RemedyList = std::vector<const Remedy*>;

const Remedy* find_remedy(const RemedyList& list, const std::string& kind);

// The changes of a set-up in the order in which they are carried out (RemedyRow::order), however the case
// lists them; of one kind as listed. Indices into set_up.changes.
std::vector<std::size_t> in_order(const SetUp& set_up);

// How a set-up can be taken back: as its worst change.
int undone_class(const SetUp& set_up);
// All its changes do, and there is one.
bool eases_friction_only(const SetUp& set_up);

// Adds one problem for each two changes of the set-up that cannot both be carried out: both decide the same
// thing (one hole cannot be drilled in two places), or one leaves the other without sense. It names both and
// their lines. Everything else combines.
void find_contradictions(const SetUp& set_up, const FileText& file, ProblemList& problems);

}  // namespace leverwright::case_file
