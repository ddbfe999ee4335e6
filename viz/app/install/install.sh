#!/usr/bin/env bash
# Puts leverwright on the PATH of every user of this Debian 12: installs what the build needs, builds, makes a package and
# installs that with apt. Ten minutes on two cores, most of them the build.
#
#   bash viz/app/install/install.sh              build and install
#   bash viz/app/install/install.sh --package    build the package only and say where it is
#   sudo apt-get remove leverwright              takes it away again
set -euo pipefail
export LC_ALL=C.UTF-8
cd "$(dirname "${BASH_SOURCE[0]}")/../../.."
only_package=no
case "${1:-}" in
  "") ;;
  --package) only_package=yes ;;
  *)
    sed -n '2,8s/^# \{0,1\}//p' "${BASH_SOURCE[0]}" >&2
    exit 2
    ;;
esac
if ! command -v apt-get > /dev/null; then
  echo "This is no Debian system. Install what tests/install_packages.sh lists under your system's names, then:" >&2
  echo "  cmake --preset use && cmake --build --preset use && cmake --install build --prefix ~/.local" >&2
  exit 1
fi
bash tests/install_packages.sh use
log=$(mktemp)
trap 'rm -f "$log"' EXIT
echo "Building (some minutes the first time) ..."
if ! { cmake --preset use -D LEVERWRIGHT_VIZ=ON && cmake --build --preset use && cpack --config build/CPackConfig.cmake -B build; } \
  > "$log" 2>&1; then
  tail -n 40 "$log" >&2
  echo "The build failed; its last lines stand above." >&2
  exit 1
fi
package=$(realpath "$(ls -t build/leverwright_*.deb | head -n 1)")
echo "Made $package"
if [ "$only_package" = yes ]; then exit 0; fi
as_root=()
if [ "$(id -u)" -ne 0 ]; then as_root=(sudo); fi
"${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq -o Dpkg::Use-Pty=0 "$package" > "$log" 2>&1 || {
  tail -n 20 "$log" >&2
  exit 1
}
leverwright --version
echo 'Try:  leverwright compare cases/missed_heel/case.toml --out out/missed_heel'
