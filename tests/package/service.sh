#!/usr/bin/env bash
# service.sh ROOT DEB: installs DEB and systemd in the bare Debian ROOT, starts it in namespaces of its own
# (processes, mounts, network, cgroups), and holds the service to what its unit promises. ROOT is changed.
set -euo pipefail
root=$1
here=$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")
log=$(mktemp "${TMPDIR:-/tmp}/panewalk-systemd.XXXXXX")

mkdir -p "$root/packages"
rm -rf "$root/packages/tests" "$root/packages/started" "$root/packages/hold"
cp -r "$here" "$root/packages/tests"
cp "$2" "$root/packages/new.deb"
# shellcheck disable=SC2016  # the inner shell is the one that expands
unshare --mount --propagation private bash -euc '
  mount --bind "$1" "$1"
  mount --rbind /proc "$1/proc"
  mount --rbind /dev "$1/dev"
  env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin DEBIAN_FRONTEND=noninteractive LC_ALL=C.UTF-8 chroot "$1" sh -ec "
    apt-get -qq update
    apt-get -qq install -y --no-install-recommends systemd /packages/new.deb"' install "$root" >"$log" 2>&1 || {
  cat "$log" >&2
  exit 1
}
rm -f "$root"/etc/systemd/system/*.wants/*
printf '[Unit]\nDescription=The service alone\nRequires=basic.target\nAfter=basic.target\nAllowIsolate=yes\n' \
  >"$root/etc/systemd/system/alone.target"
ln -sf alone.target "$root/etc/systemd/system/default.target"
for unit in systemd-binfmt.service proc-sys-fs-binfmt_misc.automount proc-sys-fs-binfmt_misc.mount; do
  ln -sf /dev/null "$root/etc/systemd/system/$unit"
done

# shellcheck disable=SC2016  # the inner shells are the ones that expand
unshare --mount --pid --fork --kill-child --net --uts --ipc --cgroup bash -euc '
  root=$1
  mount --make-rprivate /
  mount --bind "$root" "$root"
  mount -t proc proc "$root/proc"
  # What the kernel has for the whole machine is not for this system to set.
  mount --bind "$root/proc/sys" "$root/proc/sys"
  mount -o remount,bind,ro "$root/proc/sys"
  mount -t sysfs -o ro sysfs "$root/sys"
  mount -t cgroup2 cgroup2 "$root/sys/fs/cgroup"
  mount -t tmpfs tmpfs "$root/run"
  mount -t tmpfs tmpfs "$root/tmp"
  mount --rbind /dev "$root/dev"
  ip link set lo up
  cd "$root"
  mkdir -p before
  # A chroot may make no user namespace, which PrivateUsers= needs.
  pivot_root . before
  exec env -i container=other PATH=/usr/sbin:/usr/bin:/sbin:/bin sh -c "
    umount -l /before
    touch /packages/started
    exec /lib/systemd/systemd --log-target=console --show-status=0"' systemd "$root" >"$log" 2>&1 </dev/null &
outer=$!
trap 'kill -KILL $outer 2>/dev/null; rm -f "$log"' EXIT

for _ in $(seq 100); do
  init=$(pgrep -P "$outer" | head -n 1) || true
  if [ -n "$init" ] && [ -f "$root/packages/started" ]; then break; fi
  if ! kill -0 "$outer" 2>/dev/null; then
    cat "$log" >&2
    exit 1
  fi
  sleep 0.1
done
status=0
# Waits for the sign of inside_service.sh, and holds the thread that lights.
(
  until [ -f "$root/packages/hold" ]; do sleep 0.1; done
  daemon=$(pgrep --ns "$init" --nslist pid --exact panewalk)
  exec python3 "$here/../support/held_thread.py" "$daemon" stream
) &
holder=$!
trap 'kill -KILL $outer $holder 2>/dev/null; wait 2>/dev/null; rm -f "$log"' EXIT
nsenter --target "$init" --mount --pid --net --uts --ipc --cgroup --root --wd \
  env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin LC_ALL=C.UTF-8 \
  timeout 120 bash -euo pipefail /packages/tests/inside_service.sh || status=$?
if [ "$status" -ne 0 ]; then cat "$log" >&2; fi
exit "$status"
