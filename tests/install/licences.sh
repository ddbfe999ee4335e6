#!/usr/bin/env bash
# Every package the built program is made of stands in models/handbook/licences.md, none under the GPL alone.
#
#   bash tests/install/licences.sh PROGRAM BUILD_FOLDER
#
# Exit code 77: not run, because this is no Debian system or the build is not ninja's.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
closure=$(bash viz/app/install/find_closure.sh "$1" "$2") || { echo "not run: no dpkg, or no build by ninja"; exit 77; }
table=models/handbook/licences.md

# licence_of PACKAGE: third column of its row
licence_of() {
  awk -F ' *[|] *' -v wanted="$1" '
    { n = split($2, names, /, */); for (k = 1; k <= n; ++k) if (names[k] == wanted) { print $4; exit } }' "$table"
}

failed=0 count=0
while IFS=$'\t' read -r package how; do
  count=$((count + 1))
  licence=$(licence_of "$package")
  if [ -z "$licence" ]; then
    echo "$package ($how) is in the program but not in $table"
    failed=1
  elif grep -Eq '(^|[^L])GPL' <<< "$licence" && ! grep -Eiq 'exception|syscall note' <<< "$licence"; then
    echo "$package ($how) is in the program under $licence"
    failed=1
  fi
done <<< "$closure"
# What is found must be plausible, or the test looked at nothing.
for known in libc6 libhdf5-103-1 libboost1.74-dev libeigen3-dev; do
  grep -q "^$known"$'\t' <<< "$closure" || { echo "$known was not found in the program: the search is broken"; failed=1; }
done
echo "$count packages looked up"
exit "$failed"
