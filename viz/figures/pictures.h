// The pictures of a study. A new one: its file in this folder, with a function that draws it from the study's data
// (none of them, no file), and its name in pictures.cpp.
#pragma once
#include <string>
#include <vector>

#include "viz/study_file/curves.h"

namespace leverwright::figures {

using Files = std::vector<std::string>;

struct Picture {
  const char* name;
  Files (*draw)(const study_file::StudyFigures& study, const std::string& folder);
  bool needs_screen = false;  // OpenGL: drawn by the calling thread
};

const std::vector<Picture>& all_pictures();

// In the order of the list; charts side by side, as a program of its own draws each. What can be drawn is, also
// where another picture fails; the first failure is thrown at the end.
Files draw_pictures(const std::vector<Picture>& pictures, const study_file::StudyFigures& study,
                    const std::string& folder);

}  // namespace leverwright::figures
