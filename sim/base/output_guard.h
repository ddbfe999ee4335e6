// Keeps what a run writes away from what it read, and from what somebody made or changed by hand.
//
// The command line switches the guard on; a program that uses the libraries alone is not watched. From then
// on
//   - a file this run has read is never replaced, by whatever name it is reached;
//   - a file that this run has written already is not written a second time: two outputs with one name;
//   - a file that is there already is replaced only if it stands as this program left it. Each folder keeps a
//     list of what was written there (kRecordName, one line a file: CRC-32, size, name). A file that is not
//     on the list, or was changed since, is replaced only when forced.
// Thread-safe.
#pragma once
#include <string>

namespace leverwright::base {

inline constexpr const char* kRecordName = ".leverwright_written";

void guard_outputs(bool force);
bool outputs_are_guarded();
bool outputs_are_forced();

// This run has read the file. What the run itself wrote before does not count.
void note_input(const std::string& path);

// UserError when no output may take this place; always for a folder, a device, an input. `known_as_ours`: its
// contents prove that this program wrote it.
void check_output(const std::string& path, bool known_as_ours = false);

// The finished text or picture in `part_path` is about to be renamed to `path`: puts it on the folder's list.
void note_output(const std::string& path, const std::string& part_path);
// The same for a file that proves itself, without the list.
void note_output(const std::string& path);

// Where writing to `path` ends up when it is a symbolic link; else `path` itself.
std::string followed(const std::string& path);

}  // namespace leverwright::base
