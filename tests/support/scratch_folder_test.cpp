// A scratch folder is alone, shows all that is in it and is gone afterwards; a text comes back byte by byte.
#include "tests/support/scratch_folder.h"

#include <gtest/gtest.h>

#include "tests/support/read_text.h"

namespace leverwright::support {
namespace {

TEST(ScratchFolder, TwoAreTwo) {
  const ScratchFolder a, b;
  EXPECT_NE(a.path(), b.path());
  EXPECT_NE(a.write("notes.csv", "of a"), b.write("notes.csv", "of b"));
  EXPECT_EQ(read_text(a.path("notes.csv")), "of a");
  EXPECT_EQ(read_text(b.path("notes.csv")), "of b");
}

TEST(ScratchFolder, IsGoneAfterwardsWithAllThatIsInIt) {
  std::string path;
  {
    const ScratchFolder folder;
    path = folder.path();
    EXPECT_TRUE(std::filesystem::is_empty(path));
    std::filesystem::create_directory(folder.path("below"));
    folder.write("below/a.csv", "1");
  }
  EXPECT_FALSE(std::filesystem::exists(path));
}

TEST(ScratchFolder, NamesAreSortedAndHoldWhatIsHiddenAndBelow) {
  const ScratchFolder folder;
  std::filesystem::create_directory(folder.path("m"));
  for (const char* name : {"z.csv", "m/a.csv", ".part", "b"}) folder.write(name, "");
  EXPECT_EQ(folder.names(), (std::vector<std::string>{".part", "b", "m", "m/a.csv", "z.csv"}));
}

TEST(ScratchFolder, WhatCannotBeWrittenIsAFailure) {
  const ScratchFolder folder;
  EXPECT_THROW(folder.write("nowhere/a.csv", "1"), std::runtime_error);
}

TEST(ReadText, ComesBackByteByByteAndAMissingFileIsAFailure) {
  const ScratchFolder folder;
  const std::string bytes("a\r\n\0\xc3\xa9\n", 7);
  EXPECT_EQ(read_text(folder.write("a", bytes)), bytes);
  EXPECT_EQ(read_text(folder.write("empty", "")), "");
  EXPECT_THROW(read_text(folder.path("none")), std::runtime_error);
  EXPECT_THROW(read_text(folder.path()), std::runtime_error);
}

}  // namespace
}  // namespace leverwright::support
