# What the checks in Python share: where they work, and an environment with packages from PyPI.
work="$PWD/target/outside"
mkdir -p "$work"

# Ends the check where something is not at hand, and says by name what was not tested.
missing() {
  echo "NOT TESTED: $*" >&2
  [ "${HILUM_OUTSIDE_REQUIRED:-0}" = 1 ] && exit 1
  exit 0
}

# An environment for a check, which is named.
has_python() {
  command -v python3 >/dev/null || missing "$1: python3 is not at hand"
  if [ ! -x "$work/venv/bin/python" ]; then
    python3 -m venv "$work/venv" || missing "$1: python3 has no venv"
  fi
}
