#!/bin/bash
# Answers of two programs held against each other, for a change of form that must not change a digit:
#   bash tests/same_answers.sh BEFORE AFTER [WORD]
# BEFORE and AFTER are programs, or folders that an earlier run filled; WORD keeps the runs whose name holds it.
# Every verb runs on every case it has a use for, at its cheapest, once for the terminal and once for each file
# of numbers. A program's outputs go into the folder named after a colon (build/viz/app/leverwright:out/before),
# or out/same_answers/ and the program's path. What differs is printed; exit code 1 then.
set -u
runs() { # one a line: name | verb and options
  local c
  for c in cases/*/; do
    c=$(basename "$c")
    local case=cases/$c/case.toml
    echo "$c.read|read $case"
    echo "$c.weigh|weigh $case"
    echo "$c.regulate|regulate $case"
    echo "$c.compare|compare $case --no-touches --no-uncertainty --no-pictures --out OUT --json JSON --csv CSV"
  done
  for c in missed_heel sought_heel two_wippens work_order; do
    local case=cases/$c/case.toml
    echo "$c.compared|compare $case --no-pictures --all --out OUT --json JSON --csv CSV"
    echo "$c.feel|feel $case --json JSON --csv CSV"
    echo "$c.play|play $case --touch p mf --how pressed struck --json JSON --csv CSV"
    echo "$c.misadjust|misadjust $case --amount 0.2 --all --no-repetition --no-pictures --json JSON --csv CSV"
    echo "$c.sheet|sheet $case --no-uncertainty --out OUT --json JSON"
  done
  echo "missed_heel.repeat|repeat cases/missed_heel/case.toml --no-pictures --no-why --step 2 --json JSON --csv CSV"
  echo "slow_repetition.repeat|repeat cases/slow_repetition/case.toml --no-pictures --step 2 --json JSON --csv CSV"
  echo "sought_heel.seek|seek cases/sought_heel/case.toml --json JSON --csv CSV"
  echo "sought_heel.map|map cases/sought_heel/case.toml --steps 5 --no-pictures --out OUT"
  echo "two_wippens.parts|parts cases/two_wippens/case.toml wippen wippen_twin_light wippen_twin_heavy --json JSON --csv CSV"
  echo "missed_heel.bands|bands cases/missed_heel/case.toml --csv CSV"
  echo "samples_to_88.keyboard|keyboard cases/samples_to_88/case.toml --every 12 --no-uncertainty --no-pictures --json JSON --csv CSV"
  echo "samples_to_88.note|keyboard cases/samples_to_88/case.toml --note-case 16 --out OUT"
  echo "calibrate|calibrate cases/calibrate_sample_notes/case.toml cases/calibrate_sample_notes/measurements.csv --json JSON"
  echo "afterwards|afterwards cases/after_the_work/case.toml cases/after_the_work/measurements.csv --json JSON"
  echo "order|order cases/work_order/case.toml \"capstan relocated\" --notes cases/work_order/before.csv --out OUT --json JSON"
  echo "order_friction|order cases/missed_heel/case.toml \"capstan relocated\" --out OUT --json JSON"
  echo "filled|sheet cases/work_order/case.toml --read cases/work_order/filled.csv --out OUT --json JSON"
  echo "validation|validation cases/missed_heel/case.toml --no-uncertainty --commit none --out OUT/page.md"
  echo "study.check|check STUDY"
  echo "study.draw|draw STUDY --out OUT"
  echo "study.report|report STUDY --no-film --out OUT/report.html"
  echo "study.export|export STUDY --out OUT"
  echo "study.film|film STUDY --no-film --frames OUT --from 20 --to 24 --size 320x180"
  echo "cautions|cautions"
}
collect() { # program folder word
  local program=$1 folder=$2 word=$3
  mkdir -p "$folder"
  while IFS='|' read -r name words; do
    case $name in *"$word"*) ;; *) continue ;; esac
    local at=$folder/$name
    [ -e "$at.code" ] && continue # kept from a run that was cut off
    case $words in *OUT/*) mkdir -p "$at" ;; esac
    words=${words//OUT/$at} words=${words//JSON/$at.json} words=${words//CSV/$at.csv}
    words=${words//STUDY/$folder/missed_heel.compared/missed_heel.h5}
    eval "$program $words" >"$at.txt" 2>"$at.talk" </dev/null
    local code=$?
    # Names of the run's own folder and its times are no answers; results files are held against each other by
    # what they hold.
    sed -i "s#$folder/##g" "$at.txt" "$at.talk"
    find "$at" "$at".json "$at".csv -type f 2>/dev/null | while read -r file; do
      case $file in
      *.h5) h5dump "$file" 2>/dev/null | grep -v -E 'HDF5 "|"20[0-9-]{8}T[0-9:]*Z"' >"$file.dump" ;;
      *.json | *.csv | *.md | *.html | *.svg) sed -i "s#$folder/##g" "$file" ;;
      esac
    done
    echo $code >"$at.code"
  done < <(runs)
}
take() { # program or folder -> folder of outputs
  if [ -d "$1" ]; then echo "$1"; return; fi
  local program=${1%%:*} folder=${1##*:}
  [ "$folder" = "$1" ] && folder=out/same_answers/$(echo "$program" | tr '/' '_')
  folder=$(realpath -m "$folder")
  collect "$program" "$folder" "$2"
  echo "$folder"
}
before=$(take "$1" "${3:-}")
after=$(take "$2" "${3:-}")
diff -r -x '*.h5' -x '.leverwright*' "$before" "$after"
