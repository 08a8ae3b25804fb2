#!/usr/bin/env bash
# Shows reports to a browser: nothing may run out of a narrow or a wide window, nor off the paper,
# and no row of a table may be cut by the end of a page. Without a browser it says so.
set -euo pipefail
cd "$(dirname "$0")/../.."
. tests/outside/browser.sh
has_browser "reports in a browser"

HILUM_OUTSIDE="$work" cargo test --quiet --test it report::what_the_browser_is_shown
for page in "$work"/report-*.html; do
  # The page measures itself, in frames of several widths.
  { grep -v '^</body>' "$page" | grep -v '^</html>'
    printf '<script>'; cat tests/outside/frames.js; printf '</script></body></html>'
  } > "$work/measured.html"
  profile=$(mktemp -d)
  dom=$("$browser" "${flags[@]}" --user-data-dir="$profile" --virtual-time-budget=20000 \
    --dump-dom "file://$work/measured.html" 2>/dev/null)
  title=$(printf '%s' "$dom" | grep -o '<title>outside:[^<]*' | sed 's/<title>outside://' || true)
  pdf="${page%.html}.pdf"
  "$browser" "${flags[@]}" --user-data-dir="$profile" --no-pdf-header-footer \
    --print-to-pdf="$pdf" "file://$page" 2>/dev/null
  rm -rf "$profile"
  pages=$(grep -a -o '/Type */Page\b' "$pdf" | wc -l)
  echo "$(basename "$page"): $title things outside or cut; $pages pages of PDF"
  case "$title" in
    "0 of 0" | "") echo "nothing was measured" >&2; exit 1 ;;
    "0 of "*) ;;
    *) printf '%s' "$dom" | grep -o 'data-outside="[^"]*' >&2; exit 1 ;;
  esac
  [ "$pages" -ge 1 ] || { echo "no page was printed" >&2; exit 1; }
done
