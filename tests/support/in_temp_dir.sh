#!/usr/bin/env bash
# in_temp_dir.sh COMMAND…: runs the command in an empty folder that is removed afterwards.
set -euo pipefail

folder=$(mktemp -d "${TMPDIR:-/tmp}/panewalk-test.XXXXXX")
trap 'rm -rf "$folder"' EXIT
cd "$folder"
status=0
TMPDIR=$folder "$@" || status=$?
exit "$status"
