#!/usr/bin/env bash
# Which packages a built program is made of, one a line: PACKAGE<TAB>shared|static|header.
#
#   bash viz/app/install/find_closure.sh PROGRAM BUILD_FOLDER
#
# shared: libraries loaded with it, and what those load; static: archives linked into it; header: packages whose
# headers were compiled into it (from ninja's record of the build). Needs dpkg. Exit code 3: not to be found here.
set -euo pipefail
export LC_ALL=C.UTF-8
program=$(realpath "$1") build=$(realpath "$2")
command -v dpkg-query > /dev/null && command -v ninja > /dev/null || exit 3
[ -f "$build/build.ninja" ] || exit 3

# owner KIND: packages of the files on standard input. A library's record may stand without the leading /usr.
owner() {
  local kind=$1
  while IFS= read -r file; do
    printf '%s\n' "$file"
    case "$file" in /usr/lib/*) printf '%s\n' "${file#/usr}" ;; /lib/*) printf '/usr%s\n' "$file" ;; esac
  done | sort -u | xargs -r dpkg-query -S 2> /dev/null | sed -n 's/: \/.*//p' | tr ',' '\n' |
    sed 's/^ *//; s/:.*//' | sort -u | sed "s/\$/\t$kind/" || true
}

{
  ldd "$program" | grep -o '/[^ ]*' | xargs realpath | sort -u | owner shared
  ninja -C "$build" -t commands "${program#"$build"/}" | tail -n 1 | tr ' ' '\n' |
    { grep '^/.*\.a$' || true; } | { grep -v "^$build/" || true; } | xargs -r realpath | sort -u | owner static
  objects=$(ninja -C "$build" -t inputs "${program#"$build"/}" 2> /dev/null | grep -E '\.(o|gch)$' || true)
  [ -n "$objects" ] || exit 3
  # shellcheck disable=SC2086 # one word an object
  ninja -C "$build" -t deps $objects | grep -o '^ *\(\.\./\)*\(/usr/\|usr/\).*' | sed 's/^ *\(\.\.\/\)*\/\{0,1\}/\//' |
    xargs realpath | sort -u | owner header
} | sort -u
