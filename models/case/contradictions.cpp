#include "models/case/contradictions.h"

#include <fmt/format.h>

#include <cmath>

#include "models/case/schema.h"

namespace leverwright::case_file {

namespace {

std::string word_of(const Change& c, const char* argument) {
  const auto found = c.choices.find(argument);
  return found == c.choices.end() ? "" : found->second;
}

struct Claim {
  std::string thing;  // what a change decides alone, compared
  std::string words;  // the same for people
};

void claim_if_given(std::vector<Claim>& out, const Change& c, const char* argument, const char* path) {
  if (c.quantities.count(argument) != 0) out.push_back({path, path});
}

std::vector<Claim> claims_of(const Change& c) {
  const std::string& kind = c.kind;
  std::vector<Claim> out;
  if (kind == "part") {
    out.push_back({"part " + word_of(c, "slot"), "which " + word_of(c, "slot") + " is in"});
  } else if (kind == "material") {
    out.push_back({"cloth at " + word_of(c, "place"), "what covers " + word_of(c, "place")});
  } else if (kind == "set value") {
    out.push_back({word_of(c, "key"), word_of(c, "key")});
  } else if (kind == "heel re-covered") {
    out.push_back({"cloth at capstan_heel", "what covers capstan_heel"});
  } else if (kind == "knuckle") {
    claim_if_given(out, c, "hanging_distance", "measured.hanging_distance");
    claim_if_given(out, c, "diameter", "measured.knuckle_diameter");
  } else if (kind == "cap") {
    out.push_back({"capstan.cap", "the cap"});
    claim_if_given(out, c, "dome_radius", "capstan.dome_radius");
    claim_if_given(out, c, "diameter", "capstan.cap_diameter");
    claim_if_given(out, c, "edge_fillet", "capstan.edge_fillet");
    claim_if_given(out, c, "mass", "measured.capstan_mass");
  } else if (kind == "friction") {
    if (!word_of(c, "place").empty()) {
      const std::string path = "contact." + word_of(c, "place") + ".friction";
      out.push_back({path, path});
    }
    for (const char* argument : {"pivot", "bushing"})
      if (!word_of(c, argument).empty())
        out.push_back({"friction." + word_of(c, argument), "friction." + word_of(c, argument)});
  } else if (kind == "hammer weight") {
    out.push_back({"measured.strike_weight", "the strike weight"});
  } else if (kind == "spread shim") {
    out.push_back({"shim " + word_of(c, "rail"), "the shim of the " + word_of(c, "rail")});
  } else if (kind == "balance punching halved" || kind == "balance punching shimmed") {
    if (word_of(c, "under") != "the whole punching") out.push_back({"balance point", "the balance point"});
    if (kind == "balance punching shimmed") out.push_back({"balance height", "the height of the balance"});
  } else if (kind == "capstan moved") {
    out.push_back({"capstan place", "where the capstan's hole is"});
  } else if (kind == "capstan lean") {
    out.push_back({"capstan.lean", "the capstan's lean"});
  } else if (kind == "heel re-glued") {
    out.push_back({"heel place", "where the heel is glued"});
  } else if (kind == "heel bolstered") {
    out.push_back({"bolster", "the bolster"});
  }
  return out;
}

// Of two changes that set different things: why they exclude one another, or nothing.
std::string senseless(const Change& one, const Change& other) {
  if (one.kind == "capstan lean" && word_of(one, "about") == "centre of its dome" && other.kind == "cap" &&
      word_of(other, "shape") == "flat")
    return "a flat cap has no dome to lean about";
  if (one.kind == "lead" && other.kind == "lead" && word_of(one, "action") != word_of(other, "action")) {
    const auto at = [](const Change& c) { return c.quantities.at("distance").value; };
    if (std::abs(at(one) - at(other)) < 5e-3 && word_of(one, "action") != "add")
      return "the lead that one takes away is the one the other puts in or takes elsewhere";
  }
  if (one.kind == "part" && other.kind == "set value" &&
      word_of(other, "key") == "parts." + word_of(one, "slot"))
    return "both name the part";
  if (one.kind == "heel build-up" && word_of(one, "cloth") == "stretched over it" &&
      other.kind == "heel re-covered")
    return "new cloth is laid over the strip, not stretched over it: write cloth = \"laid afresh\"";
  return "";
}

}  // namespace

void find_contradictions(const SetUp& set_up, const FileText& file, ProblemList& problems) {
  const auto& all = set_up.changes;
  for (std::size_t k = 0; k < all.size(); ++k)
    for (std::size_t i = 0; i < k; ++i) {
      std::string why;
      for (const Claim& one : claims_of(all[i]))
        for (const Claim& other : claims_of(all[k]))
          if (why.empty() && one.thing == other.thing) why = "both decide " + one.words;
      if (why.empty()) why = senseless(all[i], all[k]);
      if (why.empty()) why = senseless(all[k], all[i]);
      if (why.empty()) continue;
      problems.add(file, all[k].place.line,
                   fmt::format("\"{}\" here and \"{}\" on line {} contradict one another: {}", all[k].kind,
                               all[i].kind, all[i].place.line, why),
                   "changes that can be carried out together",
                   "keep one of them, or put the other into a set-up of its own");
    }
}

}  // namespace leverwright::case_file
