#!/usr/bin/env bash
# Shows every label to a browser: nothing may stand outside its label, no sheet may be empty, and
# the PDF has as many pages as there are sheets. Without a browser it says so.
set -euo pipefail
cd "$(dirname "$0")/../.."
. tests/outside/browser.sh
has_browser "labels in a browser"

HILUM_OUTSIDE="$work" cargo test --quiet --test it labels::what_the_browser_is_shown
for paper in a4 letter; do
  page="$work/labels-$paper.html"
  sheets=$(grep -c 'class="sheet"' "$page")
  # The page measures itself.
  { grep -v '^</body>' "$page" | grep -v '^</html>'
    printf '<script>'; cat tests/outside/measure.js; printf '</script></body></html>'
  } > "$work/measured.html"
  profile=$(mktemp -d)
  dom=$("$browser" "${flags[@]}" --user-data-dir="$profile" --dump-dom "file://$work/measured.html" 2>/dev/null)
  title=$(printf '%s' "$dom" | grep -o '<title>outside:[^<]*' | sed 's/<title>outside://')
  "$browser" "${flags[@]}" --user-data-dir="$profile" --no-pdf-header-footer \
    --print-to-pdf="$work/labels-$paper.pdf" "file://$page" 2>/dev/null
  rm -rf "$profile"
  pages=$(grep -a -o '/Type */Page\b' "$work/labels-$paper.pdf" | wc -l)
  echo "labels on $paper: $title texts outside their label; $sheets sheets, $pages pages of PDF"
  case "$title" in
    "0 of 0" | "") echo "nothing was measured" >&2; exit 1 ;;
    "0 of "*) ;;
    *) printf '%s' "$dom" | grep -o 'data-outside="[^"]*' >&2; exit 1 ;;
  esac
  [ "$pages" = "$sheets" ] || { echo "$pages pages for $sheets sheets" >&2; exit 1; }
done
