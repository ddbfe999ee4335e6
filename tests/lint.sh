#!/usr/bin/env bash
# Holds the mechanics, the folders that read strangers' files and those that write ours against clang-tidy
# (.clang-tidy; some 5 s of processor time a file), and every source against cppcheck (a minute in all).
#
#   bash tests/lint.sh               both
#   bash tests/lint.sh cppcheck      one of them: tidy, cppcheck
#
# Needs build-tests configured (cmake --preset tests). A tool that is not installed is left out and named.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 1
folders=(sim/base sim/planar sim/analysis sim/store viz/app viz/app/verbs)
failed=0
which=${1:-both}
if [ "$which" != tidy ]; then
  if command -v cppcheck > /dev/null; then
    cppcheck --enable=warning,performance,portability --inline-suppr --std=c++17 --language=c++ -I . \
      --suppress=missingInclude --suppress=missingIncludeSystem --suppress=uselessCallsSubstr \
      --suppress=ignoredReturnValue:viz/app/verbs/play.cpp \
      --quiet --error-exitcode=2 sim models viz || failed=1
  else
    echo "cppcheck is not installed"
  fi
fi
if [ "$which" != cppcheck ]; then
  if command -v clang-tidy > /dev/null && [ -f build-tests/compile_commands.json ]; then
    for folder in "${folders[@]}"; do clang-tidy --quiet -p build-tests "$folder"/*.cpp 2> /dev/null || failed=1; done
  else
    echo "clang-tidy is not installed, or build-tests not configured"
  fi
fi
exit $failed
