#!/usr/bin/env bash
# Holds mechanics, piano and the folders that read and write files against clang-tidy (.clang-tidy; some 8 s of
# processor time a file, half an hour in all), and every source against cppcheck (a minute in all).
#
#   bash tests/lint.sh                       both
#   bash tests/lint.sh cppcheck              one of them: tidy, cppcheck
#   bash tests/lint.sh tidy sim/run models   these folders and those below them, one after the other
#
# Needs build-tests configured (cmake --preset tests). A tool that is not installed is left out and named.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 1
failed=0
which=${1:-both}
[ $# -gt 0 ] && shift
folders=("$@")
[ ${#folders[@]} -gt 0 ] || folders=(sim models viz/app)
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
    for folder in $(find "${folders[@]}" -name '*.cpp' -printf '%h\n' | sort -u); do
      began=$SECONDS
      if clang-tidy --quiet -p build-tests --extra-arg=-Wno-ignored-optimization-argument "$folder"/*.cpp 2> /dev/null; then result=clean; else result=FAILED failed=1; fi
      printf '%s: %d files, %s, %d s\n' "$folder" "$(ls "$folder"/*.cpp | wc -l)" "$result" $((SECONDS - began))
    done
  else
    echo "clang-tidy is not installed, or build-tests not configured"
  fi
fi
exit $failed
