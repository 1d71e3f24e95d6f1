#!/usr/bin/env bash
# tarball.sh TARBALL PROCESSOR: unpacked alone, with no library of a system, it makes its walk.
set -euo pipefail
here=$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")
# shellcheck source=tests/package/expect.sh
. "$here/expect.sh"
tarball=$(readlink -f "$1") processor=$2
folder=$(mktemp -d "${TMPDIR:-/tmp}/panewalk-tarball.XXXXXX")
trap 'rm -rf "$folder"' EXIT
tar -C "$folder" -xJf "$tarball"
top=$(basename "$tarball" .tar.xz)
expect "what is in it" "$(cat "$here/tarball.txt")" "$(cd "$folder/$top" && find . -type f | LC_ALL=C sort)"
emulator=()
if [ "$processor" != "$(uname -m)" ]; then
  cp "$(command -v "qemu-$processor-static")" "$folder/qemu"
  emulator=(/qemu)
fi
# The folder is the whole system that it sees.
for try in 1 2 3; do
  said=$("$here/../support/netns.sh" chroot "$folder" "${emulator[@]}" "/$top/bin/panewalk" demo \
    "/$top/examples/boathouse.json" slip-window) || true
  if [[ $said = *"Verdict: every pixel lit"* ]]; then break; fi
done
expect "the end of the demo" "Verdict: every pixel lit where the map says, in all 69 pictures.
Dark, and the streams are ended." "$(tail -n 2 <<<"$said")"
echo "  the demo of the tarball, alone in a chroot: every pixel lit (try $try)"
