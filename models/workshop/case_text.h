// The text of a case or part file as lines that values are put into; all else stays as it was, remarks and order too.
#pragma once
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "models/workshop/filled_sheet.h"

namespace leverwright::workshop {

class CaseText {
 public:
  explicit CaseText(const std::string& text);
  // The line that says `leaf` of `section` ("" is the top), else a new one at the section's end, else a new section.
  void put(const std::string& section, const std::string& leaf, const std::string& value);
  // Takes out every block under this heading ("[[lead]]").
  void remove(const std::string& heading);
  void append(const std::vector<std::string>& block);
  // Lines put before the first block of this kind of heading, or at the end.
  void insert_before(const std::string& heading, const std::vector<std::string>& block);
  std::string text() const;

 private:
  std::pair<std::size_t, std::size_t> find_section(const std::string& heading) const;
  bool replace(const std::string& section, const std::string& leaf, const std::string& value);

  std::vector<std::string> lines_;
};

// The heel's trace under this section ("wippen.heel_profile"), where `find` has a point of it; in place of the one that
// is there.
void put_trace_block(CaseText& text, const std::string& section,
                     const std::function<const Cell*(const SheetLine&)>& find);

}  // namespace leverwright::workshop
