// What every uncertain input does to a note's measures: worked out on four anchor notes (two naturals, two
// sharps, a ninth of the keyboard from its ends) by moving it one standard deviation, and interpolated
// straight over the note numbers, naturals and sharps apart. On a note it counts as often as that note's own
// standard deviation of the input holds the anchor's.
//
// Drags that differ from note to note. Two knuckles cut from one skin do not rub alike, nor do two bushings:
// each friction v_g of a note stands at v_g (1 + tau e_g), e_g ~ N(0, 1) of its own on every note, so that
//
//   Cov(measures) += tau^2 S(n),   S(n) = sum_g c_g c_g^T,   c_g = sum_i in g  v_i d(measures) / d v_i
//
// Jack and lever rub on the same leather: they are one g. Frictions read on the sample notes themselves are
// left out of S, as carrying them (carry.h) has their scatter already.
#pragma once
#include <optional>
#include <vector>

#include "models/keyboard/keyboard.h"
#include "models/keyboard/work.h"
#include "models/study/inputs.h"

namespace leverwright::keyboard {

class Effects {
 public:
  // `values`: the case that says what stands where, the base's own or with its shared values moved. Empty when
  // stopped before it was whole.
  static std::optional<Effects> find(const case_file::CaseDescription& values, const Keyboard& keyboard,
                                     Work& work);
  // The same rates on another sheet of the same columns.
  Effects on(const case_file::CaseDescription& values, const Keyboard& keyboard) const;
  // How many evaluations find() takes.
  static int jobs(const case_file::CaseDescription& values, const Keyboard& keyboard);

  const std::vector<study::Input>& inputs() const { return inputs_; }
  bool is_carried(std::size_t input) const { return carried_[input]; }
  // Change of every measure per standard deviation of the input on this note.
  study::Measures of(std::size_t input, int note) const;
  // The c_g: change of every measure when all drags of one kind are as much again.
  std::vector<study::Measures> drags(int note) const;

 private:
  void read_sheet(const case_file::CaseDescription& values, const Keyboard& keyboard);
  std::vector<study::Input> inputs_;
  std::vector<bool> carried_;
  std::vector<int> kind_;                   // of drag, by input; -1: none
  std::vector<std::vector<double>> sigma_;  // by note - 1 and input
  std::vector<std::vector<double>> value_;  // by note - 1 and input; 0 where it has none
  std::vector<study::Measures> rate_;       // by anchor and input: change per SI unit
  int kinds_ = 0;
};

}  // namespace leverwright::keyboard
