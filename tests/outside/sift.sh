#!/usr/bin/env bash
# The engine beside tools that others wrote: rates of naming beside scikit-learn's, and, with
# HILUM_OUTSIDE_TIMES=TAXA, times beside polars and DuckDB (all from PyPI).
# What is not at hand is named and not tested; HILUM_OUTSIDE_REQUIRED=1 makes that an error.
set -euo pipefail
cd "$(dirname "$0")/../.."
work="$PWD/target/outside"
mkdir -p "$work"
data="${HILUM_SHARED:-$PWD/../shared}/datasets"

missing() {
  echo "NOT TESTED: $*" >&2
  [ "${HILUM_OUTSIDE_REQUIRED:-0}" = 1 ] && exit 1
  exit 0
}

command -v python3 >/dev/null || missing "rates beside scikit-learn: python3 is not at hand"
if [ ! -x "$work/venv/bin/python" ]; then
  python3 -m venv "$work/venv" || missing "rates beside scikit-learn: python3 has no venv"
fi
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
