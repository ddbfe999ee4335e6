#include "viz/study_file/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/case_file/document.h"

namespace leverwright::study_file {
namespace {

// What stands at the head of the case's text, read as any case is; a text that cannot be read has none.
struct Head {
  std::string title, question;
  bool invented = false;
};
Head read_head(const std::string& path, const std::string& text) {
  Head out;
  case_file::FileText file{path, text, {}};
  case_file::Node root;
  case_file::ProblemList ignored;
  if (!case_file::parse_document("case file", file, root, ignored)) return out;
  const auto words = [&](const char* key) {
    const case_file::Node* node = root.find(key);
    return node != nullptr && node->kind == case_file::Node::Kind::kText ? node->text : std::string();
  };
  out.title = words("title");
  out.question = words("question");
  const case_file::Node* invented = root.find("invented");
  out.invented = invented != nullptr && invented->truth;
  return out;
}

const std::vector<std::string>& shown_measures() {
  static const std::vector<std::string> kNames{"down weight", "up weight", "balance weight", "friction",
                                               "dip",         "blow",      "aftertouch",     "key ratio"};
  return kNames;
}

std::string number(double v) {
  return std::isfinite(v) ? fmt::format("{:.{}f}", v, std::abs(v) < 10 ? 2 : 1) : "-";
}

}  // namespace

Content read_words(const StoredStudy& study) {
  study.need_finished("to report");
  const store::StudyReader& in = study.in();
  Content out;
  const store::StudyHeader header = in.header();
  out.version = header.software_version;
  out.case_path = header.case_path;
  const Head head = read_head(header.case_path, header.case_text);
  out.title = head.title;
  out.question = head.question;
  out.invented = head.invented;
  out.created = in.has_attribute("/", "created") ? in.text_attribute("/", "created") : "";
  out.status = in.status();
  if (!in.reason().empty()) out.status += ": " + in.reason();
  if (out.title.empty()) out.title = "A study of a piano action";
  out.rests_on = study.strings("/rests_on");
  out.failed = study.failed();
  for (const SetUp& e : study.set_ups()) {
    if (out.set_ups.empty())
      for (const std::string& name : shown_measures())
        if (const store::Number* n = e.find_number(name))
          out.measures.push_back({name, n->display_unit == "1" ? "" : n->display_unit});
    SetUpWords s;
    s.name = e.name;
    s.verdict = study.text(e.at, "verdict");
    s.undone = e.undone;
    for (const Measure& m : out.measures) {
      const store::Number* n = e.find_number(m.name);
      Cell cell{"-", "", "", ""};
      if (n) {
        const double factor = n->display_factor();
        cell.value = number(n->displayed());
        if (!out.set_ups.empty() && std::isfinite(n->change_against_base)) {
          const double change = factor * n->change_against_base, sigma = factor * n->sigma_of_change;
          const int digits = std::isfinite(sigma) ? (sigma < 0.1 ? 2 : 1) : std::abs(change) < 1 ? 2 : 1;
          if (std::abs(change) < 0.005 && !(sigma >= 0.005)) {
            cell.change = "kept";
          } else {
            cell.change = fmt::format("{:+.{}f}", change, digits);
            if (cell.change.find_first_not_of("+-0.") == std::string::npos) cell.change.erase(0, 1);
            if (std::isfinite(sigma)) cell.sigma = fmt::format("{:.{}f}", sigma, digits);
          }
        }
        cell.verdict = out.set_ups.empty() ? "" : n->verdict;
      }
      s.cells.push_back(std::move(cell));
    }
    s.warnings = study.strings(e.at + "/warnings");
    if (in.has(e.at + "/screws")) {
      const store::Table screws = in.read_table(e.at + "/screws");
      const store::Column *names = screws.find("name"), *turns = screws.find("turns_against_base"),
                          *way = screws.find("direction");
      for (size_t k = 0; names != nullptr && turns != nullptr && way != nullptr && k < screws.rows(); ++k)
        if (std::isfinite(turns->numbers[k]) && std::abs(turns->numbers[k]) >= 0.005)
          s.screws.push_back(fmt::format("{}: {:.2f} turns {}", names->texts[k], std::abs(turns->numbers[k]),
                                         way->texts[k]));
    }
    out.set_ups.push_back(std::move(s));
  }
  out.answer = study.strings("/answer");
  out.advised = study.strings("/advised");
  if (out.answer.empty())
    out.answer.push_back(out.set_ups.size() < 2
                             ? "Only one set-up was looked at, so there is nothing to compare yet."
                             : "The study holds no judgement, so nothing is recommended.");
  return out;
}

}  // namespace leverwright::study_file
