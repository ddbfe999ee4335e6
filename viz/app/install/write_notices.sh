#!/usr/bin/env bash
# The copyright texts of every package the program is made of, as the packages carry them.
#
#   bash viz/app/install/write_notices.sh PROGRAM BUILD_FOLDER LICENCES.md > third_party_notices.txt
set -euo pipefail
export LC_ALL=C.UTF-8
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
cat <<'END'
Third-party notices of Leverwright
==================================

The program was built with the packages below or loads them. Which licence was taken where there is a choice stands in
the table that follows; the copyright texts come after it, as each package carries them.

END
sed -n '/^## /p; /^| /p' "$3"
closure=$(bash "$here/find_closure.sh" "$1" "$2") || {
  echo "(The texts could not be collected on the system this was built on: see each library's own.)"
  exit 0
}
# Packages of one source share a text: it is given once.
declare -A seen=()
while IFS= read -r package; do
  file=$(realpath "/usr/share/doc/$package/copyright" 2> /dev/null) && [ -f "$file" ] || continue
  sum=$(sha256sum < "$file")
  if [ -n "${seen[$sum]:-}" ]; then
    printf '\n\n======== %s: the text of %s\n' "$package" "${seen[$sum]}"
    continue
  fi
  seen[$sum]=$package
  printf '\n\n======== %s\n\n' "$package"
  cat "$file"
done < <(cut -f1 <<< "$closure" | sort -u)
