#!/usr/bin/env bash
# Makes a clean Debian 12 in a folder, installs the package there with apt, runs a demo case as an ordinary user, and
# removes the package again.
#
#   bash tests/install/clean_root.sh PACKAGE.deb [LOG]
#
# Needs root, mmdebstrap or debootstrap, and a Debian mirror (MIRROR=..., http://deb.debian.org/debian when not set).
# Where a root cannot be made it says "not run" on a line of its own and exits with 77.
set -uo pipefail
export LC_ALL=C.UTF-8 DEBIAN_FRONTEND=noninteractive
package=$(realpath "$1")
log=${2:-/dev/null}
mirror=${MIRROR:-http://deb.debian.org/debian}
exec > >(tee "$log") 2>&1
logger=$!
started=$SECONDS
say() { printf "== %s (%d s)\n" "$1" $((SECONDS - started)); }
# With the log written to its end.
leave() {
  exec > /dev/null 2>&1
  wait "$logger"
  exit "$1"
}
not_run() {
  echo "$1"
  echo "not run"
  leave 77
}

[ "$(id -u)" -eq 0 ] || not_run "a clean Debian can be made by root only"
root=$(mktemp -d)
cleanup() {
  umount "$root/proc" 2> /dev/null
  rm -rf --one-file-system "$root"
}
trap cleanup EXIT
chmod 755 "$root"

say "a clean Debian 12"
if command -v mmdebstrap > /dev/null; then
  mmdebstrap --quiet --variant=apt bookworm "$root" "$mirror" || not_run "mmdebstrap could not make a root"
elif command -v debootstrap > /dev/null; then
  debootstrap --variant=minbase bookworm "$root" "$mirror" > /dev/null || not_run "debootstrap could not make a root"
else
  not_run "neither mmdebstrap nor debootstrap is installed"
fi
inside() { chroot "$root" /usr/bin/env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin LC_ALL=C.UTF-8 DEBIAN_FRONTEND=noninteractive "$@"; }
mount -t proc proc "$root/proc" || not_run "/proc cannot be mounted in the root"
# apt_get WORD...: quietly, but what went wrong is shown
apt_get() {
  inside apt-get -y -qq -o Dpkg::Use-Pty=0 "$@" > "$root/tmp/apt.log" 2>&1 || { tail -n 20 "$root/tmp/apt.log"; return 1; }
}
failed=0
check() { # check WHAT COMMAND...
  local what=$1
  shift
  if "$@"; then echo "ok      $what"; else
    echo "FAILED  $what"
    failed=1
  fi
}

say "install with apt"
before=$(inside dpkg-query -W -f '${Package}\n' | wc -l)
cp "$package" "$root/tmp/leverwright.deb"
apt_get update
check "installs with its dependencies" apt_get install --no-install-recommends /tmp/leverwright.deb
echo "        $(($(inside dpkg-query -W -f '${Package}\n' | wc -l) - before)) packages came with it"

say "as an ordinary user"
inside useradd --create-home technician
as_user() { chroot "$root" /usr/sbin/runuser -u technician -- /usr/bin/env -i HOME=/home/technician \
  PATH=/usr/local/bin:/usr/bin:/bin LC_ALL=C.UTF-8 sh -c "cd && $1"; }
check "is on the PATH" as_user "leverwright --version"
check "reads a case that came with it" as_user "leverwright read cases/missed_heel/case.toml > read.txt"
check "compares the demo's set-ups, with pictures" as_user \
  "leverwright compare cases/missed_heel/case.toml --out out/missed_heel > comparison.txt 2> talk.txt"
check "prints the set-ups" as_user "grep -q 'capstan relocated' comparison.txt"
check "leaves a whole results file" as_user "leverwright check out/missed_heel/missed_heel.h5 > check.txt"
check "leaves pictures" as_user "ls out/missed_heel/*.png out/missed_heel/*.svg > /dev/null"
check "writes a report" as_user "leverwright report out/missed_heel/missed_heel.h5 --for customer --no-film -o report.html 2> talk.txt > written.txt"
check "copies a case and works on it" as_user \
  "cp -r /usr/share/leverwright/cases/missed_heel mine && chmod -R u+w mine && leverwright weigh mine/case.toml > weigh.txt"
check "makes a case of answers, first lines only" as_user \
  "printf 'C4\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n81 = 52\n82 = 22\ndone\n' | leverwright new -o own.toml > new.txt 2> asked.txt"
check "reads it and tries a change" as_user \
  "leverwright read own.toml > own.txt && leverwright try own.toml 'capstan 3 mm toward the balance rail' > tried.txt 2> talk.txt"
as_user "find out report.html -type f | wc -l | sed 's/\$/ files written/; s/^/        /'"

say "remove"
check "removes" apt_get purge leverwright
check "leaves no file of its own" sh -c "! (cd '$root' && find usr etc var/lib -iname '*leverwright*' -not -path 'var/lib/apt/*' | grep .)"
say "done"
leave "$failed"
