#include "sim/store/open_study.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <set>

#include "sim/base/error.h"
#include "sim/base/output_guard.h"
#include "sim/store/checksum.h"
#include "sim/store/h5_io.h"
#include "sim/store/heap_form.h"
#include "sim/store/layout.h"
#include "sim/store/trial_read.h"

namespace leverwright::store {
namespace {

constexpr std::array<char, 8> kSignature{'\x89', 'H', 'D', 'F', '\r', '\n', '\x1a', '\n'};

[[noreturn]] void refuse(const std::string& file, const std::string& what, const std::string& expected,
                         const std::string& advice) {
  throw base::UserError({base::Problem{file, 0, "", what, expected, advice}});
}

// Any part of the error stack: the innermost entry may be a mere "can't open".
herr_t find_truncated(unsigned, const H5E_error2_t* error, void* found) {
  if (error->desc != nullptr && std::strstr(error->desc, "truncated") != nullptr)
    *static_cast<bool*>(found) = true;
  return 0;
}
herr_t find_lock(unsigned, const H5E_error2_t* error, void* found) {
  if (error->desc != nullptr && std::strstr(error->desc, "unable to lock") != nullptr)
    *static_cast<bool*>(found) = true;
  return 0;
}
bool stack_has(H5E_walk2_t find) {
  bool found = false;
  H5Ewalk2(H5E_DEFAULT, H5E_WALK_UPWARD, find, &found);
  return found;
}

const char* const kExpected = "a study written by leverwright (HDF5)";

void look_from_outside(const std::string& path) {
  std::error_code error;
  if (!std::filesystem::exists(path, error))
    refuse(path, "there is no such file", kExpected, "check the name; a run that ended early leaves none");
  if (std::filesystem::is_directory(path, error))
    refuse(path, "this is a folder", kExpected, "name the .h5 file inside it");
  if (!std::filesystem::is_regular_file(path, error))
    refuse(path, "this is no ordinary file", kExpected, "name the .h5 file");
  errno = 0;
  std::ifstream file(path, std::ios::binary);
  if (!file)
    refuse(path, fmt::format("the file cannot be opened ({})", std::strerror(errno)), kExpected,
           "check who may read it");
  std::array<char, 8> head{};
  file.read(head.data(), head.size());
  const auto got = static_cast<std::size_t>(file.gcount());
  if (got == 0) refuse(path, "the file is empty", kExpected, "run the study again");
  if (got == head.size() && head == kSignature) return;
  if (std::equal(head.begin(), head.begin() + static_cast<std::ptrdiff_t>(got), kSignature.begin()))
    refuse(path, "the file is cut short", kExpected, "copy it again, or run the study again");
  refuse(path, "this is not an HDF5 file", kExpected,
         "give the results file (.h5), not the case file or a table written from it");
}

// Everything in the file, once: whatever a reader may ask HDF5 for later.
void read_all(hid_t file, const std::string& group, std::set<std::uint64_t>& seen) {
  const auto read_attributes = [&](const std::string& path) {
    for (const std::string& name : list_attributes(file, path)) {
      get_texts_attribute(file, path, name);
      get_number_attribute(file, path, name);
    }
  };
  const auto guarded = [](const auto& step) {
    try {
      step();
    } catch (const H5Failure&) {  // told when it is met again
    }
  };
  guarded([&] { read_attributes(group); });
  std::vector<Child> children;
  guarded([&] { children = list_children(file, group); });
  for (const Child& child : children) {
    if (child.is_link_elsewhere || !seen.insert(child.address).second) continue;
    const std::string at = group == "/" ? "/" + child.name : group + "/" + child.name;
    if (child.kind == Kind::kGroup) {
      read_all(file, at, seen);
      continue;
    }
    guarded([&] { read_attributes(at); });
    guarded([&] { shape_of(file, at); });
    if (child.kind == Kind::kNumbers) guarded([&] { get_doubles(file, at); });
    if (child.kind == Kind::kTexts) guarded([&] { get_strings(file, at); });
  }
}

Handle usual_access() {
  Handle access = own_properties(H5Pcreate(H5P_FILE_ACCESS));
  H5Pset_file_locking(access.id(), true, true);
  return access;
}

Handle open_file(const std::string& path, const Handle& access) {
  return own_file(H5Fopen(path.c_str(), H5F_ACC_RDONLY, access.id()));
}

Handle open_tried_study(const std::string& path) {
  const Handle access = usual_access();  // closed last: closing it would wipe the reasons away
  Handle file = open_file(path, access);
  if (!file) {
    if (stack_has(&find_truncated))
      refuse(path, "the file is cut short", kExpected, "copy it again, or run the study again");
    if (stack_has(&find_lock))
      refuse(path, "another program is writing this file", kExpected, "wait until the study has ended");
    refuse(path, fmt::format("the file is damaged ({})", hdf5_reason()), kExpected,
           "copy it again, or run the study again");
  }
  const auto format = get_text_attribute(file.id(), "/", "format");
  if (!format || *format != kFormat)
    refuse(path, "this HDF5 file was not written by leverwright",
           fmt::format("the root attribute format = \"{}\"", kFormat), "give a results file of a study");
  const auto version = get_number_attribute(file.id(), "/", "format_version");
  if (!version || *version < 1 || *version != std::floor(*version))
    refuse(path, "the root attribute format_version is missing or no whole number",
           fmt::format("format_version = {}", kFormatVersion), "run the study again");
  if (*version > kFormatVersion) {
    const auto by = get_text_attribute(file.id(), "/", "software_version");
    refuse(path,
           fmt::format("the file has format version {:.0f}, written by leverwright {}", *version,
                       by.value_or("of an unknown version")),
           fmt::format("format version {} or older", kFormatVersion), "use that or a newer leverwright");
  }
  return file;
}

}  // namespace

Handle open_study(const std::string& path) {
  keep_hdf5_quiet();
  look_from_outside(path);
  base::note_input(path);
  const Checksum checksum = check_checksum(path);
  if (checksum == Checksum::kDisagrees)
    refuse(path, "the file is damaged (its bytes are not those that were written)", kExpected,
           "copy it again, or run the study again");
  if (const std::string fault = find_heap_fault(path, checksum == Checksum::kNone); !fault.empty())
    refuse(path, fmt::format("the file is damaged ({})", fault), kExpected,
           "copy it again, or run the study again");
  // The checksum tells of accidents only: whoever changes a file can write a new one.
  need_readable(path, [&] {
    const Handle file = open_file(path, usual_access());
    std::set<std::uint64_t> seen;
    if (file) read_all(file.id(), "/", seen);
  });
  end_in_words_over(path);
  try {
    return open_tried_study(path);
  } catch (const H5Failure& failure) {
    refuse(path, fmt::format("the file is damaged ({})", failure.what()), kExpected,
           "copy it again, or run the study again");
  }
}

}  // namespace leverwright::store
