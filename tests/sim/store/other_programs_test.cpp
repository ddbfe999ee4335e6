// The file is of use without this program: h5py and h5dump read it.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <array>
#include <cstdio>

#include "tests/sim/store/small_study.h"

namespace leverwright::store {
namespace {

struct Answer {
  std::string text;
  int code = -1;
};

Answer run(const std::string& command) {
  Answer answer;
  FILE* pipe = popen((command + " 2>&1").c_str(), "r");
  if (pipe == nullptr) return answer;
  std::array<char, 4096> block{};
  std::size_t got = 0;
  while ((got = fread(block.data(), 1, block.size(), pipe)) > 0) answer.text.append(block.data(), got);
  answer.code = pclose(pipe);
  return answer;
}

TEST(OtherPrograms, H5py) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  // The system's own interpreter: it sees the packaged h5py.
  const Answer answer = run(fmt::format("/usr/bin/python3 {}/tests/sim/store/read_with_h5py.py {}",
                                        LEVERWRIGHT_SOURCE_DIR, folder.path("a.h5")));
  ASSERT_EQ(answer.code, 0) << answer.text;
  for (const char* line :
       {"format leverwright study 1\n", "status complete\n",
        "case title = \"small\"  # wippen with é and µ\n", "set-up 01 heel build-up\n",
        // (0.36 + 0.11 - 7.3 * 4.1e-3) N in gf
        "force 44.874651 gf\n", "ledger (4, 3) capstan on heel,jack on knuckle,key bushing\n",
        "down weight 0.460000\n", " lacking 0\n"})
    EXPECT_NE(answer.text.find(line), std::string::npos) << line << "in\n" << answer.text;
}

TEST(OtherPrograms, H5dump) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  const Answer answer = run("h5dump -d /set_ups/01/statics/up/dip " + folder.path("a.h5"));
  ASSERT_EQ(answer.code, 0) << answer.text;
  for (const char* words : {"H5T_IEEE_F64LE", "(0): 0, 0.0013, 0.0041, 0.0097", "\"display_factor\"",
                            "\"mm\"", "\"travel of the playing point from rest\""})
    EXPECT_NE(answer.text.find(words), std::string::npos) << words << " in\n" << answer.text;
  const Answer headers = run("h5dump -H " + folder.path("a.h5"));
  EXPECT_EQ(headers.code, 0) << headers.text;
}

}  // namespace
}  // namespace leverwright::store
