// Changes said in words: what a bench would say becomes the lines of a case, or is refused with what is missing.
#include "models/case_file/change_phrase.h"

#include <gtest/gtest.h>

#include "models/remedies/all.h"
#include "sim/base/error.h"

namespace leverwright::case_file {
namespace {

struct Said {
  const char* phrase;
  const char* lines;  // after the heading
};

class ChangePhrase : public ::testing::TestWithParam<Said> {};

TEST_P(ChangePhrase, BecomesTheLinesOfACase) {
  EXPECT_EQ(write_change_of(GetParam().phrase, remedies::all()),
            std::string("[[set_up.change]]\n") + GetParam().lines);
}

INSTANTIATE_TEST_SUITE_P(
    AtTheBench, ChangePhrase,
    ::testing::Values(
        Said{"capstan 3 mm toward the balance rail",
             "kind = \"capstan moved\"\ndistance = \"3 mm\"\ndirection = \"toward the balance rail\"\n"},
        Said{"Capstan moved 2.5mm towards the strings",
             "kind = \"capstan moved\"\ndistance = \"2.5 mm\"\ndirection = \"toward the strings\"\n"},
        Said{
            "capstan 3 mm +- 0.2 mm toward the balance rail",
            "kind = \"capstan moved\"\ndistance = \"3 mm +- 0.2 mm\"\ndirection = \"toward the balance rail\"\n"},
        Said{"capstan leaned by -4 deg about the middle of its cap (apex kept)",
             "kind = \"capstan lean\"\nangle = \"-4 deg\"\nabout = \"middle of its cap (apex kept)\"\n"},
        Said{"lead 14 g at 110 mm", "kind = \"lead\"\nmass = \"14 g\"\ndistance = \"110 mm\"\n"},
        Said{"remove the lead of 14 g at 150 mm",
             "kind = \"lead\"\nmass = \"14 g\"\ndistance = \"150 mm\"\naction = \"remove\"\n"},
        Said{"move lead 14 g at 150 mm to 90 mm",
             "kind = \"lead\"\nmass = \"14 g\"\ndistance = \"150 mm\"\naction = \"move\"\nto = \"90 mm\"\n"},
        Said{"heel build-up height 0.7 mm, length 5 mm, centre 61 mm",
             "kind = \"heel build-up\"\nheight = \"0.7 mm\"\nlength = \"5 mm\"\ncentre = \"61 mm\"\n"},
        Said{"heel re-glued 3 mm toward the strings",
             "kind = \"heel re-glued\"\nshift = \"3 mm\"\ndirection = \"toward the strings\"\n"},
        Said{"hammer weight -0.8 gf head",
             "kind = \"hammer weight\"\namount = \"-0.8 gf\"\ntaken_from = \"head\"\n"},
        Said{
            "spread shim 0.5 mm hammer rail wider",
            "kind = \"spread shim\"\nthickness = \"0.5 mm\"\nrail = \"hammer rail\"\ndirection = \"wider\"\n"},
        Said{"friction of the hammer centre 2 gf at 23 mm",
             "kind = \"friction\"\npivot = \"hammer_centre\"\ntorque = \"2 gf at 23 mm\"\n"},
        Said{"assist spring 12 gf", "kind = \"assist spring\"\nstrength = \"12 gf\"\n"},
        Said{"balance punching halved 3 mm toward the player",
             "kind = \"balance punching halved\"\nshift = \"3 mm\"\ndirection = \"toward the player\"\n"},
        Said{"part wippen wippen_original", "kind = \"part\"\nslot = \"wippen\"\nid = \"wippen_original\"\n"},
        Said{"knuckle hanging distance 17 mm", "kind = \"knuckle\"\nhanging_distance = \"17 mm\"\n"}));

std::string refusal(const std::string& phrase) {
  try {
    return "taken: " + write_change_of(phrase, remedies::all());
  } catch (const base::UserError& e) {
    return e.problems().front().what + " | " + e.problems().front().advice;
  }
}

TEST(ChangePhrase, SaysWhatIsMissingOrNotUnderstood) {
  EXPECT_NE(refusal("capstan 3 mm").find("direction (one of: toward the balance rail"), std::string::npos)
      << refusal("capstan 3 mm");
  EXPECT_NE(refusal("lead 14 g").find("lacks distance"), std::string::npos) << refusal("lead 14 g");
  EXPECT_NE(refusal("capstan 3 mm toward the balance rail gently").find("gently"), std::string::npos);
  EXPECT_NE(refusal("polish everything").find("names no change"), std::string::npos);
  EXPECT_NE(refusal("heel 3 mm").find("does not say which change"), std::string::npos)
      << refusal("heel 3 mm");
  EXPECT_NE(refusal("lead 14 g at\x1b[2J 110 mm").find("control character"), std::string::npos);
  EXPECT_NE(refusal("lead 14 kg at 110 parsec").find("taken"), 0u);
}

TEST(ChangePhrase, SeveralMakeOneSetUp) {
  const std::string text = write_set_up_of({"lead 14 g at 110 mm", "assist spring 5 gf"}, remedies::all());
  EXPECT_EQ(text.find("[[set_up]]\nname = \"lead 14 g at 110 mm, assist spring 5 gf\"\n"), 0u);
  EXPECT_NE(text.find("kind = \"assist spring\""), std::string::npos);
  // A quotation mark stays one.
  EXPECT_THROW(write_set_up_of({"lead \"14 g\" at 110 mm"}, remedies::all()), base::UserError);
}

}  // namespace
}  // namespace leverwright::case_file
