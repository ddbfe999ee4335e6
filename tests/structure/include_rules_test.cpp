// The rule itself: planted includes that run back are caught, allowed ones pass.
#include "tests/structure/include_rules.h"

#include <gtest/gtest.h>

#include <stdexcept>

namespace leverwright::structure {
namespace {

const char* const kRules =
    "# a small tree\n"
    "sim/base:\n"
    "sim/run: sim/base\n"
    "sim/store: sim/base\n"
    "models/action: sim/run\n"
    "viz/scene: sim/store\n"
    "viz/app: all\n"
    "benchmarks: all\n"
    "tests: all\n"
    "<toml++/*>: models/action\n"
    "<hdf5.h>: sim/store\n";

std::string judge(const std::string& file, const std::string& line) {
  const IncludeRules rules(kRules);
  const auto includes = find_includes(file, "// first line\n" + line + "\n");
  return includes.size() == 1 ? rules.judge(includes[0]) : "found " + std::to_string(includes.size());
}

TEST(IncludeRules, AllowsArrowsThatRunForward) {
  EXPECT_EQ(judge("sim/run/stepper.cpp", "#include \"sim/base/vec2.h\""), "");
  EXPECT_EQ(judge("sim/run/stepper.cpp", "#include \"sim/run/stepper.h\""), "");
  EXPECT_EQ(judge("models/action/build.cpp", "#include \"sim/base/vec2.h\""), "") << "through sim/run";
  EXPECT_EQ(judge("viz/app/main.cpp", "#include \"models/action/build.h\""), "");
  EXPECT_EQ(judge("viz/app/main.cpp", "#include \"viz/app/progress.h\""), "");
  EXPECT_EQ(judge("tests/sim/run/stepper_test.cpp", "#include \"sim/run/stepper.h\""), "");
  EXPECT_EQ(judge("tests/sim/run/stepper_test.cpp", "#include \"tests/support/pendulum.h\""), "");
  EXPECT_EQ(judge("sim/run/stepper.cpp", "#include <vector>"), "");
}

TEST(IncludeRules, CatchesArrowsThatRunBack) {
  EXPECT_EQ(judge("sim/base/error.cpp", "#include \"sim/run/stepper.h\""),
            "sim/base/error.cpp:2: includes \"sim/run/stepper.h\": the arrow runs back; sim/base may include "
            "sim/base");
  EXPECT_NE(judge("sim/run/stepper.h", "#include \"models/action/build.h\"").find("runs back"),
            std::string::npos);
  EXPECT_NE(judge("sim/run/stepper.h", "#include \"sim/store/meta.h\"").find("runs back"), std::string::npos);
  EXPECT_NE(judge("viz/scene/scene.cpp", "  #  include   \"models/action/build.h\"").find("runs back"),
            std::string::npos);
  EXPECT_NE(judge("sim/run/stepper.h", "#include \"tests/support/pendulum.h\"").find("runs back"),
            std::string::npos);
  EXPECT_NE(judge("benchmarks/stroke.cpp", "#include \"tests/support/pendulum.h\"").find("runs back"),
            std::string::npos);
}

TEST(IncludeRules, NothingIncludesTheFolderOfMain) {
  for (const char* from : {"tests/viz/table/progress_test.cpp", "benchmarks/draw.cpp", "viz/scene/scene.cpp"})
    EXPECT_NE(judge(from, "#include \"viz/app/progress.h\"").find("nothing includes viz/app"),
              std::string::npos)
        << from;
}

TEST(IncludeRules, TheTestsOfTheFolderOfMainMayIncludeIt) {
  EXPECT_EQ(judge("tests/viz/app/additions_test.cpp", "#include \"viz/app/progress.h\""), "");
}

TEST(IncludeRules, LibrariesStayWhereTheyAreWrapped) {
  EXPECT_EQ(judge("models/action/read.cpp", "#include <toml++/toml.h>"), "");
  EXPECT_NE(judge("sim/run/stepper.cpp", "#include <toml++/toml.h>").find("kept to models/action"),
            std::string::npos);
  EXPECT_NE(judge("models/action/read.cpp", "#include <hdf5.h>").find("kept to sim/store"),
            std::string::npos);
  EXPECT_EQ(judge("tests/sim/store/check_test.cpp", "#include <hdf5.h>"), "");
}

TEST(IncludeRules, AsksForIncludesFromTheRootAndListedFolders) {
  EXPECT_NE(judge("sim/run/stepper.cpp", "#include \"stepper.h\"").find("from the root"), std::string::npos);
  EXPECT_NE(judge("sim/run/stepper.cpp", "#include \"../base/vec2.h\"").find("from the root"),
            std::string::npos);
  EXPECT_NE(judge("sim/newcomer/a.cpp", "#include <vector>").find("own folder is not in"), std::string::npos);
}

TEST(IncludeRules, LooksPastComments) {
  EXPECT_EQ(judge("sim/base/a.cpp", "// #include \"models/action/build.h\""), "found 0");
  EXPECT_EQ(judge("sim/base/a.cpp", "/* see\n#include \"models/action/build.h\"\n*/"), "found 0");
}

TEST(IncludeRules, RefusesAListThatIsNoOneWayFlow) {
  EXPECT_THROW(IncludeRules("a/b: a/c\na/c: a/d\na/d: a/b\n"), std::runtime_error);
  EXPECT_THROW(IncludeRules("a/b: a/c\n"), std::runtime_error);
  EXPECT_THROW(IncludeRules("a/b a/c\n"), std::runtime_error);
}

}  // namespace
}  // namespace leverwright::structure
