#!/usr/bin/env bash
# in_root.sh ROOT VERSION: installs, upgrades, removes and purges the packages of ROOT/packages in the bare
# Debian ROOT, with mounts of its own (namespace.sh). Lines that begin with "said: " are the figures.
set -euo pipefail
root=$1 version=$2
here=$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")

mount --bind "$root" "$root"
mount --rbind /proc "$root/proc"
mount --rbind /dev "$root/dev"
mount -t tmpfs none "$root/tmp"
python3 "$here/older_logbook.py" "$root/packages/logbook.sqlite"

inside() {
  echo "== $1"
  "${@:2}" chroot "$root" /usr/bin/env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/tmp LC_ALL=C.UTF-8 \
    DEBIAN_FRONTEND=noninteractive VERSION="$version" bash -euo pipefail "/packages/tests/inside.sh" "$1"
}
# With no network but a loopback interface.
alone() { inside "$1" "$here/../support/netns.sh"; }

inside install_older
alone demo
inside put_site
inside upgrade
alone serve
inside remove
inside install_again
inside purge
inside install_after_purge
alone serve_again
inside purge
echo "said: installed, upgraded from 0.0.9, removed, purged and installed anew"
