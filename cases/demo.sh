#!/usr/bin/env bash
# The demo: installs what is missing, builds the command line, compares the set-ups of each demo case and names
# every file it leaves under out/.
#
#   bash cases/demo.sh                 everything
#   bash cases/demo.sh --no-install    leave packages alone
set -euo pipefail
export LC_ALL=C.UTF-8
cd "$(dirname "${BASH_SOURCE[0]}")/.."

# --- what is run ------------------------------------------------------------------------------------------
program=build/viz/app/leverwright
demo_cases=(missed_heel steep_heel) # folders under cases/, in this order
run_case() {                        # run_case FOLDER OUT
  "$program" compare "cases/$1/case.toml" --out "$2" --json "$2/numbers.json" --csv "$2/numbers.csv" |
    tee -i "$2/comparison.txt" # -i: Ctrl-C is for the program
}
# ----------------------------------------------------------------------------------------------------------

case "${1:-}" in
  '') bash tests/install_packages.sh use ;;
  --no-install) ;;
  *)
    echo "usage: bash cases/demo.sh [--no-install]" >&2
    exit 2
    ;;
esac

started=$SECONDS
log=$(mktemp)
stamp=$(mktemp)
trap 'rm -f "$log" "$stamp"' EXIT

echo "Building the command line (some minutes the first time) ..."
if ! { cmake --preset use -D LEVERWRIGHT_VIZ=ON && cmake --build --preset use; } > "$log" 2>&1; then
  tail -n 60 "$log" >&2
  echo "The build failed; its last lines stand above." >&2
  exit 1
fi
echo "Built in $((SECONDS - started)) s."

for name in "${demo_cases[@]}"; do
  started=$SECONDS
  printf '\n== cases/%s\n\n' "$name"
  mkdir -p "out/$name"
  touch "$stamp"
  sleep 0.01 # so that every file of this run is younger than the stamp
  run_case "$name" "out/$name"
  files=$(find "out/$name" -type f -newer "$stamp" | sort)
  if [ -z "$files" ]; then
    echo "No file was written under out/$name." >&2
    exit 1
  fi
  printf '\n%d files left by cases/%s in %d s:\n' "$(wc -l <<< "$files")" "$name" "$((SECONDS - started))"
  while IFS= read -r file; do
    case "$file" in
      */comparison.txt) note='the table above' ;;
      */numbers.json | */numbers.csv) note='every number' ;;
      *.h5) note='everything: curves, strokes, outlines (sim/store/FORMAT.md)' ;;
      */stroke_*) note='key and hammer in one stroke' ;;
      */key_let_go_*) note='key and hammer when the key is let go' ;;
      */action_*) note='the action to scale' ;;
      */force_against_dip*) note='force against dip' ;;
      */slide_path*) note='slide path on the heel cloth' ;;
      */friction_ledger*) note='where the friction is' ;;
      *) note='' ;;
    esac
    printf '  %-46s %s\n' "$file" "$note"
  done <<< "$files"
done
