#!/usr/bin/env bash
# How long every verb's answer is and how long it takes, with no option but where it writes, on every case.
#
#   bash tests/answer_lengths.sh PROGRAM [WORD] [FOLDER]
#
# WORD keeps the runs whose name holds it ("" all); FOLDER keeps the answers (a temporary one when left out). One line
# a run: name, exit code, lines on standard output, processor seconds, seconds. Runs over 60 lines are marked "long",
# over 20 s of processor time "slow"; exit code 1 when an answer is long. All of it takes two hours on two cores: give
# a WORD ("read", "missed_heel"). A run is given LIMIT seconds (600).
set -u
program=$(realpath "$1") word=${2:-} keep=${3:-}
cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 1
[ -n "$keep" ] || { keep=$(mktemp -d) && trap 'rm -rf "$keep"' EXIT; }
mkdir -p "$keep" && keep=$(realpath "$keep")
runs() { # name|verb and options
  local c case set_up
  for c in cases/*/; do
    c=$(basename "$c")
    case=cases/$c/case.toml
    set_up=$(sed -n '/^\[\[set_up\]\]/,$s/^name = "\(.*\)"/\1/p' "$case" | sed -n 2p)
    for verb in read weigh regulate sheet play feel bands compare repeat misadjust keyboard validation; do
      case $verb in
      compare) echo "$verb.$c|$verb $case --out OUT" ;;
      sheet) echo "$verb.$c|$verb $case --out OUT" ;;
      validation) [ "$c" = missed_heel ] && echo "$verb.$c|$verb $case --out OUT/page.md" ;;
      *) echo "$verb.$c|$verb $case" ;;
      esac
    done
    echo "try.$c|try $case \"lead 14 g at 110 mm\""
    [ -n "$set_up" ] && echo "order.$c|order $case \"$set_up\" --out OUT"
    for file in cases/"$c"/measurements.csv; do
      [ -e "$file" ] && echo "calibrate.$c|calibrate $case $file" && echo "afterwards.$c|afterwards $case $file"
    done
    grep -q '^\[\[seek\]\]' "$case" && echo "seek.$c|seek $case" && echo "map.$c|map $case --out OUT"
    for verb in check draw report film export; do
      case $verb in
      check) echo "$verb.$c|$verb STUDY" ;;
      report) echo "$verb.$c|$verb STUDY --out OUT/report.html" ;;
      film) echo "$verb.$c|$verb STUDY --out OUT/film.webm" ;;
      *) echo "$verb.$c|$verb STUDY --out OUT" ;;
      esac
    done
  done
  echo "parts.two_wippens|parts cases/two_wippens/case.toml wippen wippen_twin_light wippen_twin_heavy"
  echo "order.notes|order cases/work_order/case.toml \"capstan relocated\" --notes cases/work_order/before.csv --out OUT"
  echo "sheet.read|sheet cases/work_order/case.toml --read cases/work_order/filled.csv --out OUT"
  echo "cautions|cautions"
  echo "help|--help"
}
any_long=0
TIMEFORMAT='%R %U %S'
printf '%-34s %4s %5s %9s %8s\n' run exit lines processor seconds
while IFS='|' read -r name words; do
  case $name in *"$word"*) ;; *) continue ;; esac
  at=$keep/$name
  mkdir -p "$at"
  c=${name#*.}
  case $words in *STUDY*) [ -e "$keep/compare.$c/$c.h5" ] || continue ;; esac
  words=${words//STUDY/$keep/compare.$c/$c.h5} words=${words//OUT/$at}
  spent=$({ time eval "timeout ${LIMIT:-600} $program $words" > "$at/out.txt" 2> "$at/talk.txt" < /dev/null; echo $? > "$at/code"; } 2>&1)
  read -r real user system <<< "$spent"
  lines=$(wc -l < "$at/out.txt")
  remark=
  [ "$lines" -gt 60 ] && remark=" long" && any_long=1
  awk -v a="$user" -v b="$system" 'BEGIN { exit !(a + b > 20) }' && remark="$remark slow"
  awk -v n="$name" -v c="$(cat "$at/code")" -v l="$lines" -v u="$user" -v s="$system" -v r="$real" -v m="$remark" \
    'BEGIN { printf "%-34s %4d %5d %9.1f %8.1f%s\n", n, c, l, u + s, r, m }'
done < <(runs | sort -t'|' -k1,1 | awk -F'|' '{ print }')
exit $any_long
