#!/usr/bin/env bash
# namespace.sh PROCESSOR COMMAND…: runs the command, as root, where programs for PROCESSOR (as qemu calls
# it) can be run: in mounts and a user namespace of its own, since Linux 6.7 with binfmt_misc of its own too
# (binfmt_misc.rst, user namespaces). Nothing of the machine's own registrations is changed. An older
# kernel must have qemu registered already, as Debian's qemu-user-static with binfmt-support does.
set -euo pipefail

processor=$1
shift
# No registration is needed for what the machine runs itself, nor where it has one that works in a chroot.
if [ "$processor" = "$(uname -m)" ] || grep -qs '^flags:.*F' "/proc/sys/fs/binfmt_misc/qemu-$processor"; then
  exec unshare --mount --propagation private "$@"
fi
conf=/usr/lib/binfmt.d/qemu-$processor.conf
if [ ! -f "$conf" ]; then
  echo "namespace.sh: $conf is missing; it comes with qemu-user-static" >&2
  exit 1
fi

# The users of the namespace are those of the machine, written by us: unshare(1) would ask newuidmap for
# it, which is one more package.
gate=$(mktemp -d "${TMPDIR:-/tmp}/panewalk-gate.XXXXXX")
mkfifo "$gate/made" "$gate/mapped"
trap 'rm -rf "$gate"' EXIT
# shellcheck disable=SC2016  # the inner shell is the one that expands
unshare --user --mount --propagation private bash -euc '
  gate=$1 conf=$2
  shift 2
  echo $$ >"$gate/made"
  read -r _ <"$gate/mapped"
  exec setpriv --reuid 0 --regid 0 --clear-groups bash -euc "
    conf=\$1
    shift
    if ! mount -t binfmt_misc none /proc/sys/fs/binfmt_misc; then
      echo \"namespace.sh: this kernel has no binfmt_misc for namespaces (Linux 6.7 has) and no qemu is registered\" >&2
      exit 1
    fi
    cat \"\$conf\" >/proc/sys/fs/binfmt_misc/register
    exec \"\$@\"" inner "$conf" "$@"' outer "$gate" "$conf" "$@" &
child=$!
read -r pid <"$gate/made"
echo "0 0 65536" >"/proc/$pid/uid_map"
echo "0 0 65536" >"/proc/$pid/gid_map"
echo >"$gate/mapped"
status=0
wait "$child" || status=$?
exit "$status"
