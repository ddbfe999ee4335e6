// The program's version inside a finished picture, so that a figure says by itself what drew it: the text chunk
// "Software" of a PNG (before its data; RFC 2083, 4.2.7), a comment of an SVG. A drawing's PDF has it
// as its creator (viz/paper), a film as its comment (viz/film); a chart's PDF names gnuplot.
#pragma once
#include <string>

namespace leverwright::scene {

// `path` ends in .png or .svg, or nothing is done. A file that is not what its name says stays as it is.
void stamp_version(const std::string& path);

}  // namespace leverwright::scene
