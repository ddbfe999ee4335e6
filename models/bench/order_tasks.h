// The steps and marks of each kind of change; shared by the pieces of the work order, not for callers.
#pragma once
#include <string>
#include <vector>

#include "models/bench/order.h"

namespace leverwright::bench {

// What a change's words are made from.
class TaskMaker {
 public:
  TaskMaker(const case_file::Change& change, std::size_t index, const study::SetUpResult& before,
            const study::SetUpResult& after, const std::vector<Tolerance>& tolerances, OrderTask& to,
            const case_file::Quantity* capstan_hole)
      : c(change),
        base_result(before),
        result(after),
        base(before.design),
        changed(after.design),
        task(to),
        hole(capstan_hole),
        index_(index),
        tolerances_(tolerances) {}

  bool has(const char* name) const { return c.quantities.count(name) != 0; }
  double value(const char* name) const { return has(name) ? c.quantities.at(name).value : 0; }
  std::string word(const char* name) const;
  // "hammer_centre" -> "hammer centre"
  std::string plain(const char* name) const;
  // The direction as the case gives it, or the other one where a sought amount came out negative.
  std::string way(const char* amount) const;

  void step(const std::string& words) { task.steps.push_back(words); }
  // A step that cannot be taken back.
  void cut(const std::string& words) {
    task.no_way_back.push_back(task.steps.size());
    step(words);
  }
  void tool(const std::string& words) { task.tools.push_back(words); }
  // A mark in `unit`, the amount in SI. `argument`: the amount its tolerance is that of; "" none.
  void mark(const std::string& what, double amount_si, const std::string& unit, int decimals,
            const std::string& from, const std::string& argument = "");
  void mm(const std::string& what, double metres, const std::string& from, const std::string& argument = "",
          int decimals = 1) {
    mark(what, metres, "mm", decimals, from, argument);
  }
  const Tolerance* find(const std::string& argument) const;

  const case_file::Change& c;
  const study::SetUpResult &base_result, &result;
  const action::ActionDesign &base, &changed;
  OrderTask& task;
  const case_file::Quantity* hole;  // diameter of the capstan's hole; nullptr where the case does not say

 private:
  std::size_t index_;
  const std::vector<Tolerance>& tolerances_;
};

// Fills steps, marks and tools of one change; a kind without its own words gets those of "set value".
void fill_task(TaskMaker& maker);

// Middle of the capstan's hole where it enters the key's top, from the balance hole, positive toward the
// strings, m.
double hole_place(const action::ActionDesign& design);
// Height of the heel's surface below the wippen centre in the middle of the lifting face, m.
double face_depth(const action::ActionDesign& design);

}  // namespace leverwright::bench
