#!/usr/bin/env bash
# The demo: installs what is missing, builds the command line, compares the set-ups of each demo case, makes a
# film, a report and an export of the first, and names every file it leaves under out/.
#
#   bash cases/demo.sh                   everything above
#   bash cases/demo.sh --all-pictures    also one of every other kind of picture the program makes (some minutes)
#   bash cases/demo.sh --page            also the bench in one page (packages of 1.1 GB, some minutes)
#   bash cases/demo.sh --no-install      leave packages alone
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
show_case() { # show_case OUT: film, report and export of the study missed_heel
  local film with=()
  if "$program" film "$1/missed_heel.h5" --stroke mf --beside "heel re-glued" --slow 30 --size 960x540 \
    --out "$1/film_side_by_side.mp4"; then
    film=$(find "$1" -name 'film_side_by_side.*' -newer "$stamp") # .webm or .ogv where MP4 cannot be written
    with=(--film "$film")
  fi # without ffmpeg the report has still pictures
  "$program" report "$1/missed_heel.h5" --for customer "${with[@]}" -o "$1/report_customer.html"
  "$program" export "$1/missed_heel.h5" --stroke mf --every 5 --out "$1/export"
}
all_pictures() { # all_pictures OUT STUDY: every kind that compare and show_case do not make
  local case=cases/missed_heel/case.toml out=$1 study=$2
  "$program" film "$study" --stroke p --ghost "capstan relocated" --slow 60 --out "$out/film_ghost.mp4"
  "$program" film "$study" --stroke f --slow 100 --to 60 --no-film --frames "$out/frames_f"
  "$program" report "$study" --for training --no-film -o "$out/report_training.html"
  "$program" report "$study" --for workshop --no-film -o "$out/report_workshop.html"
  "$program" repeat "$case" --set-up "as found" --no-why --step 1 --out "$out/repeat"
  "$program" film "$out/repeat/missed_heel_repetition.h5" --stroke "repeated full" --slow 15 \
    --out "$out/film_repetition.mp4"
  "$program" misadjust "$case" --out "$out/misadjust"
  "$program" feel "$case" --out "$out/feel"
  "$program" map cases/sought_heel/case.toml "least slide friction" --out "$out/map"
  "$program" keyboard cases/samples_to_88/case.toml --out "$out/keyboard"
  "$program" calibrate cases/calibrate_sample_notes/case.toml cases/calibrate_sample_notes/measurements.csv \
    --out "$out/calibrate"
  "$program" afterwards cases/after_the_work/case.toml cases/after_the_work/measurements.csv \
    --out "$out/afterwards"
  "$program" sheet cases/work_order/case.toml --notes F4,C4,A4 --out "$out/sheet"
  "$program" order cases/work_order/case.toml "capstan relocated" --notes cases/work_order/before.csv \
    --out "$out/order"
}
# ----------------------------------------------------------------------------------------------------------

install=yes every_kind=no page=no
for word in "$@"; do
  case "$word" in
    --no-install) install=no ;;
    --all-pictures) every_kind=yes ;;
    --page) page=yes ;;
    *)
      echo "usage: bash cases/demo.sh [--all-pictures] [--page] [--no-install]" >&2
      exit 2
      ;;
  esac
done
if [ "$install" = yes ]; then bash tests/install_packages.sh use; fi

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

# name_files FOLDER WHAT SECONDS: every file of this run below FOLDER, and what it is
name_files() {
  local files file note
  files=$(find "$1" -type f -newer "$stamp" | sort)
  if [ -z "$files" ]; then
    echo "No file was written under $1." >&2
    exit 1
  fi
  printf '\n%d files left by %s in %d s:\n' "$(wc -l <<< "$files")" "$2" "$3"
  while IFS= read -r file; do
    case "$file" in
      */comparison.txt) note='the table above' ;;
      */numbers.json | */numbers.csv) note='every number' ;;
      */export/*.vtp) continue ;; # one for each moment; the .pvd lists them
      */export/*.pvd) note='the stroke for general 3-D viewers, with its .vtp files' ;;
      */export/*.gltf) note='the stroke as glTF' ;;
      */export/*.csv) note='the stroke as a table' ;;
      */frames_*/frame_00000.png) note='a stroke as pictures, one for each frame' ;;
      */frames_*) continue ;;
      */film_*) note='slow-motion clip for any browser' ;;
      *_bench.html) note='the bench in one page, for any browser' ;;
      */report_*) note='a page to read, print or send' ;;
      *.h5) note='everything: curves, strokes, outlines (sim/store/FORMAT.md)' ;;
      */stroke_*) note='key and hammer in one stroke' ;;
      */key_let_go_*) note='key and hammer when the key is let go' ;;
      */action_*) note='the action to scale' ;;
      */parts_*) note='two parts over one another, with what differs' ;;
      */force_against_dip*) note='force against dip' ;;
      */slide_path*) note='slide path on the heel cloth' ;;
      */friction_ledger*) note='where the friction is' ;;
      */distance_ratio*) note='distance ratio through the stroke' ;;
      */changes*) note='changes with their uncertainty' ;;
      */phase_*) note='speed against place' ;;
      */energy_*) note='where the finger'"'"'s work goes' ;;
      *) note='' ;;
    esac
    printf '  %-52s %s\n' "$file" "$note"
  done <<< "$files"
}

for name in "${demo_cases[@]}"; do
  started=$SECONDS
  printf '\n== cases/%s\n\n' "$name"
  mkdir -p "out/$name"
  touch "$stamp"
  sleep 0.01 # so that every file of this run is younger than the stamp
  run_case "$name" "out/$name"
  if [ "$name" = missed_heel ]; then show_case "out/$name"; fi
  name_files "out/$name" "cases/$name" "$((SECONDS - started))"
done

if [ "$every_kind" = yes ]; then
  started=$SECONDS
  printf '\n== every other kind of picture\n\n'
  mkdir -p out/pictures
  touch "$stamp"
  sleep 0.01
  all_pictures out/pictures out/missed_heel/missed_heel.h5
  name_files out/pictures "the other kinds" "$((SECONDS - started))"
fi

if [ "$page" = yes ]; then
  started=$SECONDS
  printf '\n== the bench in one page\n\n'
  if [ "$install" = yes ]; then bash tests/install_packages.sh page; fi
  if ! { cmake --preset page && cmake --build --preset page; } > "$log" 2>&1; then
    tail -n 60 "$log" >&2
    echo "The page could not be built; the last lines stand above." >&2
    exit 1
  fi
  touch "$stamp"
  sleep 0.01
  "$program" page cases/missed_heel/case.toml -o out/missed_heel/missed_heel_bench.html
  name_files out/missed_heel "the page" "$((SECONDS - started))"
fi
