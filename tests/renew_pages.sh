#!/usr/bin/env bash
# Renews every number that a page takes from the program: README.md, cases/*/README.md, models/handbook/*.md, the own
# rows of cases/*/expected.toml, and the tables of the case format.
#
#   bash tests/renew_pages.sh              build what is needed (preset tests), then write
#   bash tests/renew_pages.sh --check      write nothing; exit code 1 where a page is stale
#   bash tests/renew_pages.sh PAGE ...     these pages only
#
# The tables of models/handbook that long programs write: python3 tests/renew_tables.py.
#
# What needs a word, not a number, is named at the end: sentences that no longer hold, published values missed.
set -euo pipefail
export LC_ALL=C.UTF-8
cd "$(dirname "${BASH_SOURCE[0]}")/.."
cmake --preset tests > /dev/null
cmake --build --preset tests --target leverwright renew_pages > /dev/null
case " $* " in
  *" --check "*) ;;
  *) cmake --build --preset tests --target handbook > /dev/null ;;
esac
exec build-tests/tests/pages/renew_pages build-tests/viz/app/leverwright "$@"
