#!/usr/bin/env bash
# lint.sh DEB: what lintian and dpkg say of the package, and whether all that must be in it is.
set -euo pipefail
here=$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")
# shellcheck source=tests/package/expect.sh
. "$here/expect.sh"
deb=$1

expect "what is in it" "$(cat "$here/contents.txt")" \
  "$(dpkg-deb -c "$deb" | awk '{ print $1, $2, $6 }' | sed 's|\./|/|' | LC_ALL=C sort -k 3)"
expect "what lintian says" "" \
  "$(lintian --no-cfg --fail-on none --tag-display-limit 0 --allow-root "$deb" 2>&1)"
