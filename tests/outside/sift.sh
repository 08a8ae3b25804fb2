#!/usr/bin/env bash
# The engine beside tools that others wrote: rates of naming beside scikit-learn's, and, with
# HILUM_OUTSIDE_TIMES=TAXA, times beside polars and DuckDB (all from PyPI).
# What is not at hand is named and not tested; HILUM_OUTSIDE_REQUIRED=1 makes that an error.
set -euo pipefail
cd "$(dirname "$0")/../.."
. tests/outside/python.sh
data="${HILUM_SHARED:-$PWD/../shared}/datasets"
has_python "rates beside scikit-learn"
"$work/venv/bin/pip" -q install --disable-pip-version-check scikit-learn==1.9.1 numpy==2.4.6 ||
  missing "rates beside scikit-learn: it could not be installed"
[ -f "$data/iris.csv" ] && [ -f "$data/penguins.csv" ] ||
  missing "rates beside scikit-learn: iris.csv and penguins.csv are not in the shared folder"
cargo build --quiet
"$work/venv/bin/python" tests/outside/ranges.py target/debug/hilum "$data/iris.csv" "$data/penguins.csv"

if [ -n "${HILUM_OUTSIDE_TIMES:-}" ]; then
  "$work/venv/bin/pip" -q install --disable-pip-version-check polars==2.1.0 duckdb==2.0.1 pyarrow ||
    missing "times beside polars and DuckDB: they could not be installed"
  bench=$(cargo bench --bench sifting --no-run 2>&1 | sed -n 's/.*(\(.*\))/\1/p' | tail -1)
  for taxa in $HILUM_OUTSIDE_TIMES; do
    "$work/venv/bin/python" tests/outside/sift.py "$taxa" "$bench"
  done
fi
