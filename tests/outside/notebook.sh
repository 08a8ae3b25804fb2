#!/usr/bin/env bash
# Reads what the notebook exports with readers that others wrote: Darwin Core archives with
# python-dwca-reader and dwcahandler, scientific names with gbif-name-parser (all from PyPI).
# What cannot be installed is named and not tested; HILUM_OUTSIDE_REQUIRED=1 makes that an error.
set -euo pipefail
cd "$(dirname "$0")/../.."
work="$PWD/target/outside"
mkdir -p "$work"

missing() {
  echo "NOT TESTED: $*" >&2
  [ "${HILUM_OUTSIDE_REQUIRED:-0}" = 1 ] && exit 1
  exit 0
}

command -v python3 >/dev/null || missing "the outside readers: python3 is not at hand"
if [ ! -x "$work/venv/bin/python" ]; then
  python3 -m venv "$work/venv" || missing "the outside readers: python3 has no venv"
fi
"$work/venv/bin/pip" -q install --disable-pip-version-check \
  python-dwca-reader==0.17.1 dwcahandler==1.1.5 gbif-name-parser==0.4.0 ||
  missing "python-dwca-reader, dwcahandler, gbif-name-parser: they could not be installed"

HILUM_OUTSIDE="$work" cargo test --quiet --test it darwin_core::what_the_outside_readers_read
"$work/venv/bin/python" tests/outside/archive.py "$work"
"$work/venv/bin/python" tests/outside/names.py "$work"
