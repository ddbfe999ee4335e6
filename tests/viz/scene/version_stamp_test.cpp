#include "viz/scene/version_stamp.h"

#include <gtest/gtest.h>

#include "sim/base/version.h"
#include "tests/support/read_text.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::scene {
namespace {

const std::string kSays = std::string("leverwright ") + base::kVersion;

TEST(VersionStamp, AnSvgSaysItBehindItsHead) {
  const support::ScratchFolder folder;
  const std::string path =
      folder.write("a.svg", "<?xml version=\"1.0\"?>\n<svg width=\"1\"><title>x</title></svg>");
  stamp_version(path);
  EXPECT_EQ(support::read_text(path),
            "<?xml version=\"1.0\"?>\n<svg width=\"1\"><!-- " + kSays + " --><title>x</title></svg>");
}

// One white point, as the standard's own tools write it: the chunk follows the header, with the right sum.
TEST(VersionStamp, APngSaysItInATextChunk) {
  const unsigned char kPng[] = {0x89, 'P', 'N', 'G', '\r', '\n', 0x1a, '\n', 0,    0, 0, 13,
                                'I',  'H', 'D', 'R', 0,    0,    0,    1,    0,    0, 0, 1,
                                8,    0,   0,   0,   0,    0x3a, 0x7e, 0x9b, 0x55, 0, 0, 0,
                                0,    'I', 'E', 'N', 'D',  0xae, 0x42, 0x60, 0x82};
  const std::string before(reinterpret_cast<const char*>(kPng), sizeof kPng);
  const support::ScratchFolder folder;
  const std::string path = folder.write("a.png", before);
  stamp_version(path);
  const std::string after = support::read_text(path);
  const auto at = after.find("tEXtSoftware");
  ASSERT_EQ(at, 8u + 25u + 4u);
  EXPECT_EQ(after.substr(at + 13, kSays.size()), kSays);
  EXPECT_EQ(after.substr(0, 33) + after.substr(33 + 12 + 9 + kSays.size()), before);
  EXPECT_EQ(static_cast<unsigned char>(after[36]), 9 + kSays.size());
}

TEST(VersionStamp, WhatIsNoPictureStays) {
  const support::ScratchFolder folder;
  for (const char* name : {"a.png", "a.svg", "a.csv"}) {
    const std::string path = folder.write(name, "12, 13\n");
    stamp_version(path);
    EXPECT_EQ(support::read_text(path), "12, 13\n");
  }
}

}  // namespace
}  // namespace leverwright::scene
