// The checker accepts a good file and names each planted fault in plain words, and only that.
#include "sim/store/check_study.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <functional>

#include "sim/store/h5_io.h"
#include "sim/store/study_reader.h"
#include "tests/sim/store/small_study.h"

namespace leverwright::store {
namespace {

std::string texts_of(const std::vector<base::Problem>& problems) { return base::write_problems(problems); }

// Opens a finished file for changes through plain HDF5.
Handle open_for_change(const std::string& path) {
  keep_hdf5_quiet();
  return own_file(H5Fopen(path.c_str(), H5F_ACC_RDWR, H5P_DEFAULT));
}

Handle object(const Handle& file, const std::string& path) {
  return own_object(H5Oopen(file.id(), path.c_str(), H5P_DEFAULT));
}

void overwrite(const Handle& file, const std::string& path, std::size_t at, double value) {
  std::vector<double> values = get_doubles(file.id(), path);
  values.at(at) = value;
  const Handle dataset = own_dataset(H5Dopen2(file.id(), path.c_str(), H5P_DEFAULT));
  ASSERT_GE(H5Dwrite(dataset.id(), H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, values.data()), 0);
}

void remove_at(const Handle& file, const std::string& path) {
  ASSERT_GE(H5Ldelete(file.id(), path.c_str(), H5P_DEFAULT), 0) << path;
}

void remove_attribute(const Handle& file, const std::string& path, const char* name) {
  ASSERT_GE(H5Adelete(object(file, path).id(), name), 0) << path;
}

// The attributes of one dataset given to another.
void copy_meta(const Handle& file, const std::string& from, const Handle& to) {
  for (const char* name : {"unit", "display_unit", "frame", "description"})
    put_attribute(to.id(), name, *get_text_attribute(file.id(), from, name));
  put_attribute(to.id(), "display_factor", *get_number_attribute(file.id(), from, "display_factor"));
}

void shorten(const Handle& file, const std::string& group, const std::string& name) {
  const std::string path = group + "/" + name;
  std::vector<double> values = get_doubles(file.id(), path);
  values.pop_back();
  const Handle in = object(file, group);
  const Handle made = put_doubles(in.id(), "shortened", {values.size()}, values.data(), 0);
  copy_meta(file, path, made);
  remove_at(file, path);
  ASSERT_GE(H5Lmove(in.id(), "shortened", in.id(), name.c_str(), H5P_DEFAULT, H5P_DEFAULT), 0);
}

struct Damage {
  const char* name;
  std::function<void(const Handle&)> plant;
  std::size_t problems;
  std::vector<std::string> says;  // all of these stand in the message
};

const std::string kAt = "/set_ups/01";

const std::vector<Damage>& damages() {
  static const std::vector<Damage> list{
      {"case_text_gone", [](const Handle& f) { remove_at(f, "/case_text"); }, 1, {"/case_text", "missing"}},
      {"created_no_time",
       [](const Handle& f) { put_attribute(object(f, "/").id(), "created", "last Tuesday"); },
       1,
       {"last Tuesday", "UTC"}},
      {"status_unheard_of",
       [](const Handle& f) { put_attribute(object(f, "/").id(), "status", "tired"); },
       1,
       {"tired", "running, complete or stopped"}},
      {"cut_off",
       [](const Handle& f) { put_attribute(object(f, "/").id(), "status", "running"); },
       1,
       {"cut off while it ran"}},
      {"stopped_without_reason",
       [](const Handle& f) { put_attribute(object(f, "/").id(), "status", "stopped"); },
       1,
       {"gives no reason"}},
      {"set_up_gap",
       [](const Handle& f) {
         H5Lmove(f.id(), "/set_ups/02", f.id(), "/set_ups/07", H5P_DEFAULT, H5P_DEFAULT);
       },
       1,
       {"/set_ups/07", "/set_ups/02"}},
      {"same_name_twice",
       [](const Handle& f) { put_attribute(object(f, kAt).id(), "name", "as found"); },
       1,
       {"same name \"as found\"", "/set_ups/00"}},
      {"failed_without_reason",
       [](const Handle& f) { remove_attribute(f, "/set_ups/02", "reason"); },
       1,
       {"/set_ups/02", "without a reason"}},
      {"half_done_in_complete",
       [](const Handle& f) { put_attribute(object(f, kAt).id(), "status", "running"); },
       1,
       {kAt, "the study is complete, this set-up is running"}},
      {"group_gone",
       [](const Handle& f) { remove_at(f, kAt + "/statics/up"); },
       3,
       {"/statics/up", "the group is missing"}},
      {"table_gone",
       [](const Handle& f) { remove_at(f, kAt + "/screws"); },
       1,
       {"/screws", "the table is missing"}},
      {"dip_gone",
       [](const Handle& f) { remove_at(f, kAt + "/statics/down/dip"); },
       2,
       {"the series have no dip"}},
      {"unit_gone",
       [](const Handle& f) { remove_attribute(f, kAt + "/statics/down/force", "unit"); },
       1,
       {"/statics/down/force", "the attribute unit is missing"}},
      {"frame_empty",
       [](const Handle& f) { put_attribute(object(f, kAt + "/statics/down/force").id(), "frame", ""); },
       1,
       {"the attribute frame is missing or empty"}},
      {"unit_unheard_of",
       [](const Handle& f) { put_attribute(object(f, kAt + "/statics/down/force").id(), "unit", "stone"); },
       1,
       {"unit \"stone\" is not known"}},
      {"unit_not_si",
       [](const Handle& f) { put_attribute(object(f, kAt + "/statics/down/force").id(), "unit", "gf"); },
       1,
       {"unit \"gf\" is no SI unit", "stored in \"N\""}},
      {"display_mismatch",
       [](const Handle& f) {
         put_attribute(object(f, kAt + "/statics/down/force").id(), "display_unit", "g");
       },
       1,
       {"display_unit \"g\" does not go with unit \"N\"", "gf"}},
      {"factor_wrong",
       [](const Handle& f) {
         put_attribute(object(f, kAt + "/statics/down/force").id(), "display_factor", 98.0665);
       },
       1,
       {"display_factor 98.0665", "101.97"}},
      {"not_a_number",
       [](const Handle& f) { overwrite(f, kAt + "/statics/down/force", 2, kUnknown); },
       1,
       {"not a number in row 2"}},
      {"infinite_in_matrix",
       [](const Handle& f) {
         overwrite(f, kAt + "/statics/down/ledger", 7, -std::numeric_limits<double>::infinity());
       },
       1,
       {"an infinite number in row 2, column 1"}},
      {"infinite_where_unknown_allowed",
       [](const Handle& f) {
         overwrite(f, kAt + "/slide/capstan_heel/normal_force", 1, std::numeric_limits<double>::infinity());
       },
       1,
       {"an infinite number in row 1"}},
      {"time_runs_back",
       [](const Handle& f) { overwrite(f, kAt + "/strokes/mf pressed/time", 31, 1.1e-3); },
       1,
       {"/strokes/mf pressed/time", "between rows 30 and 31"}},
      {"misadjustment_without_its_start",
       [](const Handle& f) { overwrite(f, kAt + "/misadjustment/moved", 0, 0.1e-3); },
       1,
       {"/misadjustment/moved", "as regulated", "0 in the first row"}},
      {"rate_falls_back",
       [](const Handle& f) { overwrite(f, kAt + "/repetition/full/rate", 2, 8.0); },
       1,
       {"/repetition/full/rate", "between rows 1 and 2", "rate that runs one way"}},
      {"share_over_one",
       [](const Handle& f) { overwrite(f, kAt + "/repetition/full/share_good", 1, 1.25); },
       1,
       {"/repetition/full/share_good", "holds 1.25", "0 to 1"}},
      {"dip_stands_still",
       [](const Handle& f) { overwrite(f, kAt + "/statics/up/dip", 2, 1.3e-3); },
       1,
       {"between rows 1 and 2"}},
      {"series_short",
       [](const Handle& f) { shorten(f, kAt + "/statics/up", "force"); },
       1,
       {"/statics/up/force", "3 rows, while dip has 4"}},
      {"table_column_short",
       [](const Handle& f) { shorten(f, kAt + "/screws", "thread_left"); },
       1,
       {"/screws/thread_left", "1 rows, while change_against_base has 2"}},
      {"table_column_gone",
       [](const Handle& f) { remove_at(f, kAt + "/numbers/unit"); },
       2,
       {"column_order", "no column unit"}},
      {"column_names_short",
       [](const Handle& f) {
         put_attribute(object(f, kAt + "/statics/down/ledger").id(), "column_names",
                       std::vector<std::string>{"capstan on heel", "jack on knuckle"});
       },
       1,
       {"3 columns, but 2 column_names"}},
      {"column_units_gone",
       [](const Handle& f) { remove_attribute(f, kAt + "/scene/positions/rest", "column_units"); },
       1,
       {"columns do not say theirs"}},
      {"body_without_outline",
       [](const Handle& f) { remove_at(f, kAt + "/scene/bodies/key/outline"); },
       1,
       {"/scene/bodies/key/outline", "missing"}},
      {"position_of_nobody",
       [](const Handle& f) { remove_at(f, kAt + "/scene/bodies/wippen"); },
       1,
       {"names \"wippen\", which has no outline"}},
      {"position_gone",
       [](const Handle& f) { remove_at(f, kAt + "/scene/positions/let_off"); },
       1,
       {"/scene/positions/let_off", "missing"}},
      {"link_elsewhere",
       [](const Handle& f) {
         H5Lcreate_external("other.h5", "/x", f.id(), (kAt + "/borrowed").c_str(), H5P_DEFAULT, H5P_DEFAULT);
       },
       1,
       {"/borrowed", "a link to another place"}},
      {"group_inside_itself",
       [](const Handle& f) {
         H5Lcreate_hard(f.id(), "/set_ups", f.id(), (kAt + "/again").c_str(), H5P_DEFAULT, H5P_DEFAULT);
       },
       1,
       {"/again", "a second name"}},
      {"strange_type",
       [](const Handle& f) {
         const Handle space = own_space(H5Screate(H5S_SCALAR));
         const Handle type = own_type(H5Tcreate(H5T_OPAQUE, 5));
         own_dataset(
             H5Dcreate2(f.id(), "/blob", type.id(), space.id(), H5P_DEFAULT, H5P_DEFAULT, H5P_DEFAULT));
       },
       1,
       {"/blob", "neither a group nor a dataset"}},
  };
  return list;
}

TEST(CheckStudy, AcceptsAGoodFile) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  const auto problems = check_study(folder.path("a.h5"));
  EXPECT_TRUE(problems.empty()) << texts_of(problems);
}

TEST(CheckStudy, AcceptsMoreThanTheStandardAsks) {
  const support::ScratchFolder folder;
  StudyWriter writer(folder.path("a.h5"), small_header());
  const std::string at = writer.begin_set_up("as found", "");
  write_small_set_up(writer, at, 0);
  writer.write_series(at + "/own/things", "pressure", std::vector<double>{3.1e5, 2.7e5},
                      make_meta("N/m2", "kPa", "heel profile", "an added dataset"));
  writer.finish_set_up();
  writer.finish();
  const auto problems = check_study(folder.path("a.h5"));
  EXPECT_TRUE(problems.empty()) << texts_of(problems);
}

class PlantedDamage : public testing::TestWithParam<std::size_t> {};

TEST_P(PlantedDamage, IsNamed) {
  const Damage& damage = damages()[GetParam()];
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  {
    const Handle file = open_for_change(folder.path("a.h5"));
    ASSERT_TRUE(file);
    damage.plant(file);
  }
  const auto problems = check_study(folder.path("a.h5"));
  const std::string text = texts_of(problems);
  EXPECT_EQ(problems.size(), damage.problems) << text;
  for (const std::string& words : damage.says)
    EXPECT_NE(text.find(words), std::string::npos) << words << "\n" << text;
  for (const auto& p : problems) EXPECT_FALSE(p.expected.empty()) << text;
}

INSTANTIATE_TEST_SUITE_P(CheckStudy, PlantedDamage, testing::Range(std::size_t{0}, damages().size()),
                         [](const auto& place) { return std::string(damages()[place.param].name); });

TEST(CheckStudy, ListsEveryFault) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  std::size_t planted = 0;
  {
    const Handle file = open_for_change(folder.path("a.h5"));
    for (const Damage& damage : damages()) {
      const std::string name = damage.name;
      if (name != "created_no_time" && name != "time_runs_back" && name != "series_short" &&
          name != "unit_gone")
        continue;
      damage.plant(file);
      planted += damage.problems;
    }
  }
  EXPECT_EQ(check_study(folder.path("a.h5")).size(), planted);
  EXPECT_EQ(planted, 4u);
}

}  // namespace
}  // namespace leverwright::store
