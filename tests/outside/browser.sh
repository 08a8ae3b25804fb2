# What the checks in a browser share: where they work, the browser, and how it is started.
work="$PWD/target/outside"
mkdir -p "$work"
browser=$(command -v chromium || command -v chromium-browser || command -v google-chrome || true)
flags=(--headless --no-sandbox --disable-gpu --disable-quic --no-first-run
  --disable-background-networking --disable-component-update --disable-sync)

# Ends the check where there is no browser, and says by name what was not tested.
has_browser() {
  [ -n "$browser" ] && return
  echo "NOT TESTED: $1: Chromium is not at hand (apt-get install chromium)" >&2
  [ "${HILUM_OUTSIDE_REQUIRED:-0}" = 1 ] && exit 1
  exit 0
}
