// What is uncertain is called by its trade words: no key, no code, and no two inputs of a case alike.
#include <gtest/gtest.h>

#include <filesystem>
#include <map>

#include "models/case_file/trade_names.h"
#include "models/remedies/read_case.h"
#include "models/study/inputs.h"

namespace leverwright::study {

TEST(InputNames, AreWordsAndEachItsOwn) {
  std::size_t count = 0;
  for (const auto& folder : std::filesystem::directory_iterator("cases")) {
    const auto path = folder.path() / "case.toml";
    if (!std::filesystem::exists(path)) continue;
    const auto d = remedies::read_case(path.string());
    std::map<std::string, std::string> seen;
    for (const Input& in : find_inputs(d, true)) {
      EXPECT_EQ(in.name.find_first_of("_./"), std::string::npos) << in.name;
      const std::string whose = std::to_string(in.set_up) + "|" + std::to_string(in.change) + "|" + in.name;
      EXPECT_TRUE(seen.emplace(whose, in.key).second) << in.name << ": " << in.key << " and " << seen[whose];
      ++count;
    }
  }
  EXPECT_GT(count, 500u);
}

TEST(InputNames, SayWhatRubsWhereAndWhatTheBenchDoesAboutIt) {
  using case_file::how_to_learn;
  using case_file::trade_name;
  EXPECT_EQ(trade_name("contact.lever_knuckle.friction"), "friction of the repetition lever on the knuckle");
  EXPECT_EQ(trade_name("contact.capstan_heel.shear_share"), "sideways give of the heel cloth");
  EXPECT_EQ(trade_name("friction.key_front"), "friction of the front bushing");
  EXPECT_EQ(trade_name("frame.let_off_button_x"), "let-off button, place along the action");
  EXPECT_EQ(trade_name("measured.bore"), "bore");
  EXPECT_EQ(how_to_learn("measured.bore"), "measure again: bore");
  EXPECT_NE(how_to_learn("contact.lever_knuckle.friction").find("known weight"), std::string::npos);
  EXPECT_EQ(how_to_learn("contact.capstan_heel.shear_share"), "") << "no gauge tells it: a trial note does";
}

}  // namespace leverwright::study
