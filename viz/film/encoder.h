// Frames handed to the program ffmpeg through a pipe.
#pragma once
#include <string>
#include <vector>

namespace leverwright::film {

// What the program can write; empty lists where it is missing.
struct Encoders {
  bool found = false;
  bool h264 = false, vp9 = false, vp8 = false, theora = false;
};
Encoders find_encoders();

class Encoder {
 public:
  // Starts the program. `path` ends in .mp4 (H.264, yuv420p, index first, so that browsers play it at once)
  // or .webm (VP9 or VP8) or .ogv (Theora). UserError when it is missing or cannot write that kind.
  // `words` stand in the file's comment.
  Encoder(const std::string& path, int width, int height, double rate, const std::string& words = "");
  ~Encoder();  // stops the program when finish() was not called
  Encoder(const Encoder&) = delete;
  Encoder& operator=(const Encoder&) = delete;

  void add(const std::vector<unsigned char>& bgrx);  // one frame, rows from the top
  void finish();                                     // waits for the file; UserError with the program's words

 private:
  void fail();
  int pipe_ = -1;
  int child_ = -1;
  int messages_ = -1;  // file that holds what the program said
};

}  // namespace leverwright::film
