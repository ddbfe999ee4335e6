#!/usr/bin/env bash
# Feeds every reader with made-up bytes, guided by coverage.
#
#   bash tests/fuzz/run.sh                  5 s a reader, in build-fuzz
#   bash tests/fuzz/run.sh --seconds 3600   longer
#   bash tests/fuzz/run.sh --runs 1000000   so many files a reader
#   bash tests/fuzz/run.sh case sheet       these readers only
#
# Begins from tests/fuzz/corpus and the cases; what it finds new is kept in build-fuzz/corpus. Exit code 1 when a
# reader crashed, took 5 s of processor time (a tenth of it when not sanitized), leaked or was told off by a sanitizer; the
# file that did it is named.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.." || exit 1
limit="-max_total_time=5"
targets=()
while [ $# -gt 0 ]; do
  case "$1" in
    --seconds) limit="-max_total_time=$2" && shift ;;
    --runs) limit="-runs=$2" && shift ;;
    --help | -h) sed -n '2,10s/^# \{0,1\}//p' "${BASH_SOURCE[0]}" && exit 0 ;;
    *) targets+=("$1") ;;
  esac
  shift
done
[ ${#targets[@]} -gt 0 ] || targets=(case part sheet readings history results)
if ! command -v clang++ > /dev/null; then
  echo "clang++ is not installed: nothing was run" >&2
  exit 0
fi
cmake --preset fuzz > build-fuzz.log 2>&1 && cmake --build --preset fuzz >> build-fuzz.log 2>&1 || {
  tail -n 30 build-fuzz.log
  exit 1
}
rm -f build-fuzz.log
# The files that come with the project, each as its reader wants it (part and readings: a first byte that chooses).
seeds=build-fuzz/seeds
rm -rf $seeds
mkdir -p $seeds/{case,part,sheet,readings,history,results}
for file in cases/*/case.toml tests/models/case_file/broken/*.toml; do cp "$file" "$seeds/case/$(echo "$file" | tr / _)"; done
for file in models/parts/*.toml; do
  { printf '\2'; cat "$file"; } > "$seeds/part/$(basename "$file")"
done
cp cases/work_order/filled.csv $seeds/sheet/
cp tests/old_formats/record_1.csv $seeds/history/
for file in cases/*/*.csv; do
  { printf '\2'; cat "$file"; } > "$seeds/readings/even_$(echo "$file" | tr / _)"
  { printf '\1'; cat "$file"; } > "$seeds/readings/odd_$(echo "$file" | tr / _)"
done
failed=0
for target in "${targets[@]}"; do
  mkdir -p "build-fuzz/corpus/$target" build-fuzz/found
  log="build-fuzz/$target.log"
  extra=(-timeout=10 -max_len=8000 -print_funcs=0) # no symbolizer for every new function
  # Each file is tried in a process of its own, a second of processor time at most; leaks are looked for at the end alone.
  [ "$target" != results ] || extra=(-timeout=120 -max_len=20000 -detect_leaks=0)
  [ -f "tests/fuzz/$target.dict" ] && extra+=("-dict=tests/fuzz/$target.dict")
  export LEVERWRIGHT_MODELS="$PWD/models"
  # Little is kept of what was given back: a reader is done with its memory after each file.
  export ASAN_OPTIONS="malloc_context_size=2:quarantine_size_mb=16${ASAN_OPTIONS:+:$ASAN_OPTIONS}"
  TIMEFORMAT='user %U'
  { time "build-fuzz/tests/fuzz/fuzz_$target" "build-fuzz/corpus/$target" "tests/fuzz/corpus/$target" \
    "$seeds/$target" \
    "$limit" -rss_limit_mb=3000 "-artifact_prefix=build-fuzz/found/$target-" -seed=20250314 \
    -print_final_stats=1 "${extra[@]}"; } > "$log" 2>&1
  code=$?
  printf '%-9s %s runs, %s s of processor time, %s\n' "$target" \
    "$(sed -n 's/^stat::number_of_executed_units: *//p' "$log")" "$(sed -n 's/^user //p' "$log" | tail -n 1)" \
    "$([ $code -eq 0 ] && echo 'nothing found' || echo "FAILED, see $log")"
  [ $code -eq 0 ] || failed=1
done
exit $failed
