# shellcheck shell=bash
# expect WHAT EXPECTED FOUND: ends the test where they differ. Sourced.
expect() {
  if [ "$2" = "$3" ]; then return 0; fi
  printf 'FAILED: %s\nexpected:\n%s\nfound:\n%s\n' "$1" "$2" "$3" >&2
  exit 1
}
