// Files that are no study, or no whole one: the reader refuses each with a sentence that says which, and the
// checker says the same.
#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <functional>

#include "sim/store/check_study.h"
#include "sim/store/checksum.h"
#include "sim/store/h5_io.h"
#include "sim/store/study_reader.h"
#include "tests/sim/store/small_study.h"
#include "tests/support/read_text.h"

namespace leverwright::store {
namespace {

std::string refusal(const std::string& path) {
  try {
    const StudyReader reader(path);
  } catch (const base::UserError& error) {
    const auto problems = check_study(path);
    EXPECT_EQ(base::write_problems(problems), error.what());
    EXPECT_EQ(error.problems().size(), 1u);
    EXPECT_EQ(error.problems()[0].file, path);
    EXPECT_FALSE(error.problems()[0].expected.empty());
    EXPECT_FALSE(error.problems()[0].advice.empty());
    return error.problems()[0].what;
  }
  return "accepted";
}

TEST(NotAStudy, Missing) {
  const support::ScratchFolder folder;
  EXPECT_EQ(refusal(folder.path("none.h5")), "there is no such file");
}

TEST(NotAStudy, Folder) {
  const support::ScratchFolder folder;
  EXPECT_EQ(refusal(folder.path()), "this is a folder");
}

TEST(NotAStudy, Empty) {
  const support::ScratchFolder folder;
  folder.write("a.h5", "");
  EXPECT_EQ(refusal(folder.path("a.h5")), "the file is empty");
}

TEST(NotAStudy, CaseFileInstead) {
  const support::ScratchFolder folder;
  folder.write("case.toml", "title = \"a case\"\n");
  EXPECT_EQ(refusal(folder.path("case.toml")), "this is not an HDF5 file");
}

TEST(NotAStudy, OtherHdf5) {
  const support::ScratchFolder folder;
  keep_hdf5_quiet();
  own_file(H5Fcreate(folder.path("a.h5").c_str(), H5F_ACC_TRUNC, H5P_DEFAULT, H5P_DEFAULT));
  EXPECT_EQ(refusal(folder.path("a.h5")), "this HDF5 file was not written by leverwright");
}

TEST(NotAStudy, NewerVersion) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  {
    const Handle file = own_file(H5Fopen(folder.path("a.h5").c_str(), H5F_ACC_RDWR, H5P_DEFAULT));
    put_attribute(file.id(), "format_version", std::int64_t{7});
    put_attribute(file.id(), "software_version", "3.1.0");
  }
  EXPECT_EQ(refusal(folder.path("a.h5")), "the file has format version 7, written by leverwright 3.1.0");
}

TEST(NotAStudy, VersionNoNumber) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  {
    const Handle file = own_file(H5Fopen(folder.path("a.h5").c_str(), H5F_ACC_RDWR, H5P_DEFAULT));
    put_attribute(file.id(), "format_version", "one");
  }
  EXPECT_EQ(refusal(folder.path("a.h5")), "the root attribute format_version is missing or no whole number");
}

TEST(NotAStudy, CutShort) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  const std::string whole = support::read_text(folder.path("a.h5"));
  for (const std::size_t kept : {std::size_t{5}, whole.size() / 3, whole.size() - 39}) {
    folder.write("b.h5", whole.substr(0, kept));
    EXPECT_EQ(refusal(folder.path("b.h5")), "the file is cut short") << kept << " of " << whole.size();
  }
}

TEST(NotAStudy, MissingPlacesAreNamed) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  const StudyReader reader(folder.path("a.h5"));
  const auto message = [](const std::function<void()>& read) -> std::string {
    try {
      read();
    } catch (const base::UserError& error) {
      return error.problems().at(0).what + "|" + error.problems().at(0).expected;
    }
    return "accepted";
  };
  EXPECT_EQ(message([&] { reader.read_series("/set_ups/00/statics/down/weight"); }),
            "/set_ups/00/statics/down/weight is not in this file|a dataset of numbers");
  EXPECT_EQ(message([&] { reader.read_series("/set_ups/00/warnings"); }),
            "/set_ups/00/warnings is something else|a dataset of numbers");
  EXPECT_EQ(message([&] { reader.read_number("/set_ups/00/numbers", "blow"); }),
            "/set_ups/00/numbers has no row \"blow\"|one of: down weight, dip");
  EXPECT_EQ(message([&] { reader.text_attribute("/set_ups/00", "colour"); }),
            "/set_ups/00 lacks its attribute colour|a text");
  EXPECT_EQ(message([&] { reader.read_table("/set_ups/00/statics"); }),
            "/set_ups/00/statics is no table|a group with kind = \"table\"");
}

TEST(NotAStudy, OneByteChangedAnywhere) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  const std::string whole = support::read_text(folder.path("a.h5"));
  std::size_t tried = 0;
  for (std::size_t at = 9; at + 40 < whole.size(); at += 977) {
    std::string broken = whole;
    broken[at] = static_cast<char>(broken[at] ^ 0x14);
    folder.write("b.h5", broken);
    EXPECT_EQ(refusal(folder.path("b.h5")),
              "the file is damaged (its bytes are not those that were written)");
    ++tried;
  }
  EXPECT_GT(tried, 50u);
}

// Another program may add to a finished file: the line of the checksum goes, the file stays readable.
TEST(NotAStudy, ChangedByAnotherProgramIsStillRead) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  EXPECT_EQ(check_checksum(folder.path("a.h5")), Checksum::kAgrees);
  {
    const Handle file = own_file(H5Fopen(folder.path("a.h5").c_str(), H5F_ACC_RDWR, H5P_DEFAULT));
    put_attribute(file.id(), "note", "seen by the teacher");
  }
  EXPECT_EQ(check_checksum(folder.path("a.h5")), Checksum::kNone);
  EXPECT_EQ(StudyReader(folder.path("a.h5")).text_attribute("/", "note"), "seen by the teacher");
  EXPECT_TRUE(check_study(folder.path("a.h5")).empty());
}

RC_GTEST_PROP(NotAStudyProperty, BrokenBytesAreRefused, ()) {
  static const std::string whole = [] {
    const support::ScratchFolder folder;
    write_small_study(folder.path("a.h5"));
    return support::read_text(folder.path("a.h5"));
  }();
  std::string broken = whole;
  const std::size_t data = whole.size() - 40;  // the checksum's line is shorter
  for (const std::size_t at : *rc::gen::nonEmpty(
           rc::gen::container<std::vector<std::size_t>>(rc::gen::inRange<std::size_t>(0, data))))
    broken[at] = *rc::gen::arbitrary<char>();
  RC_PRE(broken != whole);
  const support::ScratchFolder folder;
  folder.write("b.h5", broken);
  RC_ASSERT(check_study(folder.path("b.h5")).size() == 1u);
  RC_ASSERT_THROWS_AS(StudyReader(folder.path("b.h5")), base::UserError);
}

}  // namespace
}  // namespace leverwright::store
