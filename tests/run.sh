#!/usr/bin/env bash
# Installs what is missing, builds everything with warnings as errors and runs all tests.
#
#   bash tests/run.sh                     all tests, in build-tests
#   bash tests/run.sh --sanitize          core tests (no VTK) under the address and undefined-behaviour
#                                         sanitizers, in build-sanitize
#   bash tests/run.sh --with-sanitizers   both, the sanitizers first
#   bash tests/run.sh --clean-root        besides: the package installed, used and removed in a clean Debian (root only)
#   bash tests/run.sh --page              besides: the bench in one page built, held against the native core, driven in a
#                                         browser (installs emscripten and chromium)
#   bash tests/run.sh --fuzz              besides: every reader fed with made-up files for 5 s (needs clang; builds the
#                                         libraries once more, in build-fuzz)
#   --no-install                          leave packages alone
#
# Also checks the format of the sources where clang-format 14 is installed. Goes on after a failed step, so that
# one run shows everything; exit code 0 only when every step passed. The last lines repeat what each step found.
set -uo pipefail
export LC_ALL=C.UTF-8
cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 1

run_tests=yes
run_sanitizers=no
clean_root=no
run_fuzzers=no
run_page=no
install=yes
for argument in "$@"; do
  case "$argument" in
    --sanitize) run_tests=no run_sanitizers=yes ;;
    --with-sanitizers) run_sanitizers=yes ;;
    --clean-root) clean_root=yes ;;
    --fuzz) run_fuzzers=yes ;;
    --page) run_page=yes ;;
    --no-install) install=no ;;
    --help | -h)
      sed -n '2,16s/^# \{0,1\}//p' "${BASH_SOURCE[0]}"
      exit 0
      ;;
    *)
      echo "unknown option $argument; known are --sanitize, --with-sanitizers, --clean-root, --page, --fuzz, --no-install, --help" >&2
      exit 2
      ;;
  esac
done

failed=0
summary=()
started=$SECONDS

say() { printf '\n== %s (%d s)\n' "$1" $((SECONDS - started)); }

# note NAME TEXT: one line of the summary
note() { summary+=("$(printf '%-12s %s' "$1" "$2")"); }

check_format() {
  local tool
  for tool in clang-format-14 clang-format; do
    if command -v "$tool" > /dev/null && "$tool" --version | grep -q 'version 14\.'; then
      say "format of the sources"
      if find sim models viz tests benchmarks -name '*.h' -print0 -o -name '*.cpp' -print0 |
        xargs -0 "$tool" --dry-run --Werror; then
        note "format" "passed"
      else
        failed=1
        note "format" "FAILED: run $tool -i on the files named above"
      fi
      return
    fi
  done
  note "format" "not checked (clang-format 14 is not installed)"
}

# build_and_test NAME PRESET
build_and_test() {
  local name=$1 preset=$2 log closing
  log=$(mktemp)
  say "$name: configure"
  if ! cmake --preset "$preset" > "$log" 2>&1; then
    cat "$log"
    failed=1
    note "$name" "FAILED: could not be configured"
  else
    say "$name: build"
    # Quiet while it goes well: ninja's progress is kept back, errors are shown.
    if ! cmake --build --preset "$preset" > "$log" 2>&1; then
      grep -v '^\[[0-9]*/[0-9]*\] [A-Z]' "$log"
      failed=1
      note "$name" "FAILED: could not be built"
    else
      say "$name: tests"
      ctest --preset "$preset" 2>&1 | tee "$log" | grep -v ' Passed ' | grep -v '^ *Start '
      [ "${PIPESTATUS[0]}" -eq 0 ] || failed=1
      closing=$(grep -E 'tests passed, [0-9]+ tests? failed out of [0-9]+' "$log" | tail -n 1)
      [ -n "$closing" ] || failed=1
      note "$name" "${closing:-FAILED: no tests ran}"
    fi
  fi
  rm -f "$log"
}

# Of a step of its own that says by 77 that it could not be tried here.
note_result() {
  case "$2" in
    0) note "$1" "passed" ;;
    77) note "$1" "not run" ;;
    *)
      failed=1
      note "$1" "FAILED"
      ;;
  esac
}

# After the tests: what it installs they do without.
try_page() {
  local result
  say "page"
  if [ "$install" = yes ] && ! bash tests/install_packages.sh page; then
    note "page" "not run (its packages could not be installed)"
    return
  fi
  bash tests/viz/page/run.sh build-tests/viz/app/leverwright build-tests/tests/viz/page/page_core
  result=$?
  note_result "page" "$result"
}

# The package made of build-tests, in a clean Debian.
try_clean_root() {
  local log result
  log=$(mktemp)
  say "clean root"
  if ! cpack --config build-tests/CPackConfig.cmake -B build-tests > "$log" 2>&1; then
    tail -n 20 "$log"
    result=1
  else
    bash tests/install/clean_root.sh build-tests/leverwright_*.deb
    result=$?
  fi
  note_result "clean root" "$result"
  rm -f "$log"
}

if [ "$install" = yes ]; then
  say "packages"
  bash tests/install_packages.sh tests || exit 1
fi
check_format
[ "$run_sanitizers" = no ] || build_and_test "sanitizers" sanitize
[ "$run_tests" = no ] || build_and_test "tests" tests
if [ "$run_fuzzers" = yes ]; then
  say "fuzzers"
  if bash tests/fuzz/run.sh; then note "fuzzers" "nothing found"; else
    failed=1
    note "fuzzers" "FAILED"
  fi
fi
if command -v cppcheck > /dev/null; then
  if bash tests/lint.sh cppcheck; then note "cppcheck" "passed"; else
    failed=1
    note "cppcheck" "FAILED"
  fi
fi
[ "$run_tests$run_page" != yesyes ] || try_page
[ "$run_tests$clean_root" != yesyes ] || try_clean_root

say "summary"
printf '%s\n' "${summary[@]}"
exit "$failed"
