#!/usr/bin/env bash
# Reads what the notebook exports with readers that others wrote: Darwin Core archives with
# python-dwca-reader and dwcahandler, scientific names with gbif-name-parser (all from PyPI).
# What cannot be installed is named and not tested; HILUM_OUTSIDE_REQUIRED=1 makes that an error.
set -euo pipefail
cd "$(dirname "$0")/../.."
. tests/outside/python.sh
has_python "the outside readers"
"$work/venv/bin/pip" -q install --disable-pip-version-check \
  python-dwca-reader==0.17.1 dwcahandler==1.1.5 gbif-name-parser==0.4.0 ||
  missing "python-dwca-reader, dwcahandler, gbif-name-parser: they could not be installed"

HILUM_OUTSIDE="$work" cargo test --quiet --test it darwin_core::what_the_outside_readers_read
"$work/venv/bin/python" tests/outside/archive.py "$work"
"$work/venv/bin/python" tests/outside/names.py "$work"
