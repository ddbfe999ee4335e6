// Whether the places where an HDF5 file keeps texts agree with what refers to them.
//
// A text of variable length lies in a "global heap": collections that begin with GCOL, in which each object has a number
// and a size. An attribute or dataset refers to it by 16 bytes: the text's length (4), the collection's address (8), the
// object's number (4), all little-endian (HDF5 File Format Specification 3.0, III.E and IV.A.2.d). HDF5 1.10 makes room
// for the length in the reference, copies as many bytes as the object claims, and looks neither at the collection's end
// nor at whether there is such a number: a changed byte there can write over memory without a crash, so a trial
// (trial_read.h) may come through and the reading after it not.
//
// Looked at here: every collection; and, where `references` says so, what lies where a reference would in the library's
// usual layout (a multiple of eight bytes, after an old superblock). A size that happens to equal a collection's address
// can look like one, so this is for files that cannot show that they are whole. What it misses is left to the trial.
#pragma once
#include <string>

namespace leverwright::store {

// "" when all agree, or what does not. A file that cannot be opened has no fault.
std::string find_heap_fault(const std::string& path, bool references);

}  // namespace leverwright::store
