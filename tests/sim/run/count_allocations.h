// Counts what the program asks of the heap, so that a test can show that a step asks for nothing. Every
// operator new counts; outside the sanitizers, which bring their own, every malloc, calloc and realloc as
// well.
#pragma once

namespace leverwright::run {

long allocations_so_far();

}  // namespace leverwright::run
