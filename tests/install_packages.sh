#!/usr/bin/env bash
# Installs the Debian 12 packages this project needs, those that are missing and no others.
#
#   bash tests/install_packages.sh use      what the command line needs (cases/demo.sh)
#   bash tests/install_packages.sh tests    what building and testing everything needs (tests/run.sh)
#   bash tests/install_packages.sh page     what building and driving the bench in one page needs besides
#   bash tests/install_packages.sh list     print the lists and change nothing
#
# As root it calls apt-get directly, else through sudo. Exit code 1: packages are missing and could not be
# installed; their names are printed.
set -euo pipefail
export LC_ALL=C.UTF-8

use_packages=(
  cmake ninja-build g++ libc6-dev pkg-config # build
  dpkg-dev file                              # a package of it
  libboost-dev libeigen3-dev libfmt-dev      # numbers, text
  libtomlplusplus-dev libcli11-dev           # case files, command line
  libtbb-dev nlohmann-json3-dev              # parallel studies, JSON
  libnlopt-dev                               # seeking amounts, least squares of calibrate
  libhdf5-dev                                # results file
  libcairo2-dev libfreetype-dev libpng-dev gnuplot-nox # drawings and charts as SVG, PDF, PNG
  libvtk9-dev libglew-dev libegl-dev libx11-dev # the action drawn, without a display or in a window
  libegl1 libgl1-mesa-dri                    # software rendering
  fonts-dejavu-core                          # lettering with Greek letters
  ffmpeg                                     # films
  libkainjow-mustache-dev                    # the report's page
)
test_packages=(
  libgtest-dev librapidcheck-dev libbenchmark-dev
  libsimbody-dev                             # independent multibody engine
  hdf5-tools python3 python3-h5py            # reading results with other programs
  poppler-utils librsvg2-bin imagemagick     # reading pictures back
  pandoc weasyprint                          # the handbook as a book
  locales cppcheck                           # a language with a decimal comma, a look at the sources
  groff-base desktop-file-utils mmdebstrap   # manual page, desktop entry, a clean root
)

page_packages=(
  emscripten node-acorn                      # C++ to WebAssembly, its optimiser's parser
  chromium                                   # driving the page
)
command -v npm > /dev/null || page_packages+=(nodejs npm) # the page's own packages; may be there from elsewhere

case "${1:-}" in
  use) wanted=("${use_packages[@]}") ;;
  tests) wanted=("${use_packages[@]}" "${test_packages[@]}") ;;
  page) wanted=("${use_packages[@]}" "${page_packages[@]}") ;;
  list)
    printf 'use:   %s\n' "${use_packages[*]}"
    printf 'tests: %s\n' "${test_packages[*]}"
    printf 'page:  %s\n' "${page_packages[*]}"
    exit 0
    ;;
  *)
    echo "usage: bash tests/install_packages.sh use|tests|page|list" >&2
    exit 2
    ;;
esac

if ! command -v dpkg-query > /dev/null || ! command -v apt-get > /dev/null; then
  echo "This is no Debian system: nothing is installed. Needed are, by their Debian names:" >&2
  printf '  %s\n' "${wanted[*]}" >&2
  exit 0 # they may be there under other names; the build says what it lacks
fi

missing=()
for package in "${wanted[@]}"; do
  if ! dpkg-query -W -f '${db:Status-Status}\n' "$package" 2> /dev/null | grep -q '^installed$'; then
    missing+=("$package")
  fi
done
if [ "${#missing[@]}" -eq 0 ]; then
  echo "All ${#wanted[@]} packages are installed."
  exit 0
fi

as_root=()
if [ "$(id -u)" -ne 0 ]; then
  if ! command -v sudo > /dev/null; then
    echo "These packages are missing, and without root or sudo they cannot be installed here:" >&2
    printf '  %s\n' "${missing[*]}" >&2
    echo "Ask the administrator for: apt-get install --no-install-recommends ${missing[*]}" >&2
    exit 1
  fi
  as_root=(sudo)
fi

echo "Installing ${#missing[@]} of ${#wanted[@]} packages: ${missing[*]}"
log=$(mktemp)
trap 'rm -f "$log"' EXIT
# The environment is set on the far side of sudo, which would drop it.
apt() {
  "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive LC_ALL=C.UTF-8 \
    apt-get -o Acquire::Retries=3 -o Dpkg::Use-Pty=0 "$@"
}
if ! { apt update -qq && apt install -y -qq --no-install-recommends "${missing[@]}"; } > "$log" 2>&1; then
  tail -n 30 "$log" >&2
  echo "The packages could not be installed (above: the last lines of apt-get)." >&2
  exit 1
fi
echo "Installed."
