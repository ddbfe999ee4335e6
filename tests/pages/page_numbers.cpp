#include "tests/pages/page_numbers.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <regex>
#include <sstream>
#include <stdexcept>

namespace leverwright::pages {

namespace {

constexpr const char* kBegin = "<!-- numbers: ";
constexpr const char* kEnd = "<!-- numbers end -->";

std::string trimmed(const std::string& text) {
  const auto from = text.find_first_not_of(" \t\n");
  return from == std::string::npos ? "" : text.substr(from, text.find_last_not_of(" \t\n") - from + 1);
}

std::vector<std::string> split(const std::string& text, char at) {
  std::vector<std::string> out;
  std::istringstream in(text);
  for (std::string piece; std::getline(in, piece, at);) out.push_back(piece);
  return out;
}

const Json& follow(const Json& root, const std::string& path) {
  const Json* at = &root;
  for (const std::string& step : split(path.substr(1), '/')) {
    const Json* next = nullptr;
    if (at->is_object() && at->contains(step)) next = &(*at)[step];
    if (at->is_array()) {
      const bool index = !step.empty() && std::all_of(step.begin(), step.end(), [](char c) {
        return std::isdigit(static_cast<unsigned char>(c));
      });
      if (index && std::stoul(step) < at->size()) next = &(*at)[std::stoul(step)];
      for (const Json& entry : *at)
        for (const char* word : {"name", "key", "note", "set_up", "what", "reading", "sought"})
          if (next == nullptr && entry.is_object() && entry.contains(word) && entry[word] == step)
            next = &entry;
    }
    if (next == nullptr) throw std::runtime_error(fmt::format("no \"{}\" on the way {}", step, path));
    at = next;
  }
  return *at;
}

// The entry of a number of a comparison.
const Json& find_number(const Json& set_up, const std::string& key) {
  for (const Json& n : set_up.at("numbers")) {
    const std::string own = n.at("key"), group = n.at("group");
    if (key == own || key == group + "/" + own) return n;
  }
  throw std::runtime_error(
      fmt::format("set-up \"{}\" has no number \"{}\"", set_up.at("name").get<std::string>(), key));
}

const Json& find_in_set_up(const Json& root, const std::string& set_up, const std::string& key) {
  for (const Json& s : root.at("set_ups"))
    if (s.at("name") == set_up) return find_number(s, key);
  throw std::runtime_error("no set-up \"" + set_up + "\"");
}

double number_of(const Json& value, const std::string& what) {
  if (!value.is_number()) throw std::runtime_error(what + " is no number");
  return value.get<double>();
}

double term(const Json& root, const std::string& text) {
  if (text.empty()) throw std::runtime_error("an empty term");
  if (text[0] != '[') return std::stod(text);
  const std::string inside = text.substr(1, text.size() - 2);
  if (inside[0] == '/') return number_of(follow(root, inside), inside);
  const auto colon = inside.find(':');
  if (colon == std::string::npos) throw std::runtime_error("[" + inside + "] is no [SET-UP:KEY]");
  const std::string set_up = inside.substr(0, colon);
  std::string key = inside.substr(colon + 1), part = "value";
  for (const char* p : {".change", ".sigma_of_change", ".sigma"})
    if (const std::string tail = p;
        key.size() > tail.size() && key.compare(key.size() - tail.size(), tail.size(), tail) == 0) {
      part = tail.substr(1);
      key.erase(key.size() - tail.size());
      break;
    }
  if (set_up != "min" && set_up != "max")
    return number_of(find_in_set_up(root, set_up, key).at(part), inside);
  double best = NAN;
  for (const Json& s : root.at("set_ups")) {
    const Json& value = find_number(s, key).at(part);
    if (!value.is_number()) continue;
    const double v = value.get<double>();
    if (std::isnan(best) || (set_up == "min" ? v < best : v > best)) best = v;
  }
  return best;
}

double evaluate(const Json& root, const std::string& text) {
  static const std::regex kToken(R"(\[[^\]]*\]|[-+*/](?=\s)|[-+]?[0-9.]+)");
  double out = NAN;
  char operation = 0;
  for (auto it = std::sregex_iterator(text.begin(), text.end(), kToken); it != std::sregex_iterator(); ++it) {
    const std::string token = it->str();
    if (token.size() == 1 && std::string("+-*/").find(token) != std::string::npos) {
      operation = token[0];
      continue;
    }
    const double value = term(root, token);
    if (std::isnan(out))
      out = value;
    else if (operation == '+')
      out += value;
    else if (operation == '-')
      out -= value;
    else if (operation == '*')
      out *= value;
    else if (operation == '/')
      out /= value;
    else
      throw std::runtime_error("no operation between terms of " + text);
  }
  if (std::isnan(out)) throw std::runtime_error("no number: " + text);
  return out;
}

std::string fixed(double value, int decimals, bool sign) {
  const double unit = std::pow(10.0, -decimals);
  if (std::abs(value) < 0.5 * unit) value = 0;  // never -0.0
  return sign && value != 0 ? fmt::format("{:+.{}f}", value, decimals)
                            : fmt::format("{:.{}f}", value, decimals);
}

std::string fill_one(const Json& root, const std::string& inside) {
  const auto bar = inside.rfind('|');
  if (bar == std::string::npos) throw std::runtime_error("{" + inside + "} has no format");
  const std::string expression = trimmed(inside.substr(0, bar)), format = trimmed(inside.substr(bar + 1));
  if (format == "words") return follow(root, expression.substr(1, expression.size() - 2)).get<std::string>();
  const auto decimals = [](const std::string& f) { return std::stoi(f.substr(f.find('.') + 1)); };
  if (format.rfind("change", 0) == 0) {  // what is kept by the policy has no doubt of its own
    const std::string inner = expression.substr(1, expression.size() - 2);
    const auto colon = inner.find(':');
    const Json& n = find_in_set_up(root, inner.substr(0, colon), inner.substr(colon + 1));
    const std::string change = fixed(number_of(n.at("change"), inner), decimals(format), true);
    return n.at("sigma_of_change").is_number()
               ? change + " +- " + fixed(n.at("sigma_of_change").get<double>(), decimals(format), false)
               : change;
  }
  return fixed(evaluate(root, expression), decimals(format), format[0] == '+');
}

bool holds(const Json& root, const std::string& statement) {
  for (std::string rest = statement; !rest.empty();) {
    const auto joint = rest.find(" and ");
    const std::string one = rest.substr(0, joint);
    rest = joint == std::string::npos ? "" : rest.substr(joint + 5);
    const auto less = one.find('<'), more = one.find('>');
    const auto at = std::min(less, more);
    if (at == std::string::npos) throw std::runtime_error("no < or > in: " + one);
    const double a = evaluate(root, one.substr(0, at)), b = evaluate(root, one.substr(at + 1));
    if (!(less < more ? a < b : a > b)) return false;
  }
  return true;
}

}  // namespace

std::string fill_template(const std::string& text, const Json& answer, std::vector<std::string>& problems) {
  std::string out;
  for (const std::string& line : split(text, '\n')) {
    if (line.rfind("holds: ", 0) == 0) {
      if (!holds(answer, line.substr(7))) problems.push_back("no longer true: " + line.substr(7));
      continue;
    }
    for (std::size_t at = 0; at < line.size();) {
      const auto open = line.find('{', at), close = line.find('}', open);
      if (open == std::string::npos || close == std::string::npos) {
        out += line.substr(at);
        break;
      }
      out += line.substr(at, open - at) + fill_one(answer, line.substr(open + 1, close - open - 1));
      at = close + 1;
    }
    out += '\n';
  }
  return out;
}

std::string renew_page(const std::string& page, const Answer& answer, std::vector<std::string>& problems) {
  std::string out;
  std::size_t at = 0;
  for (;;) {
    const auto begin = page.find(kBegin, at);
    if (begin == std::string::npos) break;
    const auto line_end = page.find('\n', begin), close = page.find("-->\n", begin),
               end = page.find(kEnd, begin);
    if (line_end == std::string::npos || close == std::string::npos || end == std::string::npos ||
        close > end) {
      problems.push_back("a block of numbers that does not end: " + page.substr(begin, 60));
      break;
    }
    const std::string from = kBegin,
                      command = trimmed(page.substr(begin + from.size(), line_end - begin - from.size()));
    const std::size_t shown = close + 4;
    out += page.substr(at, shown - at);
    try {
      out += fill_template(page.substr(line_end + 1, close - line_end - 1), answer(command), problems);
    } catch (const std::exception& e) {
      problems.push_back(command + ": " + e.what());
      out += page.substr(shown, end - shown);
    }
    at = end;
  }
  return out + page.substr(at);
}

std::string renew_expected(const std::string& text, const Json& comparison,
                           std::vector<std::string>& problems) {
  std::vector<std::string> lines = split(text, '\n');
  const auto word = [](const std::string& line) { return trimmed(line.substr(line.find('=') + 1)); };
  const auto plain = [](std::string t) {
    return t.size() > 1 && t[0] == '"' ? t.substr(1, t.size() - 2) : t;
  };
  for (std::size_t from = 0; from < lines.size(); ++from) {
    if (trimmed(lines[from]) != "[[expected]]") continue;
    std::map<std::string, std::string> row;
    std::size_t value_line = 0;
    for (std::size_t k = from + 1; k < lines.size() && lines[k].rfind("[[", 0) != 0; ++k) {
      const auto equals = lines[k].find(" = ");
      if (equals == std::string::npos || lines[k][0] == '#') continue;
      row[lines[k].substr(0, equals)] = plain(word(lines[k]));
      if (lines[k].rfind("value = ", 0) == 0) value_line = k;
    }
    try {
      const auto value_in = [&](const std::string& set_up) {
        for (const Json& s : comparison.at("set_ups")) {
          if (s.at("name") != set_up) continue;
          for (const Json& n : s.at("numbers")) {
            const std::string group = n.at("group"), name = n.at("name");
            if (row["quantity"] == (group.rfind("touch", 0) == 0 ? group + ": " + name : name))
              return number_of(n.at("value"), name);
          }
        }
        throw std::runtime_error("no such number");
      };
      double value = value_in(row["set_up"]);
      if (row.count("against")) value -= value_in(row["against"]);
      const double old = row.count("value") ? std::stod(row["value"]) : NAN;
      const double tolerance = row.count("tolerance") ? std::stod(row["tolerance"]) : 0;
      const double low = row.count("low") ? std::stod(row["low"]) : old - tolerance;
      const double high = row.count("high") ? std::stod(row["high"]) : old + tolerance;
      if (value >= low && value <= high) continue;
      const std::string at =
          fmt::format("line {}: {} of \"{}\" is {:.4g}, said {:g} to {:g}, from {}", from + 1,
                      row["quantity"], row["set_up"], value, low, high, row["from"]);
      if (row["from"] != "own" || value_line == 0) {
        problems.push_back(at);
        continue;
      }
      const int decimals = std::max(0, 1 - static_cast<int>(std::floor(std::log10(tolerance))));
      lines[value_line] = "value = " + fmt::format("{:.{}f}", value, decimals);
    } catch (const std::exception& e) {
      problems.push_back(
          fmt::format("line {}: {} of \"{}\": {}", from + 1, row["quantity"], row["set_up"], e.what()));
    }
  }
  std::string out;
  for (const std::string& line : lines) out += line + "\n";
  return out;
}

}  // namespace leverwright::pages
