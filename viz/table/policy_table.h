// The three regulation policies side by side: which of dip, blow and aftertouch gives way, and by how much.
#pragma once
#include <array>
#include <string>
#include <vector>

#include "models/action/weigh.h"
#include "viz/table/document.h"

namespace leverwright::table {

struct PolicyResult {
  std::string policy;
  action::Regulated regulated;
  action::QuietLetOff frictionless;  // of the same screws; `regulated` is what a slow finger finds
  bool weighed = false;
  double down_weight = 0, up_weight = 0, distance_ratio = 0;  // N, N, 1
  std::array<double, action::kScrewCount> moved{};  // settings against the base under the case's own policy
  std::array<double, action::kScrewCount> pitch{};
};

struct PolicySetUp {
  std::string name;
  std::vector<PolicyResult> results;
};

// What results from each policy, and as details the screws. `borrowed`: what a policy needed and the case did
// not give, in words.
Document policies_document(const std::vector<PolicySetUp>& set_ups, const std::string& base_name,
                           const std::string& own_policy, const std::vector<std::string>& borrowed);

}  // namespace leverwright::table
