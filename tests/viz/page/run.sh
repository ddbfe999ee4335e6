#!/usr/bin/env bash
# The bench in one page built for a browser, held against the native core and driven in Chromium.
#
#   bash tests/viz/page/run.sh PROGRAM PAGE_CORE [--record FILE] [--pictures FOLDER]
#
# PROGRAM is the command line, PAGE_CORE the native core (build-tests/tests/viz/page/page_core). Exit code 77, with a line
# that says so, where the page cannot be built here: bash tests/install_packages.sh page installs what is missing.
set -uo pipefail
export LC_ALL=C.UTF-8 NODE_PATH=/usr/share/nodejs
program=$(realpath "$1") native=$(realpath "$2")
shift 2
cd "$(dirname "${BASH_SOURCE[0]}")/../../.." || exit 1
browser=${CHROMIUM:-$(command -v chromium || command -v chromium-browser)}
for need in emcc npm node "$browser"; do
  if [ -z "$need" ] || ! command -v "$need" > /dev/null; then
    echo "page: not run (emscripten, npm, node and chromium are needed)"
    exit 77
  fi
done
log=$(mktemp)
trap 'rm -f "$log"' EXIT
started=$SECONDS
if ! { cmake --preset page && cmake --build --preset page; } > "$log" 2>&1; then
  if grep -q 'FAILED: .*packages.stamp' "$log"; then
    grep -m 3 'npm error' "$log"
    echo "page: not run (npm could not fetch its packages)"
    exit 77
  fi
  tail -n 60 "$log"
  exit 1
fi
echo "built in $((SECONDS - started)) s"
failed=0
core=$PWD/build-page/viz/page/core
node --no-experimental-fetch tests/viz/page/parity.mjs "$core" "$native" || failed=1
# The same of 200 random actions: benchmarks/records/page.md.
node --no-experimental-fetch tests/viz/page/parity.mjs "$core" "$native" --random "$(dirname "$native")/random_cases" 6 || failed=1
node --no-experimental-fetch tests/viz/page/german.mjs "$core" build-page/web "$(dirname "$native")/page_sentences" || failed=1
export CHROMIUM=$browser
drive() { node tests/viz/page/drive.mjs build-page/page.html "$program" build-page/web "$@"; }
case " $* " in
  *" --record "*) drive "$@" || failed=1 ;;  # times are measured alone
  *)
    drive --only hands,files "$@" > "$log" 2>&1 &
    beside=$!
    drive --only bench,looks,german,sheet "$@" || failed=1
    wait "$beside" || failed=1
    cat "$log"
    ;;
esac
echo "$((SECONDS - started)) s in all"
exit "$failed"
