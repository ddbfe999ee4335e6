#!/usr/bin/env bash
# The handbook as a book: made of its chapters, with every link inside it leading somewhere and every picture there.
#
#   bash tests/pages/book.sh PROGRAM STUDY.h5
#
# STUDY.h5 is made when it is not there. Exit code 77: not run, because pandoc is not installed.
set -euo pipefail
export LC_ALL=C.UTF-8
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
command -v pandoc > /dev/null || { echo "not run: no pandoc"; exit 77; }
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
study=$2
if [ ! -e "$study" ]; then
  "$1" compare cases/missed_heel/case.toml --no-uncertainty --no-pictures --quiet --out "$work/study"
  study=$work/study/missed_heel.h5
fi
python3 models/handbook/book/make_book.py "$1" "$work/book" --study "$study" --no-pdf
for chapter in "A job from the first note to the last" "The words" "Limits" "Dry friction that sticks" "Commands" "References"; do
  grep -q ">$chapter<" "$work/book/handbook.html" || { echo "the book lacks \"$chapter\""; exit 1; }
done
for verb in new compare jobs; do # from the program's own help
  grep -q "leverwright $verb\|>$verb " "$work/book/handbook.html" || { echo "the book lacks the command $verb"; exit 1; }
done
echo "$(grep -o 'href="#' "$work/book/handbook.html" | wc -l) links looked up"
