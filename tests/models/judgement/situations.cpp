#include "tests/models/judgement/situations.h"

#include <fstream>
#include <sstream>
#include <stdexcept>

#include "models/judgement/usual.h"

namespace leverwright::judgement_test {

using namespace judgement;

namespace {

struct Amount {
  double value = 0, sigma = 0;
};

std::string trimmed(const std::string& text) {
  const auto from = text.find_first_not_of(' ');
  if (from == std::string::npos) return "";
  return text.substr(from, text.find_last_not_of(' ') - from + 1);
}

std::vector<std::string> split(const std::string& text, char at) {
  std::vector<std::string> out;
  std::istringstream in(text);
  for (std::string part; std::getline(in, part, at);) out.push_back(trimmed(part));
  return out;
}

// "friction -5 +- 1" -> {"friction", {-5, 1}}
std::pair<std::string, Amount> read_amount(const std::string& text) {
  const auto blank = text.find_last_of("abcdefghijklmnopqrstuvwxyz") + 1;
  const auto sign = text.find("+-");
  Amount a;
  a.value = std::stod(text.substr(blank));
  if (sign != std::string::npos) a.sigma = std::stod(text.substr(sign + 2));
  return {trimmed(text.substr(0, blank)), a};
}

std::map<std::string, Amount> read_amounts(const std::string& text) {
  std::map<std::string, Amount> out;
  for (const auto& part : split(text, ',')) out.insert(read_amount(part));
  return out;
}

const char* key_of(const std::string& word) {
  static const std::map<std::string, const char*> keys = {
      {"down", "down_weight"},      {"up", "up_weight"},     {"dip", "dip"},
      {"aftertouch", "aftertouch"}, {"let-off", "let_off"},  {"blow", "blow"},
      {"cap", "cap_margin"},        {"face", "face_margin"}, {"balance", "balance_weight"},
      {"friction", "friction"}};
  return keys.at(word);
}

class Reader {
 public:
  std::vector<Situation> read(const std::string& path) {
    std::ifstream in(path);
    if (!in) throw std::runtime_error("cannot open " + path);
    for (std::string line; std::getline(in, line);) {
      ++number_;
      if (trimmed(line).empty() || line[0] == '#') continue;
      try {
        take(line);
      } catch (const std::exception&) {
        throw std::runtime_error(path + ", line " + std::to_string(number_) + ": " + line);
      }
    }
    for (Situation& s : all_) derive_targets(s.question.measures);
    return all_;
  }

 private:
  Situation& now() { return all_.back(); }
  Note& note() { return now().question.notes.back(); }
  std::size_t place(const std::string& key) {
    const auto& measures = now().question.measures;
    for (std::size_t k = 0; k < measures.size(); ++k)
      if (measures[k].key == key) return k;
    throw std::runtime_error(key);
  }
  std::size_t new_doubt(const std::string& name) {
    now().question.doubts.push_back(name);
    return now().question.doubts.size() - 1;
  }
  static void put(Doubtful& x, std::size_t doubt, double per) {
    if (x.per_doubt.size() <= doubt) x.per_doubt.resize(doubt + 1, 0.0);
    x.per_doubt[doubt] += per;
  }

  void take(const std::string& line) {
    if (line == "margin asked") {
      now().question.margin_asked = true;
      return;
    }
    const auto colon = line.find(':');
    const std::string head = line.substr(0, colon), rest = trimmed(line.substr(colon + 1));
    if (head == "situation") {
      all_.emplace_back();
      now().name = rest;
      now().question.measures = usual_measures();
    } else if (head == "why") {
      now().why = rest;
    } else if (head == "worst") {
      now().worst = rest;
    } else if (head == "targets") {
      for (const auto& [word, a] : read_amounts(rest))
        set_target(now().question.measures, key_of(word), a.value);
    } else if (head == "invented") {
      now().question.invented_values = std::stoi(rest);
    } else if (head == "note") {
      const auto words = split(rest, ' ');
      start_note(words.at(0), words.at(1) == "sharp");
    } else if (head == "base fails") {
      note().fails = rest;
    } else if (head == "base") {
      take_base(read_amounts(rest));
    } else if (head == "move") {
      if (note().base.empty()) take_base({});
      take_move(split(rest, ';'));
    } else if (head == "word") {
      const auto equal = rest.find('='), comma = rest.find(',');
      now().words.push_back({trimmed(rest.substr(0, comma)),
                             trimmed(rest.substr(comma + 1, equal - comma - 1)),
                             trimmed(rest.substr(equal + 1))});
    } else if (head.rfind("answer", 0) == 0) {
      now().answers[trimmed(head.substr(6))] = rest;
    } else {
      throw std::runtime_error(head);
    }
  }

  void start_note(const std::string& name, bool sharp) {
    now().question.notes.emplace_back();
    note().name = name;
    note().sharp = sharp;
  }

  void take_base(std::map<std::string, Amount> given) {
    if (now().question.notes.empty() || !note().base.empty()) start_note("", false);
    const std::map<std::string, Amount> usual = {
        {"down", {50, 1.5}}, {"up", {25, 1.5}},        {"dip", {10, 0}}, {"blow", {46, 0}},
        {"let-off", {2, 0}}, {"aftertouch", {1.2, 0}}, {"cap", {2, 0}},  {"face", {2, 0}}};
    note().base.assign(now().question.measures.size(), {});
    for (const auto& [word, a] : usual) {
      Amount x = given.count(word) ? given[word] : a;
      if (given.count(word) && x.sigma == 0) x.sigma = a.sigma;
      Doubtful& base = note().base[place(key_of(word))];
      base.value = x.value;
      if (x.sigma > 0) put(base, new_doubt("reading of " + word), x.sigma);
    }
    const Doubtful down = note().base[place("down_weight")], up = note().base[place("up_weight")];
    note().base[place("balance_weight")] = mix(down, up, 0.5);
    note().base[place("friction")] = mix(down, up, -0.5);
  }

  // down / 2 + share * up
  static Doubtful mix(const Doubtful& down, const Doubtful& up, double share) {
    Doubtful out;
    out.value = 0.5 * down.value + share * up.value;
    for (std::size_t i = 0; i < down.per_doubt.size(); ++i) put(out, i, 0.5 * down.per_doubt[i]);
    for (std::size_t i = 0; i < up.per_doubt.size(); ++i) put(out, i, share * up.per_doubt[i]);
    return out;
  }

  void take_move(const std::vector<std::string>& parts) {
    Move m;
    m.name = parts.at(0);
    m.change.assign(now().question.measures.size(), Doubtful{0, {}});
    const std::size_t known = now().question.doubts.size();
    bool ungauged = false;
    for (std::size_t k = 1; k < parts.size(); ++k) {
      const std::string& part = parts[k];
      const auto after = [&](const char* word) { return trimmed(part.substr(std::string(word).size())); };
      const auto begins = [&](const char* word) { return part.rfind(word, 0) == 0; };
      if (begins("class"))
        m.undone = std::stoi(after("class"));
      else if (part == "friction")
        m.friction_only = true;
      else if (begins("hours"))
        m.hours = std::stod(after("hours"));
      else if (begins("invented"))
        m.invented_share = std::stod(after("invented"));
      else if (begins("fails"))
        m.fails = after("fails");
      else if (part == "ungauged")
        ungauged = true;
      else if (begins("unset"))
        m.unset = after("unset");
      else if (begins("limit"))
        m.over_limit = after("limit");
      else
        take_changes(read_amounts(part), m);
    }
    for (std::size_t i = known; ungauged && i < now().question.doubts.size(); ++i) {
      now().question.ungauged.resize(i + 1, false);
      now().question.ungauged[i] = true;
    }
    note().moves.push_back(m);
  }

  void take_changes(const std::map<std::string, Amount>& amounts, Move& m) {
    for (const auto& [word, a] : amounts) {
      const std::size_t k = place(key_of(word));
      if (word == "cap" || word == "face") {
        m.change[k].value = a.value - note().base[k].value;
        continue;
      }
      const std::size_t doubt = new_doubt(m.name + ": " + word);
      const auto add = [&](const char* key, double sign) {
        Doubtful& x = m.change[place(key)];
        x.value += sign * a.value;
        put(x, doubt, sign * a.sigma);
      };
      add(key_of(word), 1);
      if (word == "balance" || word == "friction") {
        add("down_weight", 1);
        add("up_weight", word == "balance" ? 1 : -1);
      }
    }
  }

  std::vector<Situation> all_;
  int number_ = 0;
};

}  // namespace

std::vector<Situation> read_situations(const std::string& path) { return Reader().read(path); }

std::string answer_of(const Question& q, const Advice& advice) {
  std::string out;
  for (const Stage& s : advice.stages) {
    if (!out.empty()) out += " then ";
    out += s.decision == Decision::kNothing        ? "nothing"
           : s.decision == Decision::kMeasureFirst ? "measure first"
           : s.decision == Decision::kSetTarget
               ? "set a target"
               : "do " + q.notes.front().moves[static_cast<std::size_t>(s.move)].name;
  }
  return out;
}

}  // namespace leverwright::judgement_test
