#!/usr/bin/env bash
# The program installed into a folder that is then moved: it finds its own parts and cases there, and the manual page,
# the completion, the desktop entry and the notices say what the program says.
#
#   bash tests/install/installed.sh BUILD_FOLDER
set -euo pipefail
export LC_ALL=C.UTF-8
build=$(realpath "$1")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cmake --install "$build" --prefix "$work/first" > "$work/log" 2>&1 || { cat "$work/log"; exit 1; }
mv "$work/first" "$work/moved to"
root="$work/moved to" share="$work/moved to/share"
cd "$work"
unset LEVERWRIGHT_MODELS
failed=0
fail() { echo "FAILED: $*"; failed=1; }
leverwright() { "$root/bin/leverwright" "$@"; }

leverwright read cases/missed_heel/case.toml > read.txt || fail "the installed case is not read"
leverwright sheet --out sheet > sheet.txt 2>&1 || fail "the installed program prints no sheet: $(head -n 3 sheet.txt)"
printf 'C4\n11 = 112.5\ndone\n' | leverwright new -o own.toml > new.txt 2>&1 || fail "the installed program makes no case: $(tail -n 3 new.txt)"
leverwright read own.toml > own.txt || fail "the case made is not read"
echo 'broken' >> "$share/leverwright/models/parts/hammer_middle.toml"
leverwright read cases/missed_heel/case.toml > read.txt 2>&1 && fail "parts are not read from the installation"
grep -q "moved to/share/leverwright/models/parts/hammer_middle.toml" read.txt || fail "parts come from elsewhere"

# Manual page and completion name every verb and every option of the help.
gzip -dc "$share/man/man1/leverwright.1.gz" > page.1
if command -v groff > /dev/null; then
  groff -man -Tutf8 -wall -z page.1 2> groff.txt || true
  [ ! -s groff.txt ] || fail "the manual page has faults: $(head -n 3 groff.txt)"
fi
leverwright --help > help.txt
verbs=$(sed -n '/^What a technician needs/,/^Options of every verb/p' help.txt | sed -n 's/^  \([a-z]\{1,\}\) .*/\1/p')
[ "$(wc -w <<< "$verbs")" -ge 20 ] || fail "no verbs found in the help"
completion="$share/bash-completion/completions/leverwright"
# complete_words WORD...: what bash would offer for the last word
complete_words() {
  (
    # shellcheck disable=SC1090
    source "$completion"
    COMP_WORDS=("$@") COMP_CWORD=$(($# - 1)) COMPREPLY=()
    _leverwright 2> /dev/null
    printf '%s\n' "${COMPREPLY[@]}"
  )
}
complete_words leverwright "" > offered.txt
for verb in $verbs; do
  grep -q "^\.SS \"$verb" page.1 || fail "the manual page lacks the verb $verb"
  grep -qx "$verb" offered.txt || fail "the completion lacks the verb $verb"
  complete_words leverwright "$verb" -- > offered_options.txt
  for option in $(leverwright "$verb" --help | grep -o -- '^ *\(-[a-z], \)\?--[a-z-]*' | grep -o -- '--[a-z-]*'); do
    grep -q -- "$(sed 's/-/\\\\-/g' <<< "$option")" page.1 || fail "the manual page lacks $verb $option"
    grep -qx -- "$option" offered_options.txt || fail "the completion lacks $verb $option"
  done
done
[ "$(complete_words leverwright sheet case.toml --paper L)" = Letter ] || fail "choices are not offered"
[ "$(complete_words leverwright --colour n)" = never ] || fail "choices of the whole program are not offered"
touch mine.toml
[ "$(complete_words leverwright compare mi)" = mine.toml ] || fail "files are not offered"

if command -v desktop-file-validate > /dev/null; then
  desktop-file-validate "$share/applications/leverwright.desktop" || fail "desktop entry"
fi
if command -v rsvg-convert > /dev/null; then
  rsvg-convert "$share/icons/hicolor/scalable/apps/leverwright.svg" -o icon.png || fail "icon"
fi
gzip -dc "$share/doc/leverwright/third_party_notices.txt.gz" > notices.txt
if command -v dpkg-query > /dev/null; then
  for package in libeigen3-dev libboost1.74-dev libhdf5-103-1 libvtk9.1 libcairo2; do
    grep -q "^======== .*$package" notices.txt || fail "the notices lack $package"
  done
fi
exit "$failed"
