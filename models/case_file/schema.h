// What a case, part or material file may say: one table row per key, choice, list, slot and contact place;
// kinds of [[set_up.change]] are remedies (models/case_file/remedy.h). The reader, the handbook and the tests all work from these rows; to let files say
// something new, add a row to one of the schema_*.cpp files.
//
//   schema_measured.cpp    [measured], [stated], [friction], [note], [bench]
//   schema_regulation.cpp  [regulation], [screws.*], [touches]
//   schema_targets.cpp     [targets]
//   schema_parts.cpp       part slots and the keys of part files (merged as "<slot>.<key>")
//   schema_options.cpp     [options] and the numbers of the options' parts
//   schema_key_options.cpp those of the key's: balance punching, check wire, damper
//   schema_contacts.cpp    contact places and the keys of material files ("contact.<place>.<key>")
#pragma once
#include <map>
#include <string>
#include <vector>

#include "models/case_file/case_description.h"

namespace leverwright::case_file {

enum class Presence {
  kRequired,  // missing is an error
  kDefault,   // missing takes default_text
  kOptional,  // missing stays missing; ask has() first
};

struct KeySpec {
  std::string path;
  Dimension dimension = Dimension::kNumber;
  Presence presence = Presence::kRequired;
  std::string default_text;   // as a user would write it, e.g. "0.22 (0.15 to 0.3)"
  std::string default_sigma;  // for a value given without "+-": "0.5 mm" or "10 %"; "" means exact
  std::string range;          // everything plausible, "100 to 125 mm"; outside is an error
  std::string description;    // how and where it is measured, in trade words
  std::string source;         // of the default, its range or its uncertainty
};

struct ChoiceSpec {
  std::string path;
  Presence presence = Presence::kRequired;
  std::string default_word;
  std::vector<std::string> words;  // empty: free text
  std::string description;
};

// Which of the quantities must be given depends on a choice (the regulation policies).
struct RequiredWhen {
  std::string choice, word;
  std::vector<std::string> keys;
};

struct PointListSpec {
  std::string path;
  Presence presence = Presence::kRequired;
  Dimension y_dimension = Dimension::kLength;  // x is always a length
  int least_points = 2;
  std::string default_sigma;
  std::string description;  // names the frame
};

struct SlotSpec {  // a line of [parts]
  std::string name;
  Presence presence = Presence::kRequired;
  std::string description;
};

struct PlaceSpec {  // a line of [materials]
  std::string name;
  Presence presence = Presence::kRequired;
  std::string description;  // begins with the contact's number, C1 to C16
  bool weighed = true;      // felt by the slow key, not only by a moving hammer
};

// One argument of a change: a quantity, or a word when words_from says where the words come from.
enum class WordsFrom { kQuantity, kList, kContactPlace, kSlot, kPartId, kMaterialId, kKeyPath, kValueText };

struct ArgumentSpec {
  std::string name;
  char group = ' ';  // ' ' belongs to every use; 'a', 'b', ...: alternatives, exactly one group is used
  Presence presence = Presence::kRequired;
  Dimension dimension = Dimension::kLength;
  WordsFrom words_from = WordsFrom::kQuantity;
  std::vector<std::string> words;
  std::string default_text;
  std::string default_sigma;
  std::string range;
  std::string description;
};

// What the work costs. Hours are for all 88 notes by one person; common practice, no source: a class, no
// quotation.
struct Labour {
  std::string per;  // "note": the work is done 88 times; "set": once for the whole action
  double hours_low = 0, hours_high = 0;
};

// What the reader, the handbook, the comparison and a work order know of a remedy before it is chosen.
struct RemedyRow {
  std::string kind;
  // The changes of one set-up are carried out by rising order, however the case lists them: new parts and
  // cloths first, then what is done to them, the strip under the cloth last. No two remedies share one.
  int order = 0;
  std::string description;
  std::string alters;                     // the physical thing that is another afterwards
  std::vector<std::string> side_effects;  // what changes with it, all of it carried out by the model
  std::string reversible;                 // "yes", "partly", "no"
  int undone = 0;                         // kUndoneInMinutes to kNotReversible
  Labour labour;
  std::string worry;                 // what usually goes wrong with it
  std::vector<std::string> hazards;  // names of cautions it brings: "drilling", "key leads", ...
  std::vector<ArgumentSpec> arguments;
  bool friction_only = false;   // eases friction and alters nothing else; its amounts are not below zero
  bool bought_amounts = false;  // its amounts are those of a part as bought: their scatter is not the hand's
};

// How a change can be taken back (RemedyRow::undone); the numbers are those of the judgement. In minutes: what
// a hand puts back at the bench; with work or parts: what takes the stack off again, new cloth, glue or money;
// not reversible: what is drilled, cut, filed or bent.
inline constexpr int kUndoneInMinutes = 1, kUndoneWithWork = 2, kNotReversible = 3;

// "2 to 8 h for 88 notes, note by note".
std::string labour_words(const Labour& labour);

struct Schema {
  std::map<std::string, KeySpec> keys;
  std::map<std::string, ChoiceSpec> choices;
  std::map<std::string, PointListSpec> point_lists;
  std::vector<RequiredWhen> required_when;
  std::vector<SlotSpec> slots;
  std::vector<PlaceSpec> places;

  const KeySpec* find_key(const std::string& path) const;
  const ChoiceSpec* find_choice(const std::string& path) const;
  const PointListSpec* find_point_list(const std::string& path) const;
  bool has_slot(const std::string& name) const;
  bool has_place(const std::string& name) const;
  // True when some key lies below this section ("screws", "screws.capstan", "contact").
  bool has_section(const std::string& path) const;
  // Every path a file may write, sections not included.
  std::vector<std::string> all_paths() const;
};

// The one schema of this build. Rows are checked against each other when it is first asked for.
const Schema& schema();

// The tables, one function per file.
std::vector<KeySpec> measured_keys();
std::vector<ChoiceSpec> measured_choices();
std::vector<KeySpec> regulation_keys();
std::vector<ChoiceSpec> regulation_choices();
std::vector<RequiredWhen> regulation_required_when();
std::vector<KeySpec> target_keys();
std::vector<SlotSpec> part_slots();
std::vector<KeySpec> part_keys();
std::vector<ChoiceSpec> part_choices();
std::vector<PointListSpec> part_point_lists();
std::vector<KeySpec> option_keys();
std::vector<ChoiceSpec> option_choices();
std::vector<KeySpec> key_option_keys();
std::vector<ChoiceSpec> key_option_choices();
std::vector<PlaceSpec> contact_places();
// Rows with "*" for the place are meant for every place; a row that names its place goes before them.
std::vector<KeySpec> contact_keys();
std::vector<PointListSpec> contact_point_lists();
// Mass and distance of a [[lead]].
std::vector<ArgumentSpec> lead_arguments();

}  // namespace leverwright::case_file
