#include "viz/film/encoder.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <sstream>
#include <utility>

#include "sim/base/error.h"
#include "sim/base/version.h"
#include "sim/base/words.h"
#include "viz/film/film.h"
#include "viz/scene/output_file.h"

extern char** environ;

namespace leverwright::film {
namespace {

std::string program() {
  const char* own = std::getenv("LEVERWRIGHT_FFMPEG");
  return own != nullptr && *own != '\0' ? own : "ffmpeg";
}

const char* const kAdvice =
    "install the package ffmpeg, or set LEVERWRIGHT_FFMPEG to the program, or write pictures with --frames";

// Starts the program; `input`, `out`, `errors`: file descriptors, or -1 for none. The child's number, or -1.
int start(const std::vector<std::string>& arguments, int input, int out, int errors) {
  std::vector<std::string> words = arguments;
  std::vector<char*> list;
  for (std::string& w : words) list.push_back(w.data());
  list.push_back(nullptr);
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  if (input >= 0)
    posix_spawn_file_actions_adddup2(&actions, input, 0);
  else
    posix_spawn_file_actions_addopen(&actions, 0, "/dev/null", O_RDONLY, 0);
  const std::pair<int, int> written[] = {{1, out}, {2, errors}};
  for (const auto& [at, file] : written)
    if (file >= 0)
      posix_spawn_file_actions_adddup2(&actions, file, at);
    else
      posix_spawn_file_actions_addopen(&actions, at, "/dev/null", O_WRONLY, 0);
  // A group of its own: Ctrl-C is for this program, which ends the film in order.
  posix_spawnattr_t attributes;
  posix_spawnattr_init(&attributes);
  posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETPGROUP);
  posix_spawnattr_setpgroup(&attributes, 0);
  pid_t child = 0;
  const int failed = posix_spawnp(&child, list[0], &actions, &attributes, list.data(), environ);
  posix_spawnattr_destroy(&attributes);
  posix_spawn_file_actions_destroy(&actions);
  return failed == 0 ? child : -1;
}

int wait_for(int child) {
  int status = 0;
  while (waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  return WIFEXITED(status) ? WEXITSTATUS(status) : 128;
}

}  // namespace

Encoders find_encoders() {
  Encoders out;
  const int file = scene::unnamed_file();
  const int child = start({program(), "-hide_banner", "-encoders"}, -1, file, -1);
  if (child > 0 && wait_for(child) == 0) {
    const std::string text = scene::read_back(file);
    out.found = true;
    out.h264 = text.find(" libx264 ") != std::string::npos;
    out.vp9 = text.find(" libvpx-vp9 ") != std::string::npos;
    out.vp8 = text.find(" libvpx ") != std::string::npos;
    out.theora = text.find(" libtheora ") != std::string::npos;
  }
  close(file);
  return out;
}

std::string find_film_kind() {
  const Encoders e = find_encoders();
  if (!e.found)
    throw base::UserError(fmt::format("films need the program {}, which could not be run", program()),
                          kAdvice);
  if (e.h264) return ".mp4";
  if (e.vp9 || e.vp8) return ".webm";
  if (e.theora) return ".ogv";
  throw base::UserError(program() + " has no encoder for films that browsers play", kAdvice);
}

std::string find_film_path(const std::string& path) {
  const std::string kind = find_film_kind();
  const Encoders e = find_encoders();
  const bool can = base::ends_with(path, ".mp4")    ? e.h264
                   : base::ends_with(path, ".webm") ? e.vp9 || e.vp8
                   : base::ends_with(path, ".ogv")  ? e.theora
                                                    : true;
  return can ? path : path.substr(0, path.rfind('.')) + kind;
}

Encoder::Encoder(const std::string& path, int width, int height, double rate, const std::string& words) {
  const Encoders e = find_encoders();
  if (!e.found)
    throw base::UserError(fmt::format("films need the program {}, which could not be run", program()),
                          kAdvice);
  const bool mp4 = base::ends_with(path, ".mp4"), ogg = base::ends_with(path, ".ogv");
  if (!mp4 && !ogg && !base::ends_with(path, ".webm"))
    throw base::UserError("cannot tell the kind of film from the name " + path,
                          "let the name end in .mp4, .webm or .ogv");
  if (mp4 ? !e.h264 : ogg ? !e.theora : !e.vp9 && !e.vp8)
    throw base::UserError(fmt::format("{} cannot write {} here", program(),
                                      mp4   ? "MP4 (H.264)"
                                      : ogg ? "Ogg"
                                            : "WebM"),
                          mp4 ? "name a .webm file, or install Debian's own ffmpeg" : "name an .mp4 file");
  std::vector<std::string> a{program(),     "-hide_banner",
                             "-loglevel",   "error",
                             "-f",          "rawvideo",
                             "-pix_fmt",    "bgr0",
                             "-video_size", fmt::format("{}x{}", width, height),
                             "-framerate",  fmt::format("{:g}", rate),
                             "-i",          "pipe:0",
                             "-an"};
  const std::vector<std::string> how =
      mp4   ? std::vector<std::string>{"-c:v",      "libx264",    "-preset", "veryfast", "-tune",
                                       "animation", "-crf",       "22",      "-pix_fmt", "yuv420p",
                                       "-movflags", "+faststart", "-f",      "mp4"}
      : ogg ? std::vector<std::string>{"-c:v", "libtheora", "-q:v", "7", "-pix_fmt", "yuv420p", "-f", "ogg"}
            : std::vector<std::string>{"-c:v",      e.vp9 ? "libvpx-vp9" : "libvpx",
                                       "-b:v",      "0",
                                       "-crf",      "34",
                                       "-deadline", "realtime",
                                       "-cpu-used", "6",
                                       "-pix_fmt",  "yuv420p",
                                       "-f",        "webm"};
  a.insert(a.end(), how.begin(), how.end());
  a.insert(a.end(), {"-metadata", std::string("comment=leverwright ") + base::kVersion + words, "-y", path});
  int ends[2];
  if (pipe2(ends, O_CLOEXEC) != 0) throw base::UserError("no pipe could be opened for the film");
  messages_ = scene::unnamed_file();
  signal(SIGPIPE, SIG_IGN);  // a program that ends early is told by its exit code
  child_ = start(a, ends[0], -1, messages_);
  close(ends[0]);
  pipe_ = ends[1];
  if (child_ <= 0) {
    close(pipe_);
    close(messages_);
    throw base::UserError(fmt::format("{} could not be started", program()), kAdvice);
  }
}

Encoder::~Encoder() {
  if (pipe_ >= 0) close(pipe_);
  if (child_ > 0) {
    kill(child_, SIGTERM);
    wait_for(child_);
  }
  if (messages_ >= 0) close(messages_);
}

void Encoder::fail() {
  if (pipe_ >= 0) close(pipe_);
  pipe_ = -1;
  if (child_ > 0) wait_for(child_);
  child_ = -1;
  std::istringstream lines(scene::read_back(messages_));
  std::string line, last;
  while (std::getline(lines, line))
    if (!line.empty()) last = line;
  throw base::UserError(program() + " failed to write the film: " + (last.empty() ? "no message" : last),
                        "check free disk space; pictures can be written with --frames");
}

void Encoder::add(const std::vector<unsigned char>& bgrx) {
  size_t done = 0;
  while (done < bgrx.size()) {
    const ssize_t n = write(pipe_, bgrx.data() + done, bgrx.size() - done);
    if (n < 0 && errno == EINTR) continue;
    if (n <= 0) fail();
    done += static_cast<size_t>(n);
  }
}

void Encoder::finish() {
  close(pipe_);
  pipe_ = -1;
  const int code = wait_for(child_);
  child_ = -1;
  if (code != 0) fail();
}

}  // namespace leverwright::film
